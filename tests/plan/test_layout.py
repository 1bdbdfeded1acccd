"""A job on one material: gaps, margins, bleed and leads are kept, and what has no place says why."""

import itertools
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.plan.answer import plan
from registry.plan.job import Job, Piece
from registry.plan.layout import Layout, Place, layout
from registry.plan.stock import Stock, stocks
from registry.plan.unfit import LONG, PART, SET, WIDE
from tests.plan.jobs import case, job

_tenths = st.integers(0, 400).map(lambda number: number / 10)
_pieces = st.lists(
    st.builds(
        Piece,
        st.just("piece"),
        st.integers(500, 9000).map(lambda number: number / 10),
        st.integers(500, 9000).map(lambda number: number / 10),
        st.integers(1, 3),
        st.sampled_from(["", "", "wall"]),
    ),
    min_size=1,
    max_size=5,
)
_jobs = st.builds(
    Job,
    pieces=_pieces.map(tuple),
    bleed_mm=_tenths,
    gap_mm=_tenths,
    margin_mm=_tenths,
    lead_in_m=st.sampled_from([0, 0.3]),
    lead_out_m=st.sampled_from([0, 0.2]),
)
_stocks = st.builds(
    Stock, st.sampled_from([610.0, 914.4, 1270.0]), st.sampled_from([None, 1500.0, 30000.0]), st.just(False)
)
_sheets = st.builds(Stock, st.sampled_from([610.0, 1250.0]), st.sampled_from([1000.0, 2500.0]), st.just(True))
_TINY = 1e-6


def apart(one: Place, other: Place) -> float:
    """Return the gap between two pieces across or along, whichever is wider."""
    across = max(other.x_mm - one.x_mm - one.across_mm, one.x_mm - other.x_mm - other.across_mm)
    along = max(other.y_mm - one.y_mm - one.along_mm, one.y_mm - other.y_mm - other.along_mm)
    return max(across, along)


def by_length(found: Layout) -> list[list[Place]]:
    numbers = range(1, len(found.used_mm) + 1)
    return [[place for place in found.places if place.length == number] for number in numbers]


@settings(max_examples=60)
@given(_jobs, st.one_of(_stocks, _sheets))
def test_gaps_margins_and_leads_are_kept(asked: Job, stock: Stock) -> None:
    found = layout(asked, stock)
    first = asked.margin_mm if stock.sheet else 1000 * asked.lead_in_m
    last = asked.margin_mm if stock.sheet else 1000 * asked.lead_out_m
    for places, used in zip(by_length(found), found.used_mm, strict=True):
        for one, other in itertools.combinations(places, 2):
            assert apart(one, other) >= asked.gap_mm - _TINY
        for place in places:
            assert place.x_mm >= asked.margin_mm - _TINY
            assert place.x_mm + place.across_mm <= stock.width_mm - asked.margin_mm + _TINY
            assert place.y_mm >= first - _TINY
            assert place.y_mm + place.along_mm <= used - last + _TINY
        assert stock.length_mm is None or used <= stock.length_mm + _TINY


@settings(max_examples=60)
@given(_jobs, st.one_of(_stocks, _sheets))
def test_areas_add_up(asked: Job, stock: Stock) -> None:
    found = layout(asked, stock)
    lost = [unfit.piece for unfit in found.unfit]
    assert found.pieces_m2 == pytest.approx(sum(piece.area_m2 for piece in asked.pieces if piece not in lost))
    printed = sum(place.across_mm * place.along_mm for place in found.places) / 1e6
    assert found.printed_m2 == pytest.approx(printed)
    assert found.pieces_m2 <= found.printed_m2 + _TINY
    assert found.printed_m2 <= found.swept_m2 + _TINY
    assert found.swept_m2 <= found.material_m2 + _TINY
    assert found.metres >= found.least_m - _TINY
    if found.places:
        assert found.waste_pct == pytest.approx(100 * (1 - found.pieces_m2 / found.material_m2))


@settings(max_examples=40)
@given(_jobs, _stocks)
def test_a_set_is_neither_turned_nor_torn(asked: Job, stock: Stock) -> None:
    found = layout(asked, stock)
    panels = [place for place in found.places if place.set]
    assert not [place for place in panels if place.turned]
    assert len({place.length for place in panels}) <= 1
    wanted = sum(piece.count for piece in asked.pieces if piece.set)
    assert len(panels) in (0, wanted)
    assert sorted(place.number for place in panels) in ([], sorted(_numbers(asked)))


