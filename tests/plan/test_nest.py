"""Nesting: whatever is asked, rectangles lie apart, on the material, as they may lie, and none is lost."""

import itertools
from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from registry.plan.fill import Block, Spot, fill, turned
from registry.plan.nest import Nest, Strip, nest

_sides = st.integers(1, 40)
_strips = st.builds(
    Strip, st.integers(5, 60), st.one_of(st.none(), st.integers(5, 90)), st.sampled_from([0, 7])
)
_shapes = st.lists(
    st.one_of(
        st.tuples(_sides, _sides, st.booleans(), st.just("")),
        st.tuples(_sides, _sides, st.just(False), st.sampled_from(["hall", "door"])),
    ),
    max_size=12,
)


def test_a_rectangle_that_is_as_high_as_what_stands_beside_it_comes_before_one_that_is_only_as_wide() -> None:
    beside = Block(0, 6, 9, turns=False)
    first, better = Block(1, 7, 4), Block(2, 4, 9, turns=False)  # each fills the width that is left
    spots, left = fill([beside, first, better], 10, 20)
    assert left == []
    assert [(spot.x, spot.y) for spot in spots if spot.block.number == 2] == [(6, 0)]


def blocks(shapes: Sequence[tuple[int, int, bool, str]]) -> list[Block]:
    return [
        Block(number, across, along, turns, group=group)
        for number, (across, along, turns, group) in enumerate(shapes)
    ]


def overlap(one: Spot, other: Spot) -> bool:
    return (
        one.x < other.x + other.block.across
        and other.x < one.x + one.block.across
        and one.y < other.y + other.block.along
        and other.y < one.y + one.block.along
    )


def used(found: Nest) -> int:
    return sum(max(spot.y + spot.block.along for spot in spots) for spots in found.lengths)


_many = settings(max_examples=60)


@_many
@given(_shapes, _strips)
def test_no_two_overlap_and_none_leaves_the_material(
    shapes: list[tuple[int, int, bool, str]], strip: Strip
) -> None:
    for spots in nest(blocks(shapes), strip).lengths:
        assert spots
        assert not [pair for pair in itertools.combinations(spots, 2) if overlap(*pair)]
        for spot in spots:
            assert 0 <= spot.x <= strip.width - spot.block.across
            assert spot.y >= 0
            assert strip.length is None or spot.y + spot.block.along <= strip.length


@_many
@given(_shapes, _strips)
def test_each_is_placed_once_as_it_may_lie_or_named_as_without_a_place(
    shapes: list[tuple[int, int, bool, str]], strip: Strip
) -> None:
    asked = blocks(shapes)
    found = nest(asked, strip)
    spots = [spot for spots in found.lengths for spot in spots]
    numbers = [spot.block.number for spot in spots] + [block.number for block in found.unplaced]
    assert sorted(numbers) == list(range(len(asked)))
    for spot in spots:
        given_so = asked[spot.block.number]
        assert spot.block in ((given_so, turned(given_so)) if given_so.turns else (given_so,))


@_many
@given(_shapes, _strips)
def test_a_group_lies_on_one_length_and_is_never_turned(
    shapes: list[tuple[int, int, bool, str]], strip: Strip
) -> None:
    asked = blocks(shapes)
    found = nest(asked, strip)
    for group in ("hall", "door"):
        on = {at for at, spots in enumerate(found.lengths) for spot in spots if spot.block.group == group}
        without = [block for block in found.unplaced if block.group == group]
        wanted = [block for block in asked if block.group == group]
        assert len(on) <= 1
        assert without in ([], wanted)
    assert not [
        spot for spots in found.lengths for spot in spots if spot.block.group and spot.block.is_turned
    ]


@_many
@given(_shapes, _strips)
def test_one_that_stands_alone_has_no_place_only_where_it_fits_in_neither_position(
    shapes: list[tuple[int, int, bool, str]], strip: Strip
) -> None:
    for block in nest(blocks(shapes), strip).unplaced:
        if not block.group:
            ways = [block, turned(block)] if block.turns else [block]
            assert all(
                way.across > strip.width or (strip.length is not None and way.along > strip.length)
                for way in ways
            )


@_many
@given(_shapes, _strips)
def test_no_nesting_uses_less_than_area_and_longest_allow(
    shapes: list[tuple[int, int, bool, str]], strip: Strip
) -> None:
    found = nest(blocks(shapes), strip)
    area = sum(spot.block.across * spot.block.along for spots in found.lengths for spot in spots)
    longest = max((spot.block.along for spots in found.lengths for spot in spots), default=0)
    assert used(found) * strip.width >= area
    assert used(found) >= found.least
    assert found.least * strip.width >= area
    assert found.least <= max(longest, -(-area // strip.width))


@settings(max_examples=10)
@given(_shapes, _strips)
def test_the_same_question_has_the_same_answer(
    shapes: list[tuple[int, int, bool, str]], strip: Strip
) -> None:
    assert nest(blocks(shapes), strip) == nest(blocks(shapes), strip)


def test_equal_rows_are_nested_as_anyone_would() -> None:
    # 3 across of 500 on 1500: four rows of 500 for twelve.
    found = nest([Block(number, 500, 500) for number in range(12)], Strip(1500))
    assert used(found) == found.least == 2000


def test_turning_is_used_where_it_saves_length() -> None:
    # 400 x 900 on 1000: turned, one a row, 400 each; as given two a row, 900 for two.
    found = nest([Block(number, 400, 900) for number in range(2)], Strip(1000))
    assert used(found) == 800
    assert used(nest([Block(number, 400, 900, turns=False) for number in range(2)], Strip(1000))) == 900


def test_a_roll_that_ends_is_followed_by_another() -> None:
    found = nest([Block(number, 10, 6, turns=False) for number in range(5)], Strip(10, 13))
    assert [len(spots) for spots in found.lengths] == [2, 2, 1]


def test_a_group_waits_for_the_next_length_rather_than_be_torn() -> None:
    alone = [Block(number, 10, 6, turns=False) for number in range(2)]
    panels = [Block(2 + number, 10, 5, turns=False, group="wall") for number in range(2)]
    found = nest([*alone, *panels], Strip(10, 13))
    groups = sorted([spot.block.group for spot in spots] for spots in found.lengths)
    assert groups == [["", ""], ["wall", "wall"]]


def test_panels_of_a_group_follow_one_another_where_that_costs_nothing() -> None:
    alone = [Block(number, 10, 6, turns=False) for number in range(4)]
    panels = [Block(4 + number, 10, 6, turns=False, group="wall") for number in range(3)]
    (spots,) = nest([*alone, *panels], Strip(10)).lengths
    ys = sorted(spot.y for spot in spots if spot.block.group)
    assert ys[-1] - ys[0] == 12


def test_what_fits_a_place_in_width_and_height_is_laid_there_first() -> None:
    spots, left = fill([Block(0, 6, 4), Block(1, 3, 3), Block(2, 4, 4, turns=False)], 10)
    assert [(spot.block.number, spot.x, spot.y) for spot in spots][:2] == [(0, 0, 0), (2, 6, 0)]
    assert left == []


def test_nothing_to_nest_is_nested_on_nothing() -> None:
    assert nest([], Strip(10)) == Nest((), (), 0)


def test_a_rectangle_that_fits_only_turned_may_fill_the_length_that_is_left() -> None:
    for length, fits in ((10, True), (9, False), (None, True)):
        spots, left = fill([Block(0, 10, 3)], 3, length)
        assert ([spot.block.is_turned for spot in spots], len(left)) == (([True], 0) if fits else ([], 1))
