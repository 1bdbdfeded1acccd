"""Recording a measurement as a mode's reference, or as its ladder of loads."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Literal

import click

from registry.cli.contributing import Desk, Manner
from registry.cli.output import tell
from registry.contribute.attaching import measured, with_attachments
from registry.errors import RegistryError, RequestError
from registry.measurement.report import TableReport

__all__ = ["attach"]

_READ_BY = {
    "backlit": ("transmission",),
    "frontlit": ("reflection",),
    "dual": ("transmission", "reflection"),
}
"""How the reference of a mode is read, by its lighting."""
_OF_LADDERS = ("transmission",)


def attach(
    context: click.Context,
    read: tuple[Path, bytes, Sequence[TableReport]],
    mode: str,
    given: Mapping[str, Any],
    manner: Manner,
) -> None:
    """Record a measurement as a mode's reference or ladder, as a revision does; say doubts on the way."""
    file, data, tables = read
    role: Literal["measurement", "ladder"] = "ladder" if given["role"] == "ladder" else "measurement"
    desk = Desk(context, manner)
    place = desk.place(mode, ("print-mode",))
    document = desk.document(place.kind, place.rid)
    attached = [measured(desk.tree, place.path, file.name, data, role)]
    if role == "ladder":
        _refuse_other_light(file, tables, "a ladder of loads", _OF_LADDERS)
    else:
        lighting = document["lighting"]
        _refuse_other_light(file, tables, f"the reference of a {lighting} mode", _READ_BY[lighting])
    for each in tables:
        if each.faults:
            raise RegistryError(f"{file} cannot be a {given['role']} as it is: {each.faults[0]}")
        for doubt in each.doubts:
            tell(f"doubtful: {doubt}")
    desk.finish(
        with_attachments(
            desk.tree,
            place.path,
            document,
            attached,
            writer=desk.writer,
            reason=given["reason"],
            landed=desk.landed,
        )
    )


def _refuse_other_light(file: Path, tables: Sequence[TableReport], what: str, wanted: Sequence[str]) -> None:
    kinds = [each.how.kind for each in tables]
    if not set(kinds) & set(wanted):
        unsaid = "says neither: write it into MEASUREMENT_GEOMETRY"
        found = unsaid if kinds[0] == "unknown" else f"was read in {kinds[0]}"
        raise RequestError(f"{what} is read in {' or '.join(wanted)}, and {file} {found}")