def _numbers(asked: Job) -> list[int]:
    """Return the numbers that the set's panels have among all that are called `piece`."""
    numbers: list[int] = []
    last = 0
    for piece in asked.pieces:
        if piece.set:
            numbers += range(last + 1, last + piece.count + 1)
        last += piece.count
    return numbers


def test_length_is_from_lead_in_to_lead_out() -> None:
    found = layout(
        job("500x700x4", bleed_mm=5, gap_mm=10, margin_mm=20, lead_in_m=0.5, lead_out_m=0.25), Stock(1100)
    )
    # two across (510 + 10 + 510 = 1030 of 1060), two rows of 710 with 10 between: 1430
    assert found.metres == pytest.approx(0.5 + 1.43 + 0.25)
    assert [(place.x_mm, place.y_mm) for place in found.places] == [
        (20, 500),
        (540, 500),
        (20, 1220),
        (540, 1220),
    ]
    assert found.swept_m2 == pytest.approx(1.03 * 1.43)
    assert found.waste_pct == pytest.approx(100 * (1 - 4 * 0.35 / (1.1 * 2.18)))


@pytest.mark.parametrize(("length_mm", "sheets"), [(1000.0, 1), (999.9, 2)])
def test_pieces_that_fill_a_sheet_with_the_gap_between_them_fit_on_it(length_mm: float, sheets: int) -> None:
    found = layout(job("400x495x2", gap_mm=10), Stock(405, length_mm, sheet=True))
    assert len(found.used_mm) == sheets


def test_a_roll_is_not_started_where_its_leads_cost_more_than_it_saves() -> None:
    asked = job("700x300x2", sets=("wall=400x900+600x900",), lead_in_m=1, lead_out_m=0.5)
    found = layout(asked, Stock(1000))
    # the set 900 and the pieces at most 700 more; on a roll of its own each would need 1.5 m more
    assert len(found.used_mm) == 1
    assert found.metres <= 3.1


def test_a_sheet_is_not_started_where_the_pieces_fit_on_fewer() -> None:
    asked = job("900x1100x2", sets=("wall=400x900+300x300x2+300x700x2",))
    found = layout(asked, Stock(1000, 2000, sheet=True))
    # beside each 900x1100 lies a part of the set; a third sheet would shorten the print, not what is used
    assert (len(found.used_mm), found.metres, found.unfit) == (2, 4, ())


def test_panels_of_one_size_are_numbered_in_the_order_of_printing() -> None:
    found = layout(job(sets=("wall=1000x500x3+1000x800",)), Stock(1000))
    sizes = {place.number: place.along_mm for place in found.places}
    assert sizes == {1: 500, 2: 500, 3: 500, 4: 800}
    assert [place.number for place in found.places if place.number < 4] == [1, 2, 3]


def test_a_piece_wider_than_the_roll_is_not_cut_up_but_panels_are_named() -> None:
    (unfit,) = layout(job("hall=3200x2400", bleed_mm=10, margin_mm=10), Stock(1600)).unfit
    # 1580 between the margins, less two bleeds: 1560 for a panel's finished width
    assert (unfit.why, unfit.room_mm, unfit.side_mm, unfit.panels) == (WIDE, 1580, 2400, 2)
    assert unfit.panel_mm == 1200


def test_a_piece_that_fills_a_sheet_only_turned_fits_on_it() -> None:
    (place,) = layout(job("1000x300"), Stock(300, 1000.0, sheet=True)).places
    assert (place.turned, place.across_mm, place.along_mm) == (True, 300, 1000)


def test_where_not_even_a_panel_has_room_none_are_named() -> None:
    (unfit,) = layout(job("hall=300x200", bleed_mm=10, margin_mm=10), Stock(40)).unfit
    assert (unfit.why, unfit.room_mm, unfit.panels, unfit.panel_mm) == (WIDE, 20, 0, 0)


def test_panels_of_the_width_named_fit_with_a_bleed_on_either_side() -> None:
    asked: dict[str, Any] = {"bleed_mm": 30, "margin_mm": 10}
    (unfit,) = layout(job("hall=3200x3080", **asked), Stock(1600)).unfit
    # two panels of 1540 fill the 1580 between the margins with one bleed each, and need two
    assert unfit.panels == 3
    panel = f"{unfit.panel_mm:g}x3200x3"
    assert layout(job(sets=(f"hall={panel}",), **asked), Stock(1600)).unfit == ()


