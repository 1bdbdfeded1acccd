"""What is said of a record that does not fit its schema."""

import json
import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest

from registry.check import Finding, check
from registry.check.explaining import FORMS
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from tests.check.small import BACKLIT, FILM, Small

PRINTER = ("printer", "wide-64")
MODE = ("print-mode", BACKLIT)
SUBSTRATE = ("substrate", FILM)
ADVICE = ("guidance", "aqueous-suits")


def one(small: Small, record: tuple[str, str], patch: dict[str, Any]) -> Finding:
    small.patch(*record, patch)
    (finding,) = [finding for finding in check(small) if finding.code == "schema"]
    return finding


class Case(NamedTuple):
    name: str
    record: tuple[str, str]
    patch: dict[str, Any]
    pointer: str
    message: str
    found: str
    allowed: str
    remedy: str


CASES = (
    Case(
        "a word that is nearly one",
        SUBSTRATE,
        {"coating": "aqueos"},
        "/coating",
        "'coating' is none of its words",
        '"aqueos"',
        '"none", "aqueous", "solvent", "uv-curable" or "multi"',
        'did you mean "aqueous"?',
    ),
    Case(
        "a number beyond its range",
        MODE,
        {"heat": {"cure_c": 200}},
        "/heat/cure_c",
        "'curing set-point' is out of range",
        "200 °C",
        "from 20 to 180 °C",
        "give the value in °C, within the range",
    ),
    Case(
        "a number in a list",
        SUBSTRATE,
        {"widths_mm": [1524, "wide"]},
        "/widths_mm/1",
        "'widths' is of the wrong type",
        '"wide"',
        "a number, above 0 mm and at most 10000 mm",
        "write a value of that type",
    ),
    Case(
        "a number in a list that none can be",
        SUBSTRATE,
        {"widths_mm": [1524, 0]},
        "/widths_mm/1",
        "'widths' is out of range",
        "0 mm",
        "above 0 mm and at most 10000 mm",
        "give the value in mm, within the range",
    ),
    Case(
        "a number at an open end",
        PRINTER,
        {"drop_volume_pl": 0},
        "/drop_volume_pl",
        "'drop volume' is out of range",
        "0 pL",
        "above 0 pL and at most 100 pL",
        "give the value in pL, within the range",
    ),
    Case(
        "an entry of a list beyond its range",
        MODE,
        {"layers": [{"what": "colour", "load_pct": 601}]},
        "/layers/0/load_pct",
        "'load' is out of range",
        "601 %",
        "from 0 to 600 %",
        "give the value in %, within the range",
    ),
    Case(
        "a number in quotes",
        SUBSTRATE,
        {"thickness_um": "210"},
        "/thickness_um",
        "'thickness' is of the wrong type",
        '"210"',
        "a number, from 10 to 10000 µm",
        "write it without quotes",
    ),
    Case(
        "text where a yes or no is due",
        MODE,
        {"mirrored": "no"},
        "/mirrored",
        "'mirrored' is of the wrong type",
        '"no"',
        "true or false",
        "write a value of that type",
    ),
    Case(
        "a fraction where a whole number is due",
        MODE,
        {"motion": {"passes": 16.5}},
        "/motion/passes",
        "'passes' is of the wrong type",
        "16.5",
        "a whole number, from 1 to 64",
        "write a value of that type",
    ),
    Case(
        "a number for a group",
        MODE,
        {"heat": 98},
        "/heat",
        "'heat' is of the wrong type",
        "98",
        "a group of members in { }",
        "write a value of that type",
    ),
    Case(
        "an unknown member",
        MODE,
        {"heat": {"cure": 98}},
        "/heat/cure",
        "\"cure\" is no member of 'heat'",
        "",
        '"dry_c", "cure_c", "dwell_s", "airflow_pct", "web_centre_c", "web_edge_c" or "web_edge_hot_c"',
        'did you mean "cure_c"?',
    ),
    Case(
        "a day that the calendar has not",
        MODE,
        {"recorded": {"date": "2026-02-30"}},
        "/recorded/date",
        "'recorded on' is not written as it must be",
        '"2026-02-30"',
        "a day of the calendar, such as 2026-03-01",
        "write it in that form",
    ),
    Case(
        "an id with a capital",
        MODE,
        {"printer": "Wide-64"},
        "/printer",
        "'printer' is not written as it must be",
        '"Wide-64"',
        "an id of a-z, 0-9 and -, such as harbour-yard",
        "write it in that form",
    ),
    Case(
        "a text too long",
        MODE,
        {"title": "x" * 81},
        "/title",
        "'name' is too long",
        "81 characters",
        "1 to 80 characters",
        "shorten it",
    ),
    Case(
        "an empty text",
        MODE,
        {"title": ""},
        "/title",
        "'name' is too short",
        "0 characters",
        "1 to 80 characters",
        "put something there, or remove the member",
    ),
    Case(
        "too few entries",
        MODE,
        {"layers": []},
        "/layers",
        "'layers' is too short",
        "0 entries",
        "1 to 6 entries",
        "put something there, or remove the member",
    ),
    Case(
        "a key of the wrong form",
        ADVICE,
        {"when": {"/film/coating": {"const": "none"}}},
        "/when/~1film~1coating",
        'the key "/film/coating" is not written as it must be',
        '"/film/coating"',
        "a pointer into substrate, mode, printer, application or display, such as /substrate/coating",
        "write it in that form",
    ),
    Case(
        "none of several types",
        ADVICE,
        {"when": {"/substrate/coating": {"const": []}}},
        "/when/~1substrate~1coating/const",
        "'is' is of the wrong type",
        "[]",
        "true or false or a number or text",
        "write a value of that type",
    ),
    Case(
        "a yes in quotes",
        MODE,
        {"mirrored": "true"},
        "/mirrored",
        "'mirrored' is of the wrong type",
        '"true"',
        "true or false",
        "write it without quotes",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_a_fault_is_explained(small: Small, case: Case) -> None:
    finding = one(small, case.record, case.patch)
    said = (finding.pointer, finding.message, finding.found, finding.allowed, finding.remedy)
    assert said == case[3:]


def test_a_missing_member_is_named_with_what_it_must_be(small: Small) -> None:
    document = small.document(*MODE)
    del document["motion"]["resolution"]
    small.put(*MODE, document)
    (finding,) = check(small)
    assert finding.pointer == "/motion/resolution"
    assert str(finding) == (
        "'resolution' is missing from 'motion': found nothing, allowed dots per inch across and along,"
        ' such as 720x720; add "resolution"'
    )


def test_every_missing_and_every_unknown_member_is_named(small: Small) -> None:
    document = small.document(*PRINTER)
    small.put(*PRINTER, {"model": "x", "price": 1, "title": document["title"]})
    pointers = {finding.pointer for finding in check(small) if finding.code == "schema"}
    assert pointers == {
        "/model",
        "/price",
        "/ink_chemistry",
        "/channels",
        "/revision",
        "/reason",
        "/recorded",
    }


def nodes(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        yield node
        for below in node.values():
            yield from nodes(below)
    elif isinstance(node, list):
        for below in node:
            yield from nodes(below)


@pytest.mark.parametrize("kind", KINDS)
def test_every_form_that_a_schema_asks_for_has_words(kind: str) -> None:
    for node in nodes(shape_of(kind).schema):
        if isinstance(node.get("pattern", node.get("format")), str):
            assert node.get("format", node.get("pattern")) in FORMS


@pytest.mark.parametrize("form", FORMS)
def test_the_example_of_a_form_is_of_that_form(form: str) -> None:
    example = FORMS[form].rpartition("such as ")[2]
    if form.startswith("^") and "such as" in FORMS[form]:
        assert re.search(form, example)


def test_a_long_value_is_shortened(small: Small) -> None:
    finding = one(small, MODE, {"status": "x" * 300})
    assert len(finding.found) == 80
    assert json.dumps("x" * 300).startswith(finding.found[:-1])
