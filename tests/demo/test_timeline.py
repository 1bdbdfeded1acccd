"""Dates, ids and references of the story agree in time."""

import itertools
from datetime import datetime

import pytest

from registry.demo.replay import Told
from registry.model.shape import shape_of
from tests.demo.telling import Landed, Records

Key = tuple[str, int]


@pytest.fixture(scope="module")
def revisions(history: tuple[Landed, ...]) -> dict[Key, tuple[datetime, str]]:
    """When each revision of each mode landed, and its settings digest."""
    shape = shape_of("print-mode")
    return {
        (landed.id, landed.document["revision"]): (landed.told.landing.landed, shape.digest(landed.document))
        for landed in history
        if landed.kind == "print-mode"
    }


def instant(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_runs_confirmations_and_adoptions_name_a_revision_by_its_own_digest(
    present: Records, revisions: dict[Key, tuple[datetime, str]]
) -> None:
    for kind in ("run", "confirmation", "event"):
        for name, document in present[kind].items():
            if "mode_revision" in document:
                _, digest = revisions[document["mode"], document["mode_revision"]]
                assert document["settings_digest"] == digest, name


def test_nothing_is_printed_or_adopted_before_its_revision_has_landed(
    present: Records, revisions: dict[Key, tuple[datetime, str]]
) -> None:
    adopted = [event for event in present["event"].values() if event["kind"] == "adopted"]
    for document, when in [
        *((run, run["printed"]) for run in present["run"].values()),
        *((event, event["at"]) for event in adopted),
    ]:
        landed, _ = revisions[document["mode"], document["mode_revision"]]
        assert landed <= instant(when), document["title"]


def test_a_run_uses_the_settings_that_its_machine_adopted_last(present: Records) -> None:
    adopted = [event for event in present["event"].values() if event["kind"] == "adopted"]
    for name, run in present["run"].items():
        before = [
            event
            for event in adopted
            if (event["unit"], event["mode"]) == (run["unit"], run["mode"])
            and instant(event["at"]) <= instant(run["printed"])
        ]
        assert before, name
        last = max(before, key=lambda event: instant(event["at"]))
        assert last["settings_digest"] == run["settings_digest"], name


def test_a_confirmation_follows_a_run_of_the_same_settings_on_the_same_machine(present: Records) -> None:
    for name, said in present["confirmation"].items():
        runs = [
            run
            for run in present["run"].values()
            if (run["unit"], run["mode"], run["settings_digest"])
            == (said["unit"], said["mode"], said["settings_digest"])
            and run["printed"][:10] <= said["date"]
        ]
        assert runs, name


def test_machines_print_modes_made_for_their_model_and_one_job_at_a_time(present: Records) -> None:
    for run in present["run"].values():
        unit, mode = present["unit"][run["unit"]], present["print-mode"][run["mode"]]
        assert unit["printer"] == mode["printer"], run["title"]
        assert run["unit"].startswith(f"{run['site']}/")
    for name in present["unit"]:
        printed = sorted(
            (run for run in present["run"].values() if run["unit"] == name),
            key=lambda run: instant(run["printed"]),
        )
        for run, following in itertools.pairwise(printed):
            hours = (instant(following["printed"]) - instant(run["printed"])).total_seconds() / 3600
            speed = present["print-mode"][run["mode"]]["motion"]["speed_m2_h"]
            assert hours >= run["area_m2"] / speed, run["title"]


def test_job_numbers_are_given_once_and_in_order(present: Records) -> None:
    runs = sorted(present["run"].values(), key=lambda run: instant(run["printed"]))
    jobs = [run["job"] for run in runs]
    assert len(set(jobs)) == len(jobs)
    for prefix in {job[:5] for job in jobs}:
        own = [int(job[6:]) for job in jobs if job.startswith(prefix)]
        assert own == sorted(own), prefix


def test_a_roll_comes_from_a_lot_of_its_substrate(present: Records) -> None:
    lots: dict[str, set[str]] = {}
    for run in present["run"].values():
        if "roll_lot" in run:
            prefix = run["roll_lot"].partition("-")[0]
            lots.setdefault(prefix, set()).add(run["mode"].rpartition("/")[0])
    assert len(lots) >= 15
    assert all(len(substrates) == 1 for substrates in lots.values()), lots


def test_what_happened_is_written_down_on_its_day_or_later_by_the_shop_it_happened_in(
    history: tuple[Landed, ...],
) -> None:
    when = {"event": "at", "run": "printed", "confirmation": "date"}
    for landed in history:
        if landed.kind in when:
            day = landed.document[when[landed.kind]][:10]
            assert landed.path.rpartition("/")[2].startswith(f"{day}-")
            assert day <= landed.document["recorded"]["date"], landed.path
            assert landed.document["recorded"]["site"] == landed.document["site"]


def test_no_lamp_panel_or_head_is_changed_twice_at_once(present: Records) -> None:
    moments = [
        (event["kind"], event.get("unit", event.get("display", event.get("lot"))), event["at"])
        for event in present["event"].values()
        if event["kind"] != "adopted"
    ]
    assert len(set(moments)) == len(moments)


def test_people_are_told_by_their_roles(story: tuple[Told, ...]) -> None:
    roles = {commit.role for told in story for commit in told.landing.commits}
    assert roles == {
        "colour specialist",
        "operator",
        "workshop lead",
        "production manager",
        "service technician",
        "fitter",
    }
