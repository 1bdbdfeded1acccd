"""What an audit says first, and what it says to do next."""

import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.prints import scene
from registry.audit.request import of_complaint
from registry.audit.telling import Findings, in_short
from registry.contribute.prepare import Contribution
from registry.question.registry import Registry
from tests.audit.asking import BANNER_MODE, asked
from tests.audit.story import COMPLAINT, DISPLAY, Continued
from tests.small import OTHER_UNIT

BOX = (
    "CAUTION: isolate a box before it is opened; lamps and wiring are work for a licensed electrician under "
    "the local code"
)


def test_the_short_answer_says_settings_changes_what_to_look_at_and_what_is_not_known(
    december: Registry,
) -> None:
    answer = audit(december, of_complaint(december, COMPLAINT))
    assert answer.in_short == (
        "the mode's settings changed: r5 at the good print, r6 at the bad one (both proved by their runs)",
        "11 changes between the two prints, 6 of them likely with this defect",
        (
            "look first at: nozzle loss; two-way alignment; feed correction; roll lot"
            "; the other likely ones ran in a job since that nobody complained of"
        ),
    )


@pytest.mark.parametrize(
    ("asked_for", "first"),
    [
        (
            {"good": "2025-12-06T10:00"},
            "the mode's settings were the same for both prints, those of r6 (both proved by their runs)",
        ),
        (
            {"good": "2025-11-20", "printed": "2025-12-01T10:00"},
            (
                "the mode's settings changed: r4 at the good print, r5 at the bad one "
                "(good print as the run of 2025-11-12 before it, harbour-yard/2025-11-12-j140, "
                "bad print proved by its run)"
            ),
        ),
        ({"good": "2025-08-01"}, "the mode's settings are not known for the good print"),
        (
            {"unit": OTHER_UNIT, "mode": BANNER_MODE, "display": ""},
            "the mode's settings were the same for both prints, those of r1 (both assumed)",
        ),
        (
            {"unit": OTHER_UNIT, "mode": BANNER_MODE, "good": "2001-01-01", "printed": "2001-02-01"},
            "the mode's settings are not known for the two prints",
        ),
    ],
)
def test_the_short_answer_begins_with_the_settings(
    december: Registry, asked_for: dict[str, str], first: str
) -> None:
    assert asked(december, **asked_for).in_short[0] == first


def test_without_a_defect_the_short_answer_calls_nothing_likely(december: Registry) -> None:
    assert asked(december).in_short[1:] == ("10 changes between the two prints",)


@pytest.mark.parametrize(
    ("good", "printed", "said"),
    [
        ("2001-01-01", "2001-02-01", "nothing can be compared: nothing is known of one of the times"),
        ("2025-08-01", "2025-12-08", "more may have changed: nothing is known of one of the times"),
        (
            "2025-12-06",
            "2025-12-08",
            (
                "no change is on record, but something is not known: whether r1 was really in use for "
                "the good print; it is assumed: r1 had landed by then; no run or adoption at "
                "mill-lane/one says so"
            ),
        ),
    ],
)
def test_an_unknown_time_is_never_told_as_no_change_in_short(
    december: Registry, good: str, printed: str, said: str
) -> None:
    quiet = {"unit": OTHER_UNIT, "mode": BANNER_MODE, "display": ""}
    short = asked(december, good=good, printed=printed, **quiet).in_short
    assert said in short
    assert "nothing is known to have changed" not in short


def likely_told(registry: Registry, labels: str, *, calm: str = "") -> list[str]:
    """Return what is said in short of likely clues with these labels, some of which ran in a good job."""
    request = of_complaint(registry, COMPLAINT)
    one = audit(registry, request).clues[0]
    clues = [
        replace(one, label=label, likely=True, cleared_by=("J1",) if label in calm else ())
        for label in labels
    ]
    return list(in_short(scene(registry, request), Findings(clues)))[1:]


def test_where_each_likely_thing_ran_in_a_good_job_the_short_answer_says_so(december: Registry) -> None:
    assert likely_told(december, "ab", calm="ab") == [
        "2 changes between the two prints, all of them likely with this defect",
        "each of the likely ones ran in a job since that nobody complained of",
    ]


