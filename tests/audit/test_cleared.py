"""Which jobs ran with what a clue says, so that it is less likely."""

from dataclasses import replace
from typing import Any

import pytest

from registry.audit.answer import Clue, Origin, OtherRun
from registry.audit.prints import Run
from registry.audit.story import cleared
from registry.change.compare import SettingChange

AT, DAY = 1_000_000.0, 24 * 60 * 60
EVENT = Clue(
    place="event",
    record="yard/event",
    label="head replaced",
    change=None,
    event="head-replaced",
    at=AT,
    at_is="happened",
    day_only=False,
    origin=Origin("", "2025-12-01", "yard", AT, (), ""),
    effect="direct",
    likely=True,
)
LOT = SettingChange(
    path="roll_lot",
    setting="roll_lot",
    name="roll lot",
    label="roll lot",
    group="",
    unit="",
    before="L-1",
    after="L-2",
    effect="direct",
    scope="roll",
)


def jobs(
    clue: Clue, at: float, settings: Any = "of the bad print", complaint: str = "", **run: str
) -> tuple[str, ...]:
    """Return the jobs that clear the clue, of one job printed at a time."""
    other = OtherRun("yard/run", "J1", at, 1, settings, complaint)
    return cleared(clue, [other], [Run("yard/run", at, run)], "yard/concourse").cleared_by


def test_a_job_after_an_event_ran_with_it_and_one_before_did_not() -> None:
    assert jobs(EVENT, AT + 1) == ("J1",)
    assert jobs(EVENT, AT) == jobs(EVENT, AT - 1) == ()


def test_a_job_that_was_complained_of_clears_nothing() -> None:
    assert jobs(EVENT, AT + 1, complaint="yard/complaint") == ()


def test_where_only_the_day_of_an_event_is_known_a_job_of_that_day_clears_nothing() -> None:
    event = replace(EVENT, day_only=True)
    assert jobs(event, AT + DAY / 2) == ()
    assert jobs(event, AT + DAY + 1) == ("J1",)


@pytest.mark.parametrize(
    ("settings", "clears"),
    [("of the bad print", True), ("of both", True), ("of the good print", False), ("others", False)],
)
def test_a_setting_of_the_mode_is_cleared_by_the_settings_of_the_bad_print_whenever(
    settings: str, clears: bool
) -> None:
    assert bool(jobs(replace(EVENT, place="mode"), AT - 1, settings)) is clears


def test_a_choice_of_the_job_is_cleared_by_a_job_with_the_same_choice() -> None:
    choice = replace(EVENT, place="job", change=LOT)
    assert jobs(choice, AT - 1, roll_lot="L-2") == ("J1",)
    assert jobs(choice, AT + 1, roll_lot="L-1") == ()
    assert jobs(choice, AT + 1) == ()


@pytest.mark.parametrize("clue", [replace(EVENT, place="display"), replace(EVENT, display="yard/concourse")])
def test_what_changed_at_the_display_is_cleared_only_by_a_later_print_in_it(clue: Clue) -> None:
    assert jobs(clue, AT + 1, display="yard/concourse") == ("J1",)
    assert jobs(clue, AT - 1, display="yard/concourse") == ()
    assert jobs(clue, AT + 1, display="yard/kiosk") == ()


def test_a_lot_is_cleared_by_a_job_that_used_it() -> None:
    lot = replace(EVENT, lot="L-2")
    assert jobs(lot, AT + 1, roll_lot="L-2") == jobs(lot, AT + 1, ink_lot="L-2") == ("J1",)
    assert jobs(lot, AT + 1, roll_lot="L-1") == ()
