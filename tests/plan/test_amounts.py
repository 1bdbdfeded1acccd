"""Time and ink of a job: what they are computed from, and that what is not known stays unknown."""

from typing import Any

import pytest

from registry.errors import RequestError
from registry.model.usual import usuals
from registry.plan.answer import Figure, Plan, plan
from registry.plan.ink import Ink
from tests.plan.jobs import CHANNELS, case, job

SOLID = 7e-9 * (720 / 0.0254) ** 2
"""mL/m² of one channel at 100 %, by definition of the units."""
FOUR = ("1000x1000x4",)


def figure(made: Plan, key: str) -> Figure:
    (found,) = (each for each in made.figures if each.key == key)
    return found


def inks(made: Plan) -> dict[str, Ink]:
    return {each.name: each for each in made.inks}


def test_hours_are_swept_area_by_measured_speed_and_say_what_they_leave_out() -> None:
    made = plan(
        case(substrate={"widths_mm": [1067]}), job("1000x1000x4", gap_mm=20, margin_mm=10, bleed_mm=5)
    )
    hours, least = figure(made, "hours"), figure(made, "least_h")
    assert hours.value == pytest.approx(1.01 * (4 * 1.01 + 3 * 0.02) / 5)
    assert least.value == pytest.approx(4 * 1.01**2 / 5)
    assert "gaps between pieces included" in hours.how
    assert "warm-up" in hours.how


def test_without_a_measured_speed_the_time_is_unknown() -> None:
    made = plan(case(mode={"motion": {"passes": 16, "resolution": "720x720"}}), job(*FOUR))
    assert [(figure(made, key).value, figure(made, key).why) for key in ("hours", "least_h")] == [
        (None, "the mode's speed was not measured"),
        (None, "the mode's speed was not measured"),
    ]


def test_colour_ink_is_load_by_coverage_over_the_printed_area() -> None:
    made = plan(case(), job(*FOUR, coverage="60", bleed_mm=10))
    (ink,) = made.inks
    assert ink.laid_pct == 120
    assert ink.ml == pytest.approx(SOLID * 1.2 * 4 * 1.02**2)
    assert ink.how == "load 200 % × coverage 60 %, the sum of the channels"


def test_each_channel_has_its_own_millilitres_by_its_letter_or_its_name() -> None:
    made = plan(case(), job(*FOUR, coverage="C=20,m=15,yellow=10,K=5"))
    found = {name: ink.ml for name, ink in inks(made).items()}
    assert found == pytest.approx(
        {name: SOLID * 4 * share / 50 for name, share in _shares(cyan=20, magenta=15, yellow=10, black=5)}
    )


def test_millilitres_are_as_uncertain_as_the_drop_volume() -> None:
    (ink,) = plan(case(), job(*FOUR, coverage="60")).inks
    assert ink.ml is not None
    assert ink.interval_ml == pytest.approx((ink.ml * (1 - 1.96 * 0.05), ink.ml * (1 + 1.96 * 0.05)))
    better = usuals({"uncertainties": [{"input": "drop-volume", "u_pct": 1, "source": "weighed here"}]})
    (weighed,) = plan(case(), job(*FOUR, coverage="60"), better).inks
    assert weighed.u_ml == pytest.approx(ink.ml * 0.01)


def _shares(**shares: float) -> list[tuple[str, float]]:
    return list(shares.items())


def test_white_and_fluids_are_laid_all_over_at_their_own_loads() -> None:
    layers = [
        {"what": "colour", "load_pct": 100},
        {"what": "white", "load_pct": 150},
        {"what": "colour", "load_pct": 60},
    ]
    ink = {"clear_coat_pct": 10, "fixing_fluid_pct": 5}
    channels = [
        *CHANNELS,
        {"name": "opaque white", "role": "white"},
        {"name": "primer", "role": "fixing-fluid"},
    ]
    made = plan(
        case(mode={"layers": layers, "ink": ink}, printer={"channels": channels}), job(*FOUR, coverage="50")
    )
    assert [(each.name, each.of, each.laid_pct) for each in made.inks] == [
        ("colour inks, all together", "colour", 50),
        ("opaque white", "white", 150),
        ("colour inks, all together", "colour", 30),
        ("clear coat", "clear coat", 10),
        ("primer", "fixing fluid", 5),
    ]
    assert [each.ml for each in made.inks] == pytest.approx(
        [SOLID * 4 * share for share in (0.5, 1.5, 0.3, 0.1, 0.05)]
    )


def test_a_block_out_layer_is_named_as_a_layer() -> None:
    made = plan(case(mode={"layers": [{"what": "block-out", "load_pct": 80}]}), job(*FOUR))
    assert [(each.name, each.laid_pct) for each in made.inks] == [("block-out", 80)]


def test_without_coverage_colour_is_unknown_and_white_is_not() -> None:
    layers = [{"what": "colour", "load_pct": 200}, {"what": "white", "load_pct": 100}]
    colour, white = plan(case(mode={"layers": layers}), job(*FOUR)).inks
    assert (colour.ml, colour.why.partition(":")[0]) == (None, "no coverage was given")
    assert white.ml == pytest.approx(SOLID * 4)


