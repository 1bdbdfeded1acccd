"""What happened on one axis of time, against what plainly stands in the files."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from registry.change.timeline import Timeline, happened_to, timeline
from registry.contribute.prepare import Writer, revise
from registry.question.dates import span
from registry.question.names import UnknownRecord, once_named
from registry.question.registry import Registry, silent
from tests.audit.story import DISPLAY, Continued, continue_story
from tests.small import MODE, UNIT, build, mode_path


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("timeline") / "registry"
    build(folder)
    continue_story(folder)
    return folder


@pytest.fixture
def registry(told: Path) -> Registry:
    return Registry(told, {}, silent)


def written(folder: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every event, run, confirmation and complaint that lies there, with its id."""
    for path in sorted((folder / "records" / "sites").rglob("*.json")):
        if path.parent.name in {"events", "runs", "confirmations", "complaints"}:
            rid = f"{path.parent.parent.name}/{path.stem}"
            yield rid, json.loads(path.read_bytes())


def happened(answer: Timeline) -> list[str]:
    return [each.record for each in answer.entries if each.what not in {"recorded", "landed"}]


@pytest.mark.parametrize(
    ("member", "rid"), [("mode", MODE), ("unit", UNIT), ("display", DISPLAY), ("site", "harbour-yard")]
)
def test_all_that_names_a_record_stands_on_its_timeline_once(
    told: Path, registry: Registry, member: str, rid: str
) -> None:
    plainly = {name for name, document in written(told) if document.get(member) == rid}
    if member in {"unit", "display"}:
        plainly |= {
            name
            for name, document in written(told)
            if "at" in document
            and document["site"] == "harbour-yard"
            and not {"unit", "display", "lot"} & document.keys()
        }
    found = happened(timeline(registry, rid))
    assert len(found) > 4
    assert sorted(found) == sorted(plainly)


def test_entries_stand_in_the_order_of_time(registry: Registry) -> None:
    for rid in (MODE, UNIT, DISPLAY, "harbour-yard"):
        times = [each.at for each in timeline(registry, rid).entries]
        assert times == sorted(times)


def test_the_three_clocks_of_a_mode_stand_apart(registry: Registry) -> None:
    answer = timeline(registry, MODE)
    landed = [each.revision for each in answer.entries if each.what == "landed"]
    assert landed == [each.label for each in registry.model.revisions(mode_path(MODE))]
    assert [(each.words, each.where) for each in answer.entries if each.what == "in force"] == [
        ("adopted", UNIT),
        ("adopted", UNIT),
    ]
    assert not [each for each in answer.entries if each.what == "recorded"]  # all landed on the day


def test_a_revision_that_landed_later_was_recorded_on_a_day_of_its_own(tmp_path: Path) -> None:
    folder = tmp_path / "registry"
    build(folder)
    teller = Continued(folder)
    with teller.series:
        patch = {"heat": {"cure_c": 99}}
        writer = Writer("mill-lane", "2026-01-05")
        early = revise(teller, mode_path(MODE), patch, writer=writer, reason="Cooler")
        teller.land("2026-01-08", "mill-lane", early)
        teller.series.finish()
    entries = timeline(Registry(folder, {}, silent), MODE).entries
    assert [(each.what, each.revision, each.is_day) for each in entries[-2:]] == [
        ("recorded", "r5", True),
        ("landed", "r5", False),
    ]


@pytest.mark.parametrize("name", ["L-21", "l 21", "L21"])
def test_a_lot_is_found_however_it_is_written(registry: Registry, name: str) -> None:
    answer = timeline(registry, name)
    assert answer.kind == "lot"
    ran = ["harbour-yard/2025-12-10-j152", "harbour-yard/2025-12-20-j160"]
    assert happened(answer) == ["harbour-yard/2025-12-04-roll", *ran]


def test_a_name_of_nothing_is_refused(registry: Registry) -> None:
    with pytest.raises(UnknownRecord):
        timeline(registry, "L-99x")


def test_what_landed_long_after_it_happened_is_marked(registry: Registry) -> None:
    late = {each.record for each in timeline(registry, UNIT).entries if each.late}
    assert "harbour-yard/2025-12-09-nozzles" in late
    assert "harbour-yard/2025-12-10-j152" not in late


def test_only_a_unit_and_a_display_have_a_past_beside_their_revisions(registry: Registry) -> None:
    unit = happened_to(registry, once_named(registry, UNIT, ("unit",)))
    assert [each.record for each in unit] == happened(timeline(registry, UNIT))
    assert happened_to(registry, once_named(registry, MODE)) == ()


def test_a_site_has_the_revisions_of_what_stands_there(registry: Registry) -> None:
    landed = {each.record for each in timeline(registry, "harbour-yard").entries if each.what == "landed"}
    assert landed == {"harbour-yard", UNIT, DISPLAY}


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [("+01:00", "2026-03-29", 24), ("CET", "2026-03-29", 23), ("CET", "2026-10-25", 25)],
)
def test_a_day_is_as_long_as_it_was_where_the_registry_is(
    registry: Registry, zone: str, day: str, hours: int
) -> None:
    """Summer time begins and ends on these days (tz database, zone CET)."""
    registry.__dict__["settings"] = {"time_zone": zone}
    found = span(registry, day)
    assert found is not None
    assert found[1] - found[0] + 1 == hours * 3600
    assert span(registry, "no day") is None
    assert span(registry, f"{day}T12:00:00+01:00") == span(registry, f"{day}T11:00:00+00:00")
