"""Demands on one setting told as one: the tightest bounds, and every reason, the binding one first.

An application and its display may demand the same thing twice, and the distance of the lamps demands it once
more: a person reads one line, and fails one requirement.
"""

from collections.abc import Iterable
from typing import Any

from registry.find.known import Known
from registry.find.wanted import Bound, Wanted
from registry.model.scales import rank

__all__ = ["told_once"]

_AND = "; and because "


def told_once(demands: Iterable[Wanted]) -> list[Wanted]:
    """Return the demands, those that set bounds to the same setting as one, where the first of them stood."""
    groups: dict[tuple[str, str, Any], list[Wanted]] = {}
    for number, each in enumerate(demands):
        apart = each.bounds if each.known.fire else 0 if _is_bounded(each) else number + 1
        groups.setdefault((each.known.of, each.known.path, apart), []).append(each)
    return [group[0] if len(group) == 1 else _as_one(group) for group in groups.values()]


def _is_bounded(demand: Wanted) -> bool:
    """Whether a demand is nothing but lowest and highest values."""
    return bool(demand.bounds) and None not in (_place(demand.known, bound) for bound in demand.bounds)


def _place(known: Known, bound: Bound) -> float | None:
    """Return a lowest or highest value as a number, by which the tighter one is told."""
    if bound.op not in {">=", "<="} or isinstance(bound.wanted, tuple):
        return None
    return bound.wanted if isinstance(bound.wanted, float) else rank(known.scale, bound.wanted)


def _as_one(group: list[Wanted]) -> Wanted:
    bounds = [bound for each in group for bound in each.bounds]
    tightest = tuple(_tightest(group[0].known, bounds, op) for op in (">=", "<="))
    kept = group[0].bounds if group[0].known.fire else tuple(bound for bound in tightest if bound)
    binding = [each for each in group if set(each.bounds) & set(kept)]
    reasons = dict.fromkeys(each.why for each in (*binding, *group) if each.why)
    return group[0]._replace(bounds=kept, why=_AND.join(reasons))


def _tightest(known: Known, bounds: Iterable[Bound], op: str) -> Bound | None:
    """Return the highest of the lowest values, or the lowest of the highest; None where there is none."""
    choose = max if op == ">=" else min
    places = {bound: _place(known, bound) or 0 for bound in bounds if bound.op == op}
    return choose(places, key=places.__getitem__, default=None)
