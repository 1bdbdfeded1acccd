"""Filling one length of material with rectangles, all in whole numbers of one unit.

The lowest free place is filled first, with the rectangle that fits it best: the skyline of Burke, Kendall and
Whitwell (Operations Research 52, 2004, 655–671), with a score for the fit in the manner of Leung, Zhang and
Sim (European Journal of Operational Research 215, 2011, 57–69), simplified.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

__all__ = ["Block", "Spot", "fill", "turned"]


_PERFECT = 3
"""Score of a rectangle as wide as the place and as high as what stands beside it."""


class Block(NamedTuple):
    """A rectangle to be placed; of two that fit equally well, the one that is named first is taken."""

    number: int
    """Which one it is, for whoever asked."""
    across: int
    along: int
    turns: bool = True
    """Whether it may be turned by a quarter."""
    is_turned: bool = False
    """Whether `across` and `along` are those of the turned rectangle."""
    group: str = ""
    """Rectangles of one group must lie on one length of material; empty for one that stands alone."""


class Spot(NamedTuple):
    """A rectangle in its place."""

    block: Block
    """As it is placed: turned, or not."""
    x: int
    y: int


class _Level(NamedTuple):
    """A stretch of the skyline: what lies below `y` is taken or lost."""

    x: int
    y: int
    width: int


def turned(block: Block) -> Block:
    """Return the same rectangle turned by a quarter."""
    return block._replace(across=block.along, along=block.across, is_turned=not block.is_turned)


def fill(blocks: Sequence[Block], width: int, length: int | None = None) -> tuple[list[Spot], list[Block]]:
    """Return where rectangles lie on a material so wide (and so long, if it ends), and those left over.

    >>> spots, left = fill([Block(0, 6, 3), Block(1, 4, 3), Block(2, 12, 12)], 10)
    >>> [(spot.x, spot.y, spot.block.number) for spot in spots], [block.number for block in left]
    ([(0, 0, 0), (6, 0, 1)], [2])
    """
    skyline, left = [_Level(0, 0, width)], list(blocks)
    spots: list[Spot] = []
    while left:
        at = min(range(len(skyline)), key=lambda each: skyline[each].y)
        level, walls = skyline[at], _walls(skyline, at)
        room = math.inf if length is None else length - level.y
        if (found := _best(left, level.width, room, walls)) is not None:
            index, block = found
            del left[index]
            x = _side(level, block, walls)
            spots.append(Spot(block, x, level.y))
            _lay(skyline, at, x, block)
        elif len(skyline) == 1:
            break
        else:  # nothing fits there any more: give it up, as high as the lower wall beside it
            skyline[at] = level._replace(y=level.y + int(min(walls)))
        _join(skyline)
    return spots, left


def _walls(skyline: Sequence[_Level], at: int) -> tuple[float, float]:
    """Return how high the skyline stands on the left and on the right of a level; at an edge without end."""
    y = skyline[at].y
    return (
        skyline[at - 1].y - y if at else math.inf,
        skyline[at + 1].y - y if at + 1 < len(skyline) else math.inf,
    )


def _best(
    left: Sequence[Block], width: int, room: float, walls: tuple[float, float]
) -> tuple[int, Block] | None:
    """Return which rectangle fits a place best: as wide as it, and as high as what stands beside it."""
    best, best_turned, best_score = -1, False, -1
    last = None
    for index, block in enumerate(left):
        across, along, turns = size = block[1:4]
        if size == last:
            continue
        last = size
        if across <= width and along <= room:
            score = 2 * (across == width) + (along in walls)
            if score > best_score:
                best, best_turned, best_score = index, False, score
        if turns and along <= width and across <= room:
            score = 2 * (along == width) + (across in walls)
            if score > best_score:
                best, best_turned, best_score = index, True, score
        if best_score == _PERFECT:
            break
    if best < 0:
        return None
    return best, turned(left[best]) if best_turned else left[best]


def _side(level: _Level, block: Block, walls: tuple[float, float]) -> int:
    """Return where on its level a rectangle lies: at a wall of its own height, else at the higher wall."""
    left, right = walls
    at_left = block.along == left or (block.along != right and left >= right)
    return level.x if at_left else level.x + level.width - block.across


def _lay(skyline: list[_Level], at: int, x: int, block: Block) -> None:
    """Raise the skyline where a rectangle was laid on a level."""
    level = skyline[at]
    end, block_end = level.x + level.width, x + block.across
    parts = (
        _Level(level.x, level.y, x - level.x),
        _Level(x, level.y + block.along, block.across),
        _Level(block_end, level.y, end - block_end),
    )
    skyline[at : at + 1] = [part for part in parts if part.width]


def _join(skyline: list[_Level]) -> None:
    """Make one level of neighbours of one height."""
    for at in range(len(skyline) - 1, 0, -1):
        before, after = skyline[at - 1], skyline[at]
        if before.y == after.y:
            skyline[at - 1 : at + 1] = [before._replace(width=before.width + after.width)]
