"""Recording a measurement as a mode's reference."""

from collections.abc import Sequence
from pathlib import Path

import click

from registry import canonical
from registry.cli.contributing import Desk, Manner
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


def attach(
    context: click.Context,
    file: Path,
    data: bytes,
    tables: Sequence[TableReport],
    mode: str,
    reason: str,
    manner: Manner,
) -> None:
    """Record a measurement as a mode's reference, as a revision does; doubts are said on the way."""
    desk = Desk(context, manner)
    place = desk.place(mode, ("print-mode",))
    document = canonical.read(desk.tree.read(place.path) or b"{}")
    _refuse_other_light(file, tables, document["lighting"])
    for each in tables:
        if each.faults:
            raise RegistryError(f"{file} cannot be a reference as it is: {each.faults[0]}")
        for doubt in each.doubts:
            click.echo(f"doubtful: {doubt}", err=True)
    attached = [measured(desk.tree, place.path, file.name, data)]
    desk.finish(
        with_attachments(
            desk.tree,
            place.path,
            document,
            attached,
            writer=desk.writer,
            reason=reason,
            landed=desk.landed,
        )
    )


def _refuse_other_light(file: Path, tables: Sequence[TableReport], lighting: str) -> None:
    wanted = _READ_BY[lighting]
    kinds = [each.how.kind for each in tables]
    if not set(kinds) & set(wanted):
        unsaid = "says neither: write it into MEASUREMENT_GEOMETRY"
        found = unsaid if kinds[0] == "unknown" else f"was read in {kinds[0]}"
        raise RequestError(
            f"the reference of a {lighting} mode is read in {' or '.join(wanted)}, and {file} {found}"
        )
