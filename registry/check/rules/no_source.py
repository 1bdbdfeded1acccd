"""Rule: every quantity and grade has a source."""

from collections.abc import Iterator
from functools import cache

from registry.canonical import join_pointer
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.referring import values_at
from registry.check.rule import rule
from registry.model.shape import shape_of

__all__ = ["no_source"]

_KINDS = ("substrate", "print-mode", "printer", "application", "display", "unit")
_SELF_EVIDENT = frozenset(["trials"])  # a trial names its own day and site


@rule("no-source", "warning")
def no_source(checked: Checked) -> Iterator[Remark]:
    """Every value with a unit or on a scale has a source.

    Whoever relies on a number must see whether someone measured it, read it in a data sheet, copied or
    computed it, or does not know. A value without a source looks measured.

    To mend: add an entry to sources under the value's JSON pointer; a pointer to a group covers all that is
    in it, and the empty one the whole record.
    """
    for document in checked.of(*_KINDS):
        sources = document.content.get("sources", {})
        if "" in sources:
            continue
        for top, paths in _quantities(document.kind).items():
            if top not in document.content or f"/{top}" in sources:
                continue
            values = (path for parts in paths for path, _ in values_at(document.content, parts))
            pointers = [join_pointer(map(str, path)) for path in values]
            bare = [pointer for pointer in pointers if not _covered(pointer, sources)]
            if bare:
                yield document.remark(
                    bare[0],
                    "where this value comes from is not said",
                    f"add an entry to sources under '/{top}', or under each value's pointer",
                    found=f"no source for {', '.join(bare)}",
                )


def _covered(pointer: str, sources: dict[str, object]) -> bool:
    while pointer and pointer not in sources:
        pointer = pointer.rpartition("/")[0]
    return bool(pointer)


@cache
def _quantities(kind: str) -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    for path, setting in shape_of(kind).settings.items():
        parts = tuple(path.split("."))
        if (setting.unit or setting.scale) and parts[0] not in _SELF_EVIDENT:
            found.setdefault(parts[0], []).append(parts)
    return found
