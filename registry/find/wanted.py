"""One requirement, and whether what is found meets it: met, unmet or unknown, and by what margin."""

import operator
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from registry.find.known import Known
from registry.index.pairs import Held, Pairs, Standing, Test, Wide, Worded
from registry.index.readmodel import Value
from registry.lit.quantities import is_lit
from registry.model.fire import at_least, is_class, main_class
from registry.model.scales import rank

__all__ = [
    "IN_USE",
    "MET",
    "ORDERED",
    "STATUS",
    "UNKNOWN",
    "UNMET",
    "UNSURE",
    "Bound",
    "Judged",
    "Margin",
    "Wanted",
    "Worth",
    "as_test",
    "judge",
]

MET, UNSURE, UNMET, UNKNOWN = "met", "not surely", "unmet", "unknown"

ORDERED: dict[str, Callable[[Any, Any], bool]] = {
    "<=": operator.le,
    ">=": operator.ge,
    "<": operator.lt,
    ">": operator.gt,
    "=": operator.eq,
    "!=": operator.ne,
}


class Bound(NamedTuple):
    """What a value must be."""

    op: str
    """<=, >=, <, >, =, !=, ~ (holds the text) or in (is one of the words)."""
    wanted: float | str | tuple[str, ...]


class Wanted(NamedTuple):
    """One requirement of a pair."""

    known: Known
    bounds: tuple[Bound, ...]
    """All must hold."""
    strict: bool = True
    """What is unknown does not pass; else it passes, and is said."""
    why: str = ""
    """The reason that a use gives for its demand."""
    what: str = "setting"
    """setting, word (of everything a record says) or width (that the printer takes)."""


IN_USE = Known("substrate", "", "substrate in use", sort="word")
"""That a substrate is not withdrawn is wanted of every pair."""
STATUS = "status"
"""The mode's setting that tells how it stands: known good only while its own settings are confirmed."""


class Margin(NamedTuple):
    """How much there is to spare; below 0 it is what lacks."""

    amount: float
    """In the setting's unit, or in steps on its scale."""
    steps: bool
    share: float | None
    """Of the allowed value, or of the whole scale; None beside an allowed value of 0."""


class Worth(NamedTuple):
    """How well a computed number is known, and what that makes of a requirement of it."""

    value: float
    u: float
    """Standard uncertainty."""
    low: float
    high: float
    """Ends of the interval that holds it with a chance of 0.95."""
    chance: float | None
    """That it is within all bounds together; None where it is not asked to be within any."""
    shares: tuple[tuple[str, float], ...]
    """What share of its variance each input brings, in words, the largest first."""


class Judged(NamedTuple):
    """A requirement beside what was found."""

    wanted: Wanted
    answer: str
    """met, not surely, unmet or unknown."""
    found: tuple[Value, ...] = ()
    margin: Margin | None = None
    worth: Worth | None = None
    """Of what is computed of a lit print."""
    unmeasured: tuple[str, ...] = ()
    """What it rests on and nobody measured, in words."""

    @property
    def unknown(self) -> bool:
        """Whether it cannot be told."""
        return self.answer == UNKNOWN

    @property
    def in_the_way(self) -> bool:
        """Whether this alone keeps a pair from being a find."""
        return self.answer == UNMET or (self.wanted.strict and self.answer == UNKNOWN)


def judge(wanted: Wanted, found: tuple[Value, ...]) -> Judged:
    """Return whether what is found meets a requirement; of several values one must, or with != every one."""
    answers = [_meets(wanted, value) for value in found]
    if not answers or all(answer is None for answer in answers):
        return Judged(wanted, UNKNOWN, found)
    if _of_every(wanted):
        answer = UNMET if False in answers else UNKNOWN if None in answers else MET
    else:
        answer = MET if True in answers else UNMET
    margins = [margin for margin in (_margin(wanted, value) for value in found) if margin]
    return Judged(wanted, answer, found, max(margins, key=_amount, default=None))


