"""Rule: a value that changed has a source of its own time."""

from collections.abc import Iterator
from typing import Any

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed
from registry.model.shape import shape_of
from registry.model.sourced import SOURCED, leaves, speaking_for

__all__ = ["source_of_before"]

_FEW = 4


@rule("source-of-before", "warning", of_changes=True)
def source_of_before(checked: Checked) -> Iterator[Remark]:
    """A quantity or grade that is changed no longer carries the source of the one that stood there before.

    A source says who measured or read just that number. Where only the number is edited, the new one looks
    measured, or read off the maker's sheet, and nobody did either.

    To mend: say where the new value comes from: litstock revise RECORD --set sources./PATH.kind=… writes it;
    measured with its day and method, or unknown. In an editor, change the entry under sources with the value.
    """
    for new, old in checked.changed:
        if old is None or new.kind not in SOURCED:
            continue
        sources, earlier = (each.content.get("sources", {}) for each in (new, old))
        if not all(isinstance(each, dict) for each in (sources, earlier)):
            continue  # it may not have been sound
        stale: dict[str, list[str]] = {}
        for pointer, by, before in _changed(new.kind, old.content, new.content):
            if by is not None and by == before and sources[by] == earlier[by] and _claims(sources[by]):
                stale.setdefault(by, []).append(pointer)
        for by, pointers in stale.items():
            more = f" and {len(pointers) - _FEW} more" if len(pointers) > _FEW else ""
            yield new.remark(
                pointers[0],
                "the value changed, and its source is still that of the value before",
                f"say under sources, for {by!r} or its own pointer, where it comes from now",
                found=f"{sources[by].get('kind')} for {listed(pointers[:_FEW])}{more}",
                allowed="a source of the new value",
            )


def _claims(source: Any) -> bool:
    return isinstance(source, dict) and source.get("kind") != "unknown"


def _changed(
    kind: str, before: dict[str, Any], after: dict[str, Any]
) -> Iterator[tuple[str, str | None, str | None]]:
    """Yield the pointer of each quantity or grade that changed, and what speaks for it, now and before."""
    was, now = (shape_of(kind).flatten(each) for each in (before, after))
    sources, earlier = (each.get("sources", {}) for each in (after, before))
    pointers = leaves(kind, before)
    for path, pointer in leaves(kind, after).items():
        must_say = bool(now[path].setting.unit or now[path].setting.scale)
        if must_say and path in pointers and was[path].value != now[path].value:
            yield pointer, speaking_for(pointer, sources), speaking_for(pointers[path], earlier)
