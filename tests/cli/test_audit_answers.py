"""Every form of an audit's answer holds the same facts, and each item says whose it is."""

import csv
import hashlib
import io
import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from registry.cli.audit_json import COLUMNS
from registry.contribute.prepare import attach
from tests.audit.story import COMPLAINT, DISPLAY, GOOD, PRINTED, SITE, Continued, continue_story
from tests.goldens import run
from tests.small import FILM, MODE, OTHER_UNIT, UNIT, mode_path

ASKED = ("--unit", UNIT, "--mode", MODE, "--printed", PRINTED, "--good", GOOD, "--display", DISPLAY)
QUIET = ("--unit", OTHER_UNIT, "--mode", "tidecloth/gull-510/front-8", "--printed", "2025-12-08", "--good")
ANSWERED = "harbour-yard/answered"

# The words of the page itself: its headings, and what joins one fact to another.
PAGE = frozenset(
    """- --defect a* above also answered are assumed audit b* be below but cause clock comes commit
    committer's common difference differs do down effect elsewhere expected explains first found from guidance
    had has have here hour it jobs l* l*a*b* last late likely nearness next not notes one order patch point
    points practice printed proved puts readings recorded seen setting settings short since so source stands
    these this times to told towards unknown usually warns without works written δe00""".split()
)


