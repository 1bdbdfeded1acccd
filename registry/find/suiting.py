"""Whether one version of a mode suits a place: what `find` asks of a pair, asked of documents.

So it can be told of a draft and of an older revision too, of which the read model holds nothing.
"""

from fnmatch import fnmatchcase
from typing import Any

from registry.derived import derive
from registry.find.demands import Use, demands
from registry.find.known import SIDES, Known
from registry.find.lit_values import judge_lit, lit_versions
from registry.find.wanted import STATUS, Judged, judge
from registry.index.facets import computed_facets, searchable
from registry.index.readmodel import Value
from registry.lit.quantities import is_lit
from registry.question.case import case_of
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["suiting"]


def suiting(registry: Registry, use: Use, version: Version) -> list[Judged]:
    """Return every demand of a place, judged on a version of a mode and what it names as that is now."""
    wanted = demands(use)
    case = case_of(registry, version.document)
    paths = [each.known.path for each in wanted if is_lit(each.known.path)]
    computed = lit_versions(registry, use, paths, [version])[0] if paths else {}
    found = []
    values: tuple[Value, ...]
    for each in wanted:
        known = each.known
        if is_lit(known.path):
            found.append(judge_lit(each, computed.get(known.path)))
            continue
        if (known.of, known.path) == ("mode", STATUS):
            values = (Value(None, version.standing),)
        else:
            values = _held(case, known)
        found.append(judge(each, values))
    return found


def _held(case: dict[str, dict[str, Any]], known: Known) -> tuple[Value, ...]:
    """Return what one side of the case holds at a path, computed values too."""
    if known.of not in case:
        return ()
    facets = [*searchable(SIDES[known.of], case[known.of]).facets]
    if known.of == "mode":
        facets += computed_facets(derive(case))
    return tuple(Value(each.num, each.txt) for each in facets if fnmatchcase(each.path, known.path))
