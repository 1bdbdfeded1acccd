"""In which order the findings are told."""

from dataclasses import replace

import pytest

from registry.audit.answer import Clue, Origin, Place, Print
from registry.audit.story import in_order
from registry.audit.usual import is_usual
from registry.change.compare import SettingChange

BAD = Print(at=1_000_000, run="", record={}, in_force=None, mode=None, landing=1)
EVENT = Clue(
    place="event",
    record="yard/event",
    label="",
    change=None,
    event="",
    at=0,
    at_is="happened",
    day_only=False,
    origin=Origin("", "2025-12-01", "yard", 0, (), ""),
    effect="direct",
    likely=False,
)
SETTING = SettingChange(
    path="",
    setting="",
    name="",
    label="",
    group="",
    unit="",
    before=1,
    after=2,
    effect="direct",
    scope="model",
)


def happened(kind: str, at: float, defect: str, effect: str = "direct") -> Clue:
    return replace(
        EVENT, label=kind, event=kind, at=at, effect=effect, likely=is_usual(defect, "event", kind)
    )


def differs(place: Place, setting: str, at: float, defect: str, effect: str = "direct") -> Clue:
    change = replace(SETTING, setting=setting)
    likely = is_usual(defect, place, setting)
    return replace(
        EVENT,
        label=setting,
        place=place,
        change=change,
        at=at,
        effect=effect,
        likely=likely,
    )


def labels(clues: list[Clue], defect: str) -> list[str]:
    return [each.label for each in in_order(clues, BAD, defect)]


def test_of_sticking_heat_comes_before_lots_however_near_they_are() -> None:
    defect = "sticking-on-the-roll"
    lot = differs("job", "roll_lot", BAD.at, defect)
    heat = differs("mode", "heat.cure_c", 0, defect, "indirect")
    air = happened("humidity-excursion", BAD.at, defect)
    assert labels([lot, air, heat], defect) == ["heat.cure_c", "humidity-excursion", "roll_lot"]


@pytest.mark.parametrize(
    ("defect", "first"), [("cast", "humidity-excursion"), ("", "humidity-excursion"), ("scratching", "moved")]
)
def test_where_colour_is_not_the_matter_the_nearest_of_what_also_changed_comes_first(
    defect: str, first: str
) -> None:
    near = happened("moved", BAD.at, defect, "indirect")
    strong = happened("humidity-excursion", 0, defect, "direct")
    assert (near.likely, strong.likely) == (False, False)
    assert labels([near, strong], defect)[0] == first


def test_what_was_adopted_comes_last_whatever_the_defect() -> None:
    adopted = happened("adopted", BAD.at, "scratching", "none")
    moved = happened("moved", 0, "scratching", "indirect")
    for defect in ("scratching", "cast", ""):
        assert labels([adopted, moved], defect) == ["moved", "adopted"]


def test_what_a_good_job_had_too_comes_after_what_none_had() -> None:
    calm = replace(happened("nozzle-loss", BAD.at, "banding"), cleared_by=("J1",))
    step = differs("mode", "web.tension_n", 0, "banding", "none")
    assert labels([calm, step], "banding") == ["web.tension_n", "nozzle-loss"]
    also = replace(happened("driver", BAD.at, "banding"))
    assert labels([also, calm, step], "banding") == ["web.tension_n", "nozzle-loss", "driver"]


def test_what_stands_beside_a_clue_counts_for_its_place() -> None:
    lot = happened("substrate-lot", 0, "banding")
    near = replace(
        differs("job", "roll_lot", 10, "banding"), also=(happened("alignment", BAD.at, "banding"),)
    )
    motion = differs("mode", "motion.direction", BAD.at, "banding")
    assert labels([lot, motion, near], "banding") == ["roll_lot", "motion.direction", "substrate-lot"]