def test_a_set_that_would_fit_only_turned_says_so() -> None:
    (unfit,) = layout(job(sets=("wall=1700x900x2",)), Stock(1600)).unfit
    assert (unfit.why, unfit.fits_turned, unfit.panels) == (WIDE, True, 2)


@pytest.mark.parametrize(
    ("pieces", "sets", "length_mm", "whys"),
    [
        (("1000x3000",), (), 2500, [LONG]),
        ((), ("wall=1000x2000x2",), 2500, [SET]),
        ((), ("wall=1000x2000x2+1600x500",), None, [PART, WIDE]),
        ((), ("wall=1000x200+1000x3000",), 2500, [PART, LONG]),
    ],
)
def test_what_has_no_place_says_why(
    pieces: tuple[str, ...], sets: tuple[str, ...], length_mm: float | None, whys: list[str]
) -> None:
    found = layout(job(*pieces, sets=sets), Stock(1500, length_mm))
    assert [unfit.why for unfit in found.unfit] == whys
    assert found.places == ()
    assert found.waste_pct is None


def test_sheets_are_taken_whole_and_a_set_may_lie_on_several() -> None:
    found = layout(job(sets=("wall=1000x2000x3",), gap_mm=10, margin_mm=10), Stock(1250, 2500, sheet=True))
    assert (len(found.used_mm), found.metres, found.least_m) == (3, 7.5, 5)  # by area two would do
    assert found.unfit == ()


def test_the_plan_takes_the_width_of_least_material_and_names_the_shortest_too() -> None:
    made = plan(case(), job("1000x1000", "500x500x2"))
    assert made.best is not None
    assert made.shortest is not None
    assert (made.best.stock.width_mm, made.shortest.stock.width_mm) == (1524, 1524)
    made = plan(case(), job("1000x1000x3"))
    assert made.best is not None
    assert made.shortest is not None
    assert made.best.stock.width_mm == made.shortest.stock.width_mm == 1067
    made = plan(case(substrate={"widths_mm": [1000, 1900]}, printer={"max_width_mm": 2000}), job("900x900x2"))
    assert made.best is not None
    assert made.shortest is not None
    assert (made.best.stock.width_mm, made.shortest.stock.width_mm) == (1900, 1900)


def test_the_printers_widest_and_narrowest_are_taken_themselves() -> None:
    limits = {"min_width_mm": 1000, "max_width_mm": 1500}
    found = stocks(case(substrate={"widths_mm": [999, 1000, 1500, 1501]}, printer=limits), job("100x100"))
    assert [each.width_mm for each in found.taken] == [1500, 1000]
    assert [(each.width_mm, each.too_wide) for each in found.not_taken] == [(1501, True), (999, False)]


def test_least_material_and_least_length_may_be_two_widths() -> None:
    made = plan(
        case(substrate={"widths_mm": [1000, 1500]}, printer={"max_width_mm": 1600}), job("1000x1200x2")
    )
    assert made.best is not None
    assert made.shortest is not None
    # 1000 wide: 2.4 m, 2.4 m²; 1500 wide, turned: 2.0 m, 3.0 m²
    assert (made.best.stock.width_mm, made.best.metres) == (1000, 2.4)
    assert (made.shortest.stock.width_mm, made.shortest.metres) == (1500, 2.0)


def test_a_width_that_takes_every_piece_is_better_than_one_that_wastes_less() -> None:
    made = plan(case(), job("1200x1500", "1067x500"))
    assert made.best is not None
    assert made.best.stock.width_mm == 1524
    assert made.best.is_whole


@pytest.mark.parametrize(
    ("laid", "why"), [({"margin_mm": 800}, WIDE), ({"lead_in_m": 20, "lead_out_m": 20}, LONG)]
)
def test_margins_and_leads_that_leave_no_room_leave_none(laid: dict[str, Any], why: str) -> None:
    found = layout(job("100x100", **laid), Stock(1500, 30000))
    assert [(unfit.why, unfit.room_mm, unfit.panels) for unfit in found.unfit] == [(why, 0, 0)]
    assert found.places == ()