def test_without_a_drop_volume_every_ink_is_unknown() -> None:
    (ink,) = plan(case(printer={"drop_volume_pl": None}), job(*FOUR, coverage="60")).inks
    assert (ink.laid_pct, ink.ml, ink.why) == (120, None, "the printer's drop volume is not recorded")


@pytest.mark.parametrize(
    ("mode", "coverage", "said"),
    [
        ({"ink": {"profile_max_pct": 260}}, "261", "261 % cannot be: the profile asks for 260 %"),
        ({}, "401", "401 % cannot be: an image asks for 400 %"),
        ({}, "C=20,orange=5", "the printer has no colour 'orange': it lays cyan, magenta, yellow, black"),
    ],
)
def test_a_coverage_that_cannot_be_is_refused(mode: dict[str, Any], coverage: str, said: str) -> None:
    with pytest.raises(RequestError) as refused:
        plan(case(mode=mode), job(*FOUR, coverage=coverage))
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("ink", "coverage", "told"),
    [
        ({"light_inks_pct": 40}, "60", True),
        ({}, "60", True),
        ({"light_inks_pct": 0}, "60", False),
        ({"light_inks_pct": 40}, "C=20,light cyan=10", False),
    ],
)
def test_light_inks_are_left_out_unless_they_are_off_or_named(
    ink: dict[str, Any], coverage: str, *, told: bool
) -> None:
    channels = [*CHANNELS, {"name": "light cyan", "role": "light-colour"}]
    made = plan(case(mode={"ink": ink}, printer={"channels": channels}), job(*FOUR, coverage=coverage))
    assert ("what light inks add where the separation uses them" in made.ink_leaves_out) == told


def test_what_does_not_fit_is_not_counted() -> None:
    made = plan(case(), job("1000x1000", "2000x2000", coverage="50"))
    (ink,) = made.inks
    assert figure(made, "finished_m2").value == 1
    assert figure(made, "finished_m2").how == "width × height of the pieces that fit"
    assert ink.ml == pytest.approx(SOLID)
    assert not made.is_whole


def test_where_nothing_is_laid_out_areas_are_those_of_all_pieces() -> None:
    made = plan(case(substrate={"widths_mm": None}), job(*FOUR, coverage="50", bleed_mm=5))
    assert made.best is None
    assert not made.is_whole
    assert made.stocks.unknown == ("the substrate's widths are not recorded: give one with --width",)
    assert figure(made, "printed_m2").value == pytest.approx(4 * 1.01**2)
    assert (figure(made, "metres").value, figure(made, "metres").why) == (None, "nothing is laid out")
    assert figure(made, "hours").value is None
    assert figure(made, "least_h").value == pytest.approx(4 * 1.01**2 / 5)
    assert made.inks[0].ml == pytest.approx(SOLID * 4 * 1.01**2)


def test_widths_that_the_printer_does_not_take_are_named() -> None:
    made = plan(
        case(substrate={"widths_mm": [200, 1067, 1700]}, printer={"min_width_mm": 254, "max_width_mm": 1625}),
        job(*FOUR),
    )
    assert [each.stock.width_mm for each in made.layouts] == [1067]
    assert [(each.width_mm, each.limit_mm, each.too_wide) for each in made.stocks.not_taken] == [
        (1700, 1625, True),
        (200, 254, False),
    ]


def test_a_printer_whose_limit_is_not_recorded_is_said_to_be_unknown() -> None:
    made = plan(case(printer={"max_width_mm": None}), job(*FOUR))
    assert made.stocks.unknown == (
        "the printer's widest material is not recorded: whether it takes these widths is unknown",
    )
    assert made.is_whole


def test_rolls_are_unknown_where_their_length_is() -> None:
    made = plan(case(substrate={"roll": None}), job(*FOUR))
    assert (figure(made, "lengths").value, figure(made, "lengths").why) == (
        None,
        "the roll length is not recorded",
    )
    assert figure(made, "metres").value == pytest.approx(4)
    asked = plan(case(substrate={"roll": None}), job(*FOUR, length_m=2.5))
    assert figure(asked, "lengths").value == 2


def test_sheets_need_a_recorded_size_or_a_given_one() -> None:
    sheet = {"construction": "sheet", "roll": None, "widths_mm": [1250]}
    unknown = plan(case(substrate=sheet), job(*FOUR))
    assert unknown.stocks.unknown == (
        "the sizes of its sheets are not recorded: give one with --width and --length",
    )
    recorded = plan(case(substrate={**sheet, "sheets": [{"width_mm": 1250, "length_mm": 2500}]}), job(*FOUR))
    given_so = plan(case(substrate=sheet), job(*FOUR, length_m=2.5))
    assert (figure(recorded, "lengths").value, figure(given_so, "lengths").value) == (2, 2)
    assert recorded.best is not None
    assert recorded.best.stock == given_so.layouts[0].stock


def test_a_width_of_ones_own_is_the_only_one() -> None:
    made = plan(case(), job(*FOUR, width_mm=1200))
    assert [each.stock.width_mm for each in made.layouts] == [1200]