@pytest.fixture(scope="module")
def december(small_registry: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small registry with what happened in December, and a complaint of which everything is known."""
    folder = tmp_path_factory.mktemp("answers") / "registry"
    shutil.copytree(small_registry, folder)
    continue_story(folder)
    teller = Continued(folder)
    with teller.series:
        _complain_of_everything(teller)
        teller.series.finish()
    return folder


def _complain_of_everything(teller: Continued) -> None:
    profile = f"records/substrates/{FILM}/profiles/dayfilm-2026.icc"
    teller.land("2025-12-21", SITE, attach(teller, profile, b"of 2026"), reason="Attach")
    new: dict[str, Any] = {"colour": {"profile": {"file": "dayfilm-2026.icc"}}, "status": "withdrawn"}
    new |= {"layers": [{"what": "colour", "load_pct": 205, "passes": 16}]}
    withdrawn = {"withdrawn": {"date": "2025-12-21", "reason": "Curls in the box"}}
    teller.revise("2025-12-21", SITE, mode_path(MODE), new | withdrawn, "The profile of 2026")
    teller.event("2025-12-21", "renewed", "2025-12-21T08:00:00+01:00", kind="profile-change", unit=UNIT,
                 before="dayfilm.icc", after="dayfilm-2026.icc", what="Loaded. Then cleaned.")  # fmt: skip
    teller.run("2025-12-22", "J190", "2025-12-22T10:00:00+01:00", roll_lot="L-30", ink_lot="I-9",
               laminate_lot="M-5", fixing_fluid_lot="F-5", note="Wound while warm")  # fmt: skip
    gone = {"withdrawn": {"date": "2025-12-23", "reason": "No longer made"}}
    teller.revise("2025-12-23", SITE, f"records/substrates/{FILM}/substrate.json", gone, "No longer made")
    teller.create("2025-12-24", SITE, f"records/sites/{SITE}/complaints/answered.json", {
        "title": "Answered", "site": SITE, "job": "J190", "unit": UNIT, "mode": MODE, "display": DISPLAY,
        "printed": "2025-12-22T10:00:00+01:00", "good": GOOD, "received": "2025-12-23", "defect": "cast",
        "what": "Sand looks blue", "state": "closed", "answer": "Printed again, paid by us",
        "readings": [
            {"patch": "cyan", "found_lab": [60.25, -30, -45], "expected_lab": [61.5, -31, -40], "how": "lit"},
            {"patch": "paper", "found_lab": [97, 0, -4], "expected_lab": [100, 0, 0], "how": "lit"},
            {"patch": "red", "found_lab": [50, 60, -2], "how": "by hand"},
        ],
    }, "A customer refused job 190")  # fmt: skip


QUESTIONS = {
    "a complaint": (COMPLAINT,),
    "all that is known of one": (ANSWERED,),
    "in other units": ("reddish-concourse", "--units", "us"),
    "two prints": ASKED,
    "the nearest run": (*ASKED[:5], "2025-12-10T15:00", *ASKED[6:], "--lot", "L-21"),
    "a job": ("J151", "--defect", "sticking-on-the-roll"),
    "the display of the runs": ASKED[:8],
    "a job without a run": (*ASKED[:5], "2025-12-03T18:00", *ASKED[6:], "--job", "J000"),
    "an unknown time": (*QUIET, "2025-08-01"),
    "nothing known": (*QUIET, "2025-12-06"),
}
questions = pytest.mark.parametrize("asked", QUESTIONS.values(), ids=QUESTIONS)


def leaves(value: Any) -> Iterator[Any]:
    """Yield every value of a JSON document."""
    below = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    if below is None:
        yield value
    else:
        for each in below:
            yield from leaves(each)


def words(text: str) -> list[str]:
    """Return the words, ids, numbers and times of a text, without the marks around them."""
    parts = (part.strip(".,:;+…") for part in re.split(r"[\s“”()\[\]→]+", text))
    return [part.lower() for part in parts if part]


def told(value: str) -> Iterator[str]:
    """Yield the words of a JSON value; a moment as a page writes it, of a check sum its beginning."""
    if moment := re.fullmatch(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d):\d\d[+-]\d\d:\d\d", value):
        yield from moment.groups()
    elif re.fullmatch("[0-9a-f]{40,}", value):
        yield value[:12]
    else:
        yield from words(value)
        yield from words(value.replace("-", " "))


def untold(page: str, answer: dict[str, Any]) -> list[str]:
    """Return the facts of a page that its JSON answer lacks: times, ids, numbers, quotations and words."""
    values = list(leaves(answer))
    texts = [value for value in values if isinstance(value, str)]
    numbers = [value for value in values if isinstance(value, (int, float)) and not isinstance(value, bool)]
    known = PAGE | {word for text in texts for word in told(text)}
    page = " ".join(re.sub(r"(?m)^ *\d+\. |\b\d+ (and|to) \d+: |source as at \d+", " ", page).split())
    quoted = [each for each in re.findall("“(.*?)”", page) if each not in texts]
    return quoted + [word for word in words(page) if word not in known and not _is_one_of(numbers, word)]


def _is_one_of(numbers: list[float], word: str) -> bool:
    """Whether a word is one of the numbers, to as many places as it has."""
    digits = re.fullmatch(r"-?\d+(\.\d+)?", word)
    places = len(digits[1] or ".") - 1 if digits else 0
    return bool(digits) and any(abs(round(each, places)) == abs(float(word)) for each in numbers)


@questions
def test_json_holds_every_fact_that_the_page_tells(december: Path, asked: tuple[str, ...]) -> None:
    page = run(december, "audit", *asked).stdout
    assert untold(page, json.loads(run(december, "audit", *asked, "--format", "json").stdout)) == []


@pytest.mark.parametrize(
    ("part", "key"),
    [
        (part, key)
        for part, keys in {
            "": ("in_short", "withdrawn", "timeline", "differences", "unknown", "next", "computed", "commit"),
            "request": ("readings", "state", "answer", "what", "defect"),
            "readings_say": ("criterion",),
        }.items()
        for key in keys
    ],
)
def test_each_part_of_json_holds_what_no_other_does(december: Path, part: str, key: str) -> None:
    page = run(december, "audit", ANSWERED).stdout
    answer = json.loads(run(december, "audit", ANSWERED, "--format", "json").stdout)
    del (answer[part] if part else answer)[key]
    if key == "unknown":
        del answer["in_short"][-1]  # it quotes what matters most of it
    assert untold(page, answer)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_table_has_a_row_for_each_change_and_event_in_order(december: Path, units: str) -> None:
    answer = json.loads(run(december, "audit", ANSWERED, "--format", "json", "--units", units).stdout)
    page = run(december, "audit", ANSWERED, "--format", "csv", "--units", units)
    assert page.exit_code == 1
    rows = list(csv.DictReader(io.StringIO(page.stdout)))
    told = [
        (str(number), each["record"], each["label"], each["at"], ", ".join(each["cleared_by"]))
        for number, joined in enumerate(answer["differences"], 1)
        for each in (joined, *joined["also"])
    ]
    keys = ("number", "record", "label", "at", "cleared_by")
    assert [tuple(row[key] for key in keys) for row in rows] == told
    assert len(rows) > len(answer["differences"]) > 10
    profile = [row for row in rows if row["label"] in {"profile", "profile's SHA-256", "profile change"}]
    assert [(row["before"], row["after"]) for row in profile] == [
        ("dayfilm.icc", "dayfilm-2026.icc"),
        tuple(f"{hashlib.sha256(data).hexdigest()[:12]}…" for data in (b"first profile", b"of 2026")),
        ("dayfilm.icc", "dayfilm-2026.icc"),
    ]
    cure = next(row for row in rows if row["label"] == "curing set-point")
    expected = {"metric": ("104", "108", "°C", "4"), "us": ("219", "226", "°F", "7")}
    assert (cure["before"], cure["after"], cure["unit"], cure["change"]) == expected[units]


def test_the_columns_of_csv_and_markdown_are_those_that_the_help_names(december: Path) -> None:
    help_text = " ".join(run(december, "audit", "--help").stdout.split())
    named = help_text.partition("rows with one number tell of one change: ")[2].partition(".")[0]
    page = run(december, "audit", COMPLAINT, "--format", "csv").stdout
    assert page.splitlines()[0].split(",") == named.split(", ") == list(COLUMNS)
    lines = run(december, "audit", COMPLAINT, "--format", "markdown").stdout.splitlines()
    assert [cell.strip() for cell in lines[0].strip("|").split("|")] == list(COLUMNS.values())
    assert len(lines) == 2 + len(page.splitlines()) - 1


def items(page: str) -> dict[int, str]:
    """Return what stands under each number of what differs, up to the next one."""
    part = page.partition("What differs")[2].partition("\nNot known")[0].partition("\nComputed from")[0]
    found = re.split(r"(?m)^ *(\d+)\. ", part)[1:]
    return {int(number): text for number, text in zip(found[::2], found[1::2], strict=True)}


@questions
def test_every_item_has_its_own_source_or_is_named_by_the_one_that_has(
    december: Path, asked: tuple[str, ...]
) -> None:
    found = items(run(december, "audit", *asked).stdout)
    sourced = {number for number, text in found.items() if re.search("written by|source as at", text)}
    for text in found.values():
        for first, _, last in re.findall(r"\b(\d+) (and|to) (\d+): (?:source|run|print mode|unit)", text):
            sourced |= set(range(int(first), int(last) + 1))
    assert sourced == set(found)


def test_what_holds_of_a_group_is_said_of_all_of_it(december: Path) -> None:
    found = items(run(december, "audit", *ASKED, "--defect", "banding").stdout)
    answer = json.loads(run(december, "audit", *ASKED, "--defect", "banding", "--format", "json").stdout)
    calm = [number for number, each in enumerate(answer["differences"], 1) if each["cleared_by"]]
    said = [number for number, text in found.items() if "less likely: job J151 ran with" in text]
    of_all = [number for number in said if "ran with all of these since" in " ".join(found[number].split())]
    assert of_all
    grouped = {
        each
        for number in of_all
        for first, _, last in re.findall(r"\b(\d+) (and|to) (\d+): ", found[number])
        for each in range(int(first), int(last) + 1)
    }
    assert sorted({*said, *grouped}) == calm


@pytest.mark.parametrize(
    ("defect", "told"),
    [
        *((defect, False) for defect in ("scratching", "sticking-on-the-roll", "silvering-under-laminate")),
        *((defect, False) for defect in ("banding", "mottle")),
        *((defect, True) for defect in ("cast", "panels-that-differ")),
    ],
)
def test_effects_on_colour_are_told_only_where_colour_is_the_matter(
    december: Path, defect: str, told: bool
) -> None:
    page = run(december, "audit", *ASKED, "--defect", defect).stdout
    assert "\nAlso changed\n" in page
    assert ("effect on colour" in " ".join(page.split())) is told


@pytest.mark.parametrize(
    ("printed", "job", "heading"),
    [
        (PRINTED, (), "Audit of job J152\n"),
        (PRINTED, ("--job", "J152"), "Audit of job J152\n"),
        ("2025-12-10T15:00", (), "Audit of the bad print\n"),
        ("2025-12-03T18:00", ("--job", "J000"), "Audit of job J000 (no run of it on record)\n"),
    ],
)
def test_the_heading_says_which_job_it_was(
    december: Path, printed: str, job: tuple[str, ...], heading: str
) -> None:
    page = run(december, "audit", *ASKED[:4], "--printed", printed, "--good", GOOD, *job).stdout
    assert page.startswith(heading)
    if "no run" in heading:
        assert "bad print: job J000, no run on record, settings of r5" in page


def test_only_a_closed_complaint_is_told_how_to_look_at_it_again(december: Path) -> None:
    for complaint, heading in ((ANSWERED, "To look at it again"), (COMPLAINT, "What to do next")):
        page = run(december, "audit", complaint).stdout
        assert [each in page for each in ("To look at it again", "What to do next")] == [
            each == heading for each in ("To look at it again", "What to do next")
        ]
