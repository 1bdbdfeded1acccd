"""A change that several records tell of is told once, with all of them as evidence."""

import os
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.request import of_prints
from registry.cli.audit_text import audit_text
from registry.contribute.prepare import attach
from registry.question.registry import Registry
from tests.audit.asking import asked, clue, every
from tests.audit.story import DISPLAY, SITE, Continued
from tests.small import FILM, MODE, UNIT, mode_path

GOOD, PRINTED = "2025-12-21T10:00:00+01:00", "2025-12-26T10:00:00+01:00"
NEW = "dayfilm-2026.icc"
LOTS = {"roll_lot": "L", "ink_lot": "I", "laminate_lot": "M", "fixing_fluid_lot": "F"}


def lots(number: int) -> dict[str, str]:
    return {name: f"{letter}-{number}" for name, letter in LOTS.items()}


def happen(teller: Continued, day: str, slug: str, kind: str, **known: Any) -> None:
    teller.event(day, slug, f"{day}T08:00:00+01:00", kind=kind, what=f"It was {slug}", **known)


@pytest.fixture(scope="module")
def twice(audited: Path, tmp_path_factory: pytest.TempPathFactory) -> Registry:
    """Two prints between which all is written down twice, and much that is something else."""
    folder = tmp_path_factory.mktemp("twice") / "registry"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.run("2025-12-21", "J180", GOOD, **lots(1))
        profile = f"records/substrates/{FILM}/profiles/{NEW}"
        teller.land("2025-12-22", SITE, attach(teller, profile, b"of 2026"), reason="Attach")
        colour = {"colour": {"profile": {"file": NEW}}}
        teller.revise("2025-12-22", SITE, mode_path(MODE), colour, "The profile of 2026")
        happen(teller, "2025-12-22", "profile", "profile-change", unit=UNIT, after=NEW)
        happen(teller, "2025-12-22", "profile-of-another", "profile-change", unit=UNIT, after="gull.icc")
        for lot, kind in (("L-2", "substrate"), ("M-2", "laminate"), ("F-2", "fixing-fluid"), ("I-2", "ink")):
            happen(teller, "2025-12-23", f"{kind}-2", f"{kind}-lot", unit=UNIT, lot=lot)
        happen(teller, "2025-12-23", "ink-3", "ink-lot", unit=UNIT, lot="I-3")
        _serve(teller)
        teller.run("2025-12-26", "J181", PRINTED, **lots(2))
        teller.series.finish()
    return Registry(folder, os.environ)


def _serve(teller: Continued) -> None:
    """Tell of what was done to machine and box, and noted in their records on that day or the next."""
    happen(teller, "2025-12-23", "linear-before", "linearisation", unit=UNIT)
    happen(teller, "2025-12-23", "aligned-before", "alignment", unit=UNIT)
    happen(teller, "2025-12-24", "linear", "linearisation", unit=UNIT)
    happen(teller, "2025-12-24", "aligned", "alignment", unit=UNIT)
    own = {"mode": MODE, "feed_correction_pct": 0.2, "head_alignment_um": 9, "linearised": "2025-12-24"}
    unit = f"records/sites/{SITE}/units/left.json"
    teller.revise("2025-12-24", SITE, unit, {"own": [own]}, "Served")
    happen(teller, "2025-12-24", "bars", "lamp-all-replaced", display=DISPLAY)
    happen(teller, "2025-12-24", "pane", "diffuser-or-panel", display=DISPLAY)
    box = {
        "lamp": {"illuminant": "LED-B5", "description": "twelve bars"},
        "panel": {"material": "opal acrylic"},
    }
    display = f"records/sites/{SITE}/displays/concourse-a.json"
    teller.revise("2025-12-25", SITE, display, box, "Served too")


@pytest.fixture(scope="module")
def answer(twice: Registry) -> AuditAnswer:
    return asked(twice, good=GOOD, printed=PRINTED)


@pytest.mark.parametrize(
    ("told", "beside"),
    [
        ("roll lot", ["harbour-yard/2025-12-23-substrate-2"]),
        ("ink lot", ["harbour-yard/2025-12-23-ink-2"]),
        ("laminate lot", ["harbour-yard/2025-12-23-laminate-2"]),
        ("fixing fluid lot", ["harbour-yard/2025-12-23-fixing-fluid-2"]),
        ("profile", [MODE, "harbour-yard/2025-12-22-profile"]),
    ],
)
def test_what_the_prints_show_is_told_with_the_event_beside_it(
    answer: AuditAnswer, told: str, beside: list[str]
) -> None:
    found = next(each for each in answer.clues if each.label == told and each.change)
    assert [each.record for each in found.also] == beside


@pytest.mark.parametrize(
    ("told", "beside"),
    [
        ("harbour-yard/2025-12-24-linear", ["own.*.linearised"]),
        ("harbour-yard/2025-12-24-aligned", ["own.*.head_alignment_um"]),
        ("harbour-yard/2025-12-24-bars", ["lamp.illuminant", "lamp.description"]),
        ("harbour-yard/2025-12-24-pane", ["panel.material"]),
    ],
)
def test_what_was_done_is_told_with_what_the_record_says_since_beside_it(
    answer: AuditAnswer, told: str, beside: list[str]
) -> None:
    found = next(each for each in answer.clues if each.record == told)
    assert [each.change.setting for each in found.also if each.change] == beside


def test_what_is_another_change_stands_alone(answer: AuditAnswer) -> None:
    alone = {each.record.removeprefix("harbour-yard/2025-12-") for each in answer.clues if not each.also}
    assert {"22-profile-of-another", "23-ink-3", "23-linear-before", "23-aligned-before"} <= alone


