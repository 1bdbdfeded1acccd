"""What a contribution changes: under its keys for programs, and in lines for a dry run."""

from collections.abc import Iterator
from typing import Any

from registry import canonical
from registry.change.compare import SettingChange, compare
from registry.cli.page import aside_lines, changes_table
from registry.cli.wording import change_json
from registry.contribute.given import Tree
from registry.contribute.prepare import Contribution
from registry.model.forms import lifted
from registry.model.kinds import kind_at
from registry.model.shape import shape_of

__all__ = ["changes_json", "changes_lines"]


def changes_json(tree: Tree, contribution: Contribution) -> dict[str, Any]:
    """Return message, files, and by file what changes in records that were there before."""
    changes = {path: _changes(tree, path, data) for path, data in contribution.files.items()}
    return {
        "message": contribution.message,
        "files": list(contribution.files),
        "changes": {path: [change_json(each) for each in found] for path, found in changes.items() if found},
    }


def changes_lines(tree: Tree, contribution: Contribution) -> Iterator[str]:
    """Yield what would change: of a record that is there its settings, of a new one its text."""
    for path, data in contribution.files.items():
        yield path
        if changes := _changes(tree, path, data):
            if settings := [change for change in changes if change.is_setting]:
                yield from changes_table(settings, "metric")
            yield from aside_lines(((change, ()) for change in changes if not change.is_setting), "metric")
        elif path.endswith(".json"):
            yield from (f"  {line}" for line in (data or b"").decode().splitlines())
        else:
            yield f"  {len(data or b'')} bytes"


def _changes(tree: Tree, path: str, data: bytes | None) -> list[SettingChange]:
    kind, before = kind_at(path), tree.read(path)
    if kind is None or before is None or data is None:
        return []
    return compare(shape_of(kind), *(lifted(kind, canonical.read(each)) for each in (before, data)))
