"""`litstock new`: start a record."""

from pathlib import Path
from typing import Any

import click

from registry.cli.completion import complete_assignments, complete_records
from registry.cli.contributing import Desk, Manner, contributes, handed, reason_option
from registry.contribute.assign import added, assigned
from registry.contribute.drafting import like, skeleton, with_identity
from registry.contribute.given import record_in
from registry.contribute.prepare import create
from registry.model.kinds import KINDS, path_of
from registry.model.shape import shape_of
from registry.question.when import version

__all__ = ["command"]

_STARTED_HERE = [name for name, kind in KINDS.items() if not kind.once and name != "registry"]


@click.command()
@click.argument("kind", type=click.Choice(_STARTED_HERE))
@click.argument("identifier", metavar="ID")
@click.option(
    "--like",
    "model",
    metavar="RECORD[@WHEN]|FILE.json",
    shell_complete=complete_records(),
    help="Start from another record of this kind; what is true of it alone stays behind.",
)
@click.option(
    "--from", "source", type=click.File("rb"), help="Start from a JSON file; - reads it from stdin."
)
@click.option("--title", help="What people call it; the id if not given.")
@click.option(
    "--set",
    "values",
    multiple=True,
    metavar="PATH=VALUE",
    shell_complete=complete_assignments(record="kind"),
    help="Give a setting a value.",
)
@click.option("--add", multiple=True, metavar="LIST:NAME=VALUE,…", help="Add an item to a list.")
@reason_option
@contributes
@click.pass_context
def command(context: click.Context, /, kind: str, identifier: str, manner: Manner, **given: Any) -> None:
    """Start a record.

    ID is MAKER/GRADE for a substrate, MAKER/GRADE/MODE for a print mode, SITE/NAME for a unit, a display or a
    complaint, and a plain name for the rest. Runs, confirmations and events have commands of their own.
    """
    desk = Desk(context, manner)
    named = {"title": given["title"]} if given["title"] else {}
    if given["source"]:
        held = {"title": identifier} | record_in(*handed(given["source"]))
        document = with_identity(kind, identifier, held | named)
    elif given["model"]:
        model, origin = _model(desk, kind, given["model"])
        document = like(kind, identifier, model, origin, desk.writer.date) | {"title": identifier} | named
    else:
        document = skeleton(kind, identifier, given["title"] or identifier)
    shape = shape_of(kind)
    document = assigned(shape, document, desk.values(shape, given["values"]))
    for text in given["add"]:
        document = added(shape, document, text)
    contribution = create(
        desk.tree, path_of(kind, identifier), document, writer=desk.writer, reason=given["reason"]
    )
    desk.finish(contribution)


def _model(desk: Desk, kind: str, name: str) -> tuple[dict[str, Any], str]:
    """Return the record to start from, of this registry or from a file, and what it is called."""
    if name.endswith(".json") and Path(name).is_file():
        document = record_in(name, Path(name).read_bytes())
        there = [use for use in document.get("applications", []) if desk.has("application", use)]
        kept = {member: value for member, value in document.items() if member != "applications"}
        return kept | ({"applications": there} if there else {}), Path(name).name
    found = version(desk.registry, name, (kind,))
    return found.document, f"{found.rid} {found.label}"
