"""Guidance for a mode in its use: the verdicts of both sides, which the read model holds, joined here."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from registry.index.readmodel import ReadModel, Rule

__all__ = ["ADVISE", "REFUSE", "Remark", "remarks"]

ADVISE, REFUSE = "advise", "refuse"
_Verdicts = Mapping[str, bool | None]


class Remark(NamedTuple):
    """A guidance rule that applies to a pair, or of which that cannot be told."""

    rule: str
    level: str
    """advise, warn or refuse."""
    text: str
    source: str
    certain: bool
    """Whether it is known to apply; else something that it looks at is unknown."""
    of_mode: bool = True
    """Whether it looks at the mode; else at the place alone, and so says nothing of one mode or another."""

    @property
    def refuses(self) -> bool:
        """Whether what it applies to is never offered."""
        return self.level == REFUSE and self.certain

    @property
    def warns(self) -> bool:
        """Whether it counts as a warning: what might be refused or warned of does, too.

        But what only the place could tell, and does not, is no warning of one mode or another.
        """
        return self.level != ADVISE and not self.refuses and (self.certain or self.of_mode)

    @property
    def is_open(self) -> bool:
        """Whether it may refuse or warn of everything in this place, whose record does not say so."""
        return self.level != ADVISE and not self.refuses and not self.warns


def remarks(model: ReadModel, modes: Iterable[int], place: int | None) -> dict[int, tuple[Remark, ...]]:
    """Return what guidance says of each mode in a place.

    Without a place, rules that look at one do not apply.
    """
    modes, rules = list(modes), model.rules()
    verdicts = model.verdicts([*modes, *([place] if place is not None else [])])
    there = verdicts[place] if place is not None else {}
    seen: dict[tuple[tuple[str, bool | None], ...], tuple[Remark, ...]] = {}
    found: dict[int, tuple[Remark, ...]] = {}
    for mode in modes:
        said = tuple(verdicts[mode].items())  # the same for many modes
        if said not in seen:
            seen[said] = tuple(_remarks(rules, verdicts[mode], there))
        found[mode] = seen[said]
    return found


def _remarks(rules: Iterable[Rule], mode: _Verdicts, place: _Verdicts) -> Iterable[Remark]:
    for rule in rules:
        sides = [
            side.get(rule.rid, False)
            for side, looked_at in ((mode, rule.of_mode), (place, rule.of_place))
            if looked_at
        ]
        if False not in sides:
            certain = None not in sides
            yield Remark(rule.rid, rule.level, rule.text, rule.source, certain, bool(rule.of_mode))
