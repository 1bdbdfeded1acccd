"""A landing that is dated before what it brought was recorded, told wherever its date matters."""

import json
from typing import Any

import pytest

from registry.model.shape import shape_of
from tests import small
from tests.goldens import run
from tests.index.branch import DAY, START, Branch
from tests.index.drawn import whole

MODE = small.mode_path(small.MODE)
ODD = "dated before it was recorded, so a clock or that day is wrong"


def mode(number: int, recorded: str) -> dict[str, Any]:
    start = small._START[MODE]  # noqa: SLF001
    heat = {"cure_c": 90 + number}
    signed = {"recorded": {"date": recorded, "site": "quay"}, "reason": f"Reason {number}"}
    return start | {"revision": number, "status": "trial", "heat": heat} | signed


def ran(number: int, recorded: str, day: str) -> dict[str, dict[str, Any]]:
    digest = shape_of("print-mode").digest(whole(MODE, mode(number, recorded)))
    proof = {"title": "Ran", "unit": "quay/one", "mode": small.MODE, "mode_revision": number}
    at = {"settings_digest": digest, "printed": f"{day}T12:00:00+01:00", "job": f"J{number}"}
    return {f"records/sites/quay/runs/{day}-a.json": proof | at | {"recorded": {"date": day, "site": "quay"}}}


@pytest.fixture
def odd(branch: Branch) -> Branch:
    """A mode that landed on 2 January, and again on the 6th, though its r2 says the 8th."""
    unit = {"title": "One", "printer": "broadreach-64"}
    sites = {"records/sites/quay/site.json": {"title": "Quay"}, "records/sites/quay/units/one.json": unit}
    branch.land(small._START | sites | {MODE: mode(1, "2026-01-02")})  # noqa: SLF001
    branch.land({MODE: mode(2, "2026-01-08")}, at=START + 5 * DAY)
    return branch


def said(branch: Branch, *args: str) -> str:
    return " ".join(run(branch.folder, *args).stdout.split())


def told(branch: Branch, *args: str) -> Any:
    return json.loads(run(branch.folder, *args, "--format", "json").stdout)


def test_the_history_says_it_of_the_revision_alone(odd: Branch) -> None:
    landed = "landed 2026-01-06 01:00, written by Mill Lane"
    assert f"{landed}; {ODD} (commit" in said(odd, "history", small.MODE)
    assert said(odd, "history", small.MODE).count(ODD) == 1
    assert f"{landed}; {ODD}" in said(odd, "history", small.MODE, "--field", "heat.cure_c")
    steps = told(odd, "history", small.MODE)["revisions"]
    assert [each["landed"]["early"] for each in steps] == [False, True]


def test_the_record_and_what_had_landed_by_a_day_say_it(odd: Branch) -> None:
    for asked in (small.MODE, f"{small.MODE}@2026-01-07"):
        assert ODD in said(odd, "show", asked)
        assert told(odd, "show", asked)["record"]["landed"]["early"] is True
    assert ODD not in said(odd, "show", f"{small.MODE}@2026-01-05")
    compared = told(odd, "diff", f"{small.MODE}@2026-01-05", f"{small.MODE}@2026-01-07")
    assert [compared[side]["landed"]["early"] for side in ("before", "after")] == [False, True]
    assert said(odd, "diff", f"{small.MODE}@2026-01-05", f"{small.MODE}@2026-01-07").count(ODD) == 1


def test_the_audit_says_it_of_what_changed_and_of_what_it_assumes(odd: Branch) -> None:
    odd.land(ran(1, "2026-01-02", "2026-01-04"), at=START + 9 * DAY)
    asked = ("--unit", "quay/one", "--mode", small.MODE, "--good", "2026-01-04")
    assert "ODD DATE" not in said(odd, "audit", *asked, "--printed", "2026-01-07")  # the run still counts
    odd.land(ran(2, "2026-01-08", "2026-01-07"), at=START + 10 * DAY)
    assert f"ODD DATE: its landing is {ODD}" in said(odd, "audit", *asked, "--printed", "2026-01-07")
    (clue,) = told(odd, "audit", *asked, "--printed", "2026-01-07")["differences"]
    assert clue["origin"]["early"] is True
    found = told(odd, "show", f"{small.MODE}@site:harbour-yard")["record"]["in_force"]["words"]
    assert f"assumed: r2 had landed by then, but its landing is {ODD}; no run" in found


def findings(branch: Branch) -> list[str]:
    found = told(branch, "check")["findings"]
    return [each["message"] for each in found if each["code"] == "landing-clock"]


def test_the_check_says_it_once_for_each_landing(odd: Branch) -> None:
    commit = odd.git("rev-parse", "HEAD")[:12]
    word = (
        f"commit {commit} counts as landed on 2026-01-06, but {MODE} says that it was recorded on 2026-01-08"
    )
    assert findings(odd) == [word]
    signed = {"recorded": {"date": "2026-02-01", "site": "quay"}}
    last = odd.land({f"records/printers/{name}.json": signed for name in "ab"}, at=START + 6 * DAY)[:12]
    says = "says that it was recorded on 2026-02-01 (and 1 more)"
    assert findings(odd) == [
        word,
        f"commit {last} counts as landed on 2026-01-07, but records/printers/a.json {says}",
    ]


@pytest.mark.parametrize(
    ("hour", "recorded", "early"),
    [
        (22.5, "2026-01-05", False),  # 23:30 on the registry's clock
        (22.5, "2026-01-06", True),
        (23.5, "2026-01-06", False),  # 00:30 there, on the next day
        (23.5, "2026-01-07", True),
    ],
)
def test_days_are_compared_on_the_registrys_clock(
    branch: Branch, hour: float, recorded: str, early: bool
) -> None:
    signed = {"recorded": {"date": recorded, "site": "quay"}}
    branch.land({"records/printers/wide.json": signed}, at=int(START + 4 * DAY + hour * 3600))
    (step,) = told(branch, "history", "wide")["revisions"]
    assert (step["landed"]["early"], len(findings(branch))) == (early, early)


def test_a_landing_counts_as_of_the_latest_date_before_it(branch: Branch) -> None:
    branch.land({"records/notes.txt": b"x"}, at=START + 9 * DAY)
    signed = {"recorded": {"date": "2026-01-08", "site": "quay"}}
    branch.land({"records/printers/wide.json": signed}, at=START + 5 * DAY)
    (step,) = told(branch, "history", "wide")["revisions"]
    assert step["landed"]["early"] is False
    assert not [each for each in findings(branch) if "recorded" in each]
