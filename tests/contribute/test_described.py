"""What is known of a material that no record holds: held to the words and ranges of the schema."""

from typing import Any

import pytest

from registry.contribute.described import described
from registry.errors import RequestError


def substrate(*texts: str) -> dict[str, Any]:
    return described("substrate", texts, "coating=aqueous")


def test_what_is_typed_becomes_part_of_a_document_and_case_does_not_count() -> None:
    found = substrate("coating=Aqueous", "surface.pencil=hb", "ink_chemistries=AQUEOUS, solvent", "base=PVC")
    assert found == {
        "coating": "aqueous",
        "surface": {"pencil": "HB"},
        "ink_chemistries": ["aqueous", "solvent"],
        "base": "pvc",
    }


def test_what_is_not_said_is_no_fault() -> None:
    assert substrate("stability.minutes=30", "thickness_um=10") == {
        "stability": {"minutes": 30},
        "thickness_um": 10,
    }


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("coating=aquous", 'found "aquous", allowed "none", "aqueous", .*; did you mean "aqueous"?'),
        ("base=polyster", 'did you mean "polyester"?'),
        ("construction=foo", '^construction: .*found "foo", allowed "film", "sheet", .* or "paper"'),
        ("finish=shiny", '^finish: .*found "shiny", allowed "matte", "lustre" or "gloss"'),
        ("ink_chemistries=aqueous,water", '^ink_chemistries: .*found "water", allowed "water-based-resin"'),
        ("thickness_um=-5", "^thickness_um: .*found -5 µm, allowed from 10 to 10000 µm"),
        ("thickness_um=0", "found 0 µm, allowed from 10 to 10000 µm"),
        ("roll.core_mm=0", "found 0 mm, allowed above 0 mm and at most 400 mm"),
        (
            "light.transmittance_pct=460",
            "^light.transmittance_pct: .*found 460 %, allowed from 0 to 100 %",
        ),
        ("thickness_um=thick", "thickness_um is a number in µm, not 'thick'"),
        ("coatng=aqueous", "a substrate has no setting 'coatng'; did you mean coating"),
        ("aqueous", "'aqueous' is no assignment: write PATH=VALUE, such as coating=aqueous$"),
        ("title=foo", "^title says nothing of what a substrate is like: leave it out$"),
        ("maker=acme", "^maker says nothing"),
        ("grade=film", "^grade says nothing"),
        ("notes=nice", "^notes says nothing"),
        ("fire.en-13501-1.rating=B", "^fire.en-13501-1.rating is of an entry of a list"),
    ],
)
def test_what_no_substrate_could_be_is_refused_with_what_is_allowed(text: str, words: str) -> None:
    with pytest.raises(RequestError, match=words):
        substrate(text)


def test_every_fault_is_told() -> None:
    with pytest.raises(RequestError) as refused:
        substrate("coating=aquous", "title=foo", "thickness_um=-5", "coatng=aqueous", "base=polyester")
    first, *faults = str(refused.value).splitlines()
    assert first == "this describes no substrate:"
    assert [each.split()[0] for each in faults] == ["title", "a", "coating:", "thickness_um:"]


def test_a_setting_that_is_given_twice_is_refused() -> None:
    with pytest.raises(RequestError, match="coating is given twice"):
        substrate("coating=solvent", "coating=aqueous")