def as_test(pairs: Pairs, wanted: Wanted) -> Test:
    """Return the requirement as the read model tests it: whatever fails it can be no find."""
    first = wanted.bounds[0].wanted if wanted.bounds else ""
    if wanted.what == "word":
        return Worded(str(first))
    if wanted.what == "width" and isinstance(first, float):
        return Wide(first)
    if wanted.known is IN_USE:
        return Standing("substrate", ("current",))
    known = wanted.known
    if is_lit(known.path):  # computed in its place, of what passes everything else
        return Held(known.of, known.path, (), (), "open")
    if (known.of, known.path) == ("mode", STATUS):
        return Standing("mode", _texts(wanted, [Value(None, word) for word in known.words], fits=True))
    values = pairs.values(known.path)
    how = "open" if not wanted.strict else "none" if _of_every(wanted) else "one"
    good, bad = _texts(wanted, values, fits=True), _texts(wanted, values, fits=False)
    return Held(known.of, known.path, good, bad, how)


def _of_every(wanted: Wanted) -> bool:
    return any(bound.op == "!=" for bound in wanted.bounds)


def _texts(wanted: Wanted, values: Sequence[Value], *, fits: bool) -> tuple[str, ...]:
    return tuple(value.txt for value in values if _meets(wanted, value) is fits)


def _meets(wanted: Wanted, value: Value) -> bool | None:
    """Return whether one value is within all bounds; None where that cannot be told."""
    answers = [_within(wanted.known, bound, value) for bound in wanted.bounds]
    return False if False in answers else None if None in answers else True


def _within(known: Known, bound: Bound, value: Value) -> bool | None:
    wanted = bound.wanted
    if isinstance(wanted, tuple):
        return value.txt.casefold() in {word.casefold() for word in wanted}
    if bound.op == "~":
        return str(wanted).casefold() in value.txt.casefold()
    if known.fire and isinstance(wanted, str):
        return _fire_within(known.fire, bound.op, value.txt, wanted)
    both = _comparable(known, bound, value)
    return ORDERED[bound.op](*both) if both else _as_texts(known, bound, value)


def _fire_within(standard: str, op: str, rating: str, wanted: str) -> bool | None:
    """Return whether a fire class is within a bound: class by class as far as the bound names them."""
    if not is_class(standard, rating):
        return None
    if op in {"=", "!="}:
        return (wanted in {rating, main_class(rating)}) is (op == "=")
    if wanted == main_class(wanted):  # smoke and droplets are not asked
        rating = main_class(rating)
    up, down = at_least(standard, rating, wanted), at_least(standard, wanted, rating)
    answers = {">=": up, "<=": down, ">": _and_not(up, down), "<": _and_not(down, up)}
    return answers[op]


def _and_not(one: bool | None, other: bool | None) -> bool | None:
    return one if one is not True else None if other is None else not other


def _as_texts(known: Known, bound: Bound, value: Value) -> bool | None:
    if known.sort == "day":
        return ORDERED[bound.op](value.txt, bound.wanted)  # days rank as they are written
    on_scale = known.sort != "scale" or rank(known.scale, value.txt) is not None
    if not isinstance(bound.wanted, str) or bound.op not in {"=", "!="} or not on_scale:
        return None
    return (value.txt.casefold() == bound.wanted.casefold()) is (bound.op == "=")


def _comparable(known: Known, bound: Bound, value: Value) -> tuple[float, float] | None:
    """Return found and wanted as numbers: the values themselves, or their places on the setting's scale."""
    if isinstance(bound.wanted, float):
        return None if value.num is None else (value.num, bound.wanted)
    if known.sort != "scale" or known.fire or not isinstance(bound.wanted, str):
        return None
    places = rank(known.scale, value.txt), rank(known.scale, bound.wanted)
    return None if places[0] is None or places[1] is None else (places[0], places[1])


def _margin(wanted: Wanted, value: Value) -> Margin | None:
    """Return the least that is to spare within the bounds."""
    margins = []
    for bound in wanted.bounds:
        both = _comparable(wanted.known, bound, value) if bound.op[0] in "<>" else None
        if both:
            amount = both[0] - both[1] if bound.op[0] == ">" else both[1] - both[0]
            steps = wanted.known.sort == "scale"
            whole = len(wanted.known.words) - 1 if steps else abs(both[1])
            margins.append(Margin(amount, steps, amount / whole if whole else None))
    return min(margins, key=_amount, default=None)


def _amount(margin: Margin) -> float:
    return margin.amount
