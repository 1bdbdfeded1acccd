"""Nesting rectangles on lengths of material: many orders are tried, and the shortest outcome is kept.

Nothing proves that no shorter one exists; `least` says below what no outcome can lie.
"""

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from registry.plan.fill import Block, Spot, fill, turned

__all__ = ["Nest", "Strip", "nest"]

_WORK = 2_000_000
_MOST = 1000
"""How many orders are tried at most: fewer of many rectangles, as each then takes longer."""


_MEASURES: tuple[Callable[[Block], int], ...] = (
    lambda block: block.across,
    lambda block: block.along,
    lambda block: block.across * block.along,
    lambda block: max(block.across, block.along),
    lambda block: block.across + block.along,
)
"""By which rectangles are put in order, largest first."""


@dataclass(frozen=True, slots=True)
class Strip:
    """What rectangles are laid on: lengths of one material, as many as it takes."""

    width: int
    length: int | None = None
    """Of one length, a roll or a sheet; none where it is not known, and then one has no end."""
    each: int = 0
    """What starting one more costs, in units of length."""


@dataclass(frozen=True, slots=True)
class Nest:
    """Where rectangles lie."""

    lengths: tuple[tuple[Spot, ...], ...]
    """On each length of material."""
    unplaced: tuple[Block, ...]
    """Those that fit none, and those that must stay with them."""
    least: int
    """No nesting of those that are placed uses less, by their area and by the longest of them."""


def nest(blocks: Sequence[Block], strip: Strip) -> Nest:
    """Return where rectangles lie, those of one group on one length; the same question, the same answer."""
    orders = {key: _order_alone(members, strip) for key, members in _groups(blocks).items()}
    placed = [block for block in blocks if orders[_group(block)] is not None]
    unplaced = tuple(block for block in blocks if orders[_group(block)] is None)
    apart = [order for order in orders.values() if order is not None]
    found = _shortest(placed, strip, apart) if placed else []
    return Nest(tuple(tuple(spots) for spots in found), unplaced, _least(placed, strip))


def _group(block: Block) -> tuple[str, int]:
    """Return what is placed whole or not at all: a group, or a rectangle that stands alone."""
    return (block.group, 0) if block.group else ("", block.number)


def _groups(blocks: Iterable[Block]) -> dict[tuple[str, int], list[Block]]:
    groups: dict[tuple[str, int], list[Block]] = {}
    for block in blocks:
        groups.setdefault(_group(block), []).append(block)
    return groups


def _order_alone(members: Sequence[Block], strip: Strip) -> list[Block] | None:
    """Return an order in which a group fits on one length by itself; None where none was found."""
    for order in _orders(members):
        if not fill(order, strip.width, strip.length)[1]:
            return order
    return None


def _shortest(blocks: Sequence[Block], strip: Strip, apart: Sequence[Sequence[Block]]) -> list[list[Spot]]:
    """Return the shortest nesting found: from several orders, then by small changes of the best one.

    It is no longer than with each group, and each rectangle that stands alone, on a length of its own.
    """
    best = [fill(order, strip.width, strip.length)[0] for order in apart]
    best_cost, best_order = _cost(best, strip), list(blocks)
    chance = random.Random(0)  # noqa: S311 (chance that repeats itself, not a secret)

    def orders() -> Iterator[list[Block]]:
        yield from _orders(blocks)
        for _ in range(min(_MOST, _WORK // len(blocks) ** 2)):
            yield _changed(best_order, chance)

    least = _least(blocks, strip) + strip.each
    for order in orders():
        found = _laid(order, strip)
        if found is None:
            continue
        cost = _cost(found, strip)
        if cost[:-1] <= best_cost[:-1]:  # to go on from an equal one leads out of many a dead end
            best_order = order
        if cost < best_cost:
            best, best_cost = found, cost
        if best_cost.used <= least and not best_cost.spread + best_cost.turned:
            break
    return best


def _orders(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    """Yield orders to start from, groups first: by each measure, as given, long side across, and along."""
    grouped = sorted(blocks, key=lambda block: (not block.group, block.group))
    for wide in (None, True, False):
        stood = [_stood(block, wide=wide) for block in grouped]
        for measure in _MEASURES:
            yield sorted(stood, key=lambda block: (not block.group, -measure(block)))


def _stood(block: Block, *, wide: bool | None) -> Block:
    """Return a rectangle with its longer side across or along, where it may turn and that is asked for."""
    if wide is None or not block.turns or wide == (block.across >= block.along):
        return block
    return turned(block)


def _changed(order: Sequence[Block], chance: random.Random) -> list[Block]:
    """Return an order in which two rectangles changed places, one of them perhaps turned."""
    changed = list(order)
    one, other = (int(chance.random() * len(changed)) for _ in range(2))
    changed[one], changed[other] = changed[other], changed[one]
    if changed[one].turns and chance.random() < 0.5:
        changed[one] = turned(changed[one])
    return changed


def _laid(order: Sequence[Block], strip: Strip) -> list[list[Spot]] | None:
    """Return an order laid on as many lengths as it takes; None where it cannot be done in this order."""
    lengths, left = [], list(order)
    while left:
        spots, left = _whole(left, strip)
        if not spots:
            return None
        lengths.append(spots)
    return lengths


def _whole(order: Sequence[Block], strip: Strip) -> tuple[list[Spot], list[Block]]:
    """Return one length of material filled so that no group is torn apart, and what is left for the next."""
    held_back: set[str] = set()
    while True:
        spots, left = fill(
            [block for block in order if block.group not in held_back], strip.width, strip.length
        )
        begun = {spot.block.group for spot in spots} - {""}
        torn = [block.group for block in left if block.group in begun]
        if not torn:
            numbers = {spot.block.number for spot in spots}
            return spots, [block for block in order if block.number not in numbers]
        held_back.add(torn[-1])


class _Cost(NamedTuple):
    """By what one nesting is better than another, the first that differs."""

    used: int
    lengths: int
    spread: int
    """Over what length the groups are spread: the less, the more each lies together."""
    turned: int


def _cost(lengths: Sequence[Sequence[Spot]], strip: Strip) -> _Cost:
    used = spread = turns = 0
    for spots in lengths:
        used += strip.each + max(spot.y + spot.block.along for spot in spots)
        for group in {spot.block.group for spot in spots} - {""}:
            ys = [spot.y for spot in spots if spot.block.group == group]
            spread += max(ys) - min(ys)
        turns += sum(spot.block.is_turned for spot in spots)
    return _Cost(used, len(lengths), spread, turns)


def _least(blocks: Sequence[Block], strip: Strip) -> int:
    """Return the least that rectangles use: their area over the width, and the longest of them."""
    if not blocks:
        return 0
    area = -(-sum(block.across * block.along for block in blocks) // strip.width)
    longest = max(
        min(block.across, block.along)
        if block.turns and max(block.across, block.along) <= strip.width
        else _length_alone(block, strip.width)
        for block in blocks
    )
    return max(area, longest)


def _length_alone(block: Block, width: int) -> int:
    """Return the length that one rectangle takes, in the one position in which it fits."""
    return block.along if not block.turns or block.across <= width else block.across