def test_nothing_is_lost_and_nothing_told_twice(answer: AuditAnswer) -> None:
    told = [(each.record, each.label) for each in every(answer)]
    assert len(told) == len(set(told))
    events = {record for record, _ in told if record.startswith("harbour-yard/2025-12-2")}
    assert len(events) == 14  # thirteen events, and the run that names the lots


def test_two_lamps_on_one_day_are_two_things(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "lamps"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        for slug in ("one", "other"):
            happen(teller, "2025-12-22", slug, "lamp-some-replaced", display=DISPLAY)
        teller.series.finish()
    found = asked(Registry(folder, os.environ), good=GOOD, printed=PRINTED).clues
    assert [each.event for each in found].count("lamp-some-replaced") == 2


@pytest.mark.parametrize(
    ("noted", "joined"), [("2025-12-22", True), ("2025-12-29", True), ("2025-12-30", False)]
)
def test_what_is_noted_more_than_a_week_later_is_not_taken_for_the_same(
    audited: Path, tmp_path: Path, noted: str, joined: bool
) -> None:
    folder = tmp_path / "noted"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        happen(teller, "2025-12-22", "bars", "lamp-all-replaced", display=DISPLAY)
        path = f"records/sites/{SITE}/displays/concourse-a.json"
        teller.revise(noted, SITE, path, {"lamp": {"illuminant": "LED-B5"}}, "Noted")
        teller.series.finish()
    found = asked(Registry(folder, os.environ), good=GOOD, printed="2025-12-31").clues
    bars = next(each for each in found if each.event == "lamp-all-replaced")
    assert bool(bars.also) is joined
    assert any(each.place == "display" for each in found) is not joined


def test_what_was_written_down_late_joins_what_the_record_said_on_that_day(
    audited: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "late"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.event("2025-12-30", "bars", "2025-12-10T08:00:00+01:00", kind="lamp-some-replaced",
                     display=DISPLAY, what="Found on the job sheet")  # fmt: skip
        path = f"records/sites/{SITE}/displays/concourse-a.json"
        teller.revise("2025-12-30", SITE, path, {"lamp": {"illuminant": "LED-B5"}}, "Found")
        teller.series.finish()
    found = asked(Registry(folder, os.environ), good="2025-12-06T10:00", printed="2025-12-31").clues
    bars = next(each for each in found if each.event == "lamp-some-replaced")
    assert [each.record for each in bars.also] == [DISPLAY]


def test_a_profile_replaced_under_its_name_joins_the_event_that_names_it(
    audited: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "renewed"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.event("2025-12-22", "renewed", "2025-12-05T08:00:00+01:00", kind="profile-change", unit=UNIT,
                     after="dayfilm, made anew", what="Loaded")  # fmt: skip
        teller.series.finish()
    found = clue(asked(Registry(folder, os.environ)), "profile's SHA-256")
    assert [each.record for each in found.also] == ["harbour-yard/2025-12-05-renewed"]


def test_what_is_joined_is_as_likely_and_acts_as_directly_as_any_of_it(twice: Registry) -> None:
    request = of_prints(twice, unit=UNIT, mode=MODE, display=DISPLAY, good=GOOD, printed=PRINTED)
    panels = audit(twice, replace(request, defect="panels-that-differ"))
    linear = next(each for each in panels.clues if each.record == "harbour-yard/2025-12-24-linear")
    (noted,) = linear.also
    assert (linear.likely, noted.likely) == (True, True)
    aligned = next(each for each in panels.clues if each.record == "harbour-yard/2025-12-24-aligned")
    assert aligned.effect == "indirect"
    light = audit(twice, replace(request, defect="too-light"))
    pane = next(each for each in light.clues if each.record == "harbour-yard/2025-12-24-pane")
    assert (pane.effect, pane.also[0].effect, pane.likely) == ("direct", "none", True)


def test_the_story_still_has_every_event(answer: AuditAnswer) -> None:
    told = [each.what for each in answer.timeline]
    for slug in ("substrate-2", "profile", "linear", "bars", "aligned-before"):
        assert sum(each.endswith(f": It was {slug}") for each in told) == 1
    assert sum("r3 landed: Served too" in each for each in told) == 1


def test_evidence_of_one_source_is_told_with_its_source_once(twice: Registry, answer: AuditAnswer) -> None:
    page = "\n".join(audit_text(twice, answer, "metric"))
    item = page.partition("all lamps replaced: It was bars; ")[2]
    item = re.split(r"(?m)^ *\d+\. ", item)[0]
    assert re.findall("also: ([^:]*):", item) == ["lamp", "lamps fitted"]
    source = "display harbour-yard/concourse-a; recorded 2025-12-25, the hour is not known"
    assert " ".join(item.split()).count(source) == 1


def test_evidence_that_was_written_late_says_so_where_it_stands(twice: Registry) -> None:
    request = of_prints(twice, unit=UNIT, mode=MODE, display=DISPLAY, good=GOOD, printed=PRINTED)
    answer = audit(twice, replace(request, received="2025-12-22", defect="cast"))
    page = "\n".join(audit_text(twice, answer, "metric"))
    item = page.partition("roll lot: L-1 → L-2")[2].partition("all lamps replaced")[0]
    late = "WRITTEN LATE: recorded on 2025-12-23, after the complaint came in on 2025-12-22"
    before, also, after = item.partition("also: substrate lot: It was substrate-2")
    assert also
    assert late not in before
    assert late in " ".join(after.split())