def test_the_short_answer_names_six_likely_things_and_counts_the_rest(december: Registry) -> None:
    assert likely_told(december, "abcdef")[1] == "look first at: a; b; c; d; e; f"
    assert likely_told(december, "abcdefgh")[1] == "look first at: a; b; c; d; e; f; and 2 more"
    assert likely_told(december, "a", calm="a")[1] == (
        "the likely one ran in a job since that nobody complained of"
    )
    assert likely_told(december, "aab", calm="b")[1] == (
        "look first at: a; the other likely ones ran in a job since that nobody complained of"
    )


@pytest.mark.parametrize(
    ("defect", "compared", "judged"),
    [
        ("cast", "drawer 3, lit, in harbour-yard/concourse-a", "judge them side by side, dried down and lit"),
        (
            "banding",
            "drawer 3, lit, in harbour-yard/concourse-a",
            "judge them side by side, dried down and lit",
        ),
        ("sticking-on-the-roll", "drawer 3", "re-wetting: face to back, weighted and warm, for a day"),
        ("scratching", "drawer 3", "scratch both, finished as the refused print was"),
    ],
)
def test_strips_are_judged_by_what_is_wrong(
    december: Registry, defect: str, compared: str, judged: str
) -> None:
    answer = audit(december, replace(of_complaint(december, COMPLAINT), defect=defect))
    assert answer.advice[0].endswith(compared)
    assert answer.advice[1].endswith(judged)
    assert any(each.startswith("CAUTION: ") for each in answer.advice) is ("lit" in answer.advice[0])


def test_a_front_lit_print_is_not_judged_lit(december: Registry) -> None:
    advice = asked(december, unit=OTHER_UNIT, mode=BANNER_MODE, display="").advice
    assert advice == ("compare the refused print with the last good one (no sample is on record)",)


def test_readings_are_asked_for_only_where_a_complaint_could_take_them(december: Registry) -> None:
    words = "read the same patches on the refused print and on the sample, and add them to the complaint"
    assert words not in asked(december, defect="cast").advice
    of_colour = audit(december, replace(of_complaint(december, COMPLAINT), defect="cast"))
    assert words in of_colour.advice
    assert words not in audit(december, of_complaint(december, COMPLAINT)).advice  # of banding
    read = {"patch": "white", "found_lab": [99, 0, 0], "how": "bench-1"}
    has_them = replace(of_complaint(december, COMPLAINT), defect="cast", readings=(read,))
    assert words not in audit(december, has_them).advice


def with_cautions(audited: Path, folder: Path) -> AuditAnswer:
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        path = "records/sites/harbour-yard/displays/concourse-a.json"
        cautions = {"cautions": ["two people on the tower", "isolate it at the kiosk"]}
        teller.revise("2025-12-22", "harbour-yard", path, cautions, "What can hurt")
        teller.series.finish()
    return asked(Registry(folder, os.environ))


def test_who_compares_prints_lit_is_told_what_can_hurt_there(
    december: Registry, audited: Path, tmp_path: Path
) -> None:
    told = with_cautions(audited, tmp_path / "cautions").advice
    assert told[-1] == "CAUTION: two people on the tower; isolate it at the kiosk"
    assert asked(december).advice[-1] == asked(december, display="").advice[-1] == BOX


def test_of_a_display_that_cannot_be_read_what_holds_of_every_box_is_told(
    audited: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "unreadable"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        files: dict[str, bytes | None] = {"records/sites/harbour-yard/displays/concourse-a.json": b"{"}
        teller.land("2025-12-22", "harbour-yard", Contribution(files, "Damage"), reason="Damage")
        teller.series.finish()
    assert asked(Registry(folder, os.environ)).advice[-1] == BOX


def test_instead_of_what_is_withdrawn_the_way_to_another_is_told(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "withdrawn"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        known = {"withdrawn": {"date": "2025-12-22", "reason": "Curls"}}
        path = "records/substrates/lumenfold/dayfilm-210/substrate.json"
        teller.revise("2025-12-22", "mill-lane", path, known, "Curls")
        teller.series.finish()
    advice = asked(Registry(folder, os.environ)).advice
    assert f"print nothing more with it: litstock find --for {DISPLAY} says what is known to work" in advice
