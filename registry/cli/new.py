"""`litstock new`: start a record."""

from typing import Any

import click

from registry import canonical
from registry.cli.completion import complete_assignments, complete_records
from registry.cli.contributing import Desk, Manner, contributes, reason_option
from registry.contribute.assign import added, assigned, parse_assignment
from registry.contribute.drafting import like, skeleton, with_identity
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
    metavar="RECORD[@WHEN]",
    shell_complete=complete_records(),
    help="Start from another record of this kind.",
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
    title = given["title"] or identifier
    if given["source"]:
        document = with_identity(kind, identifier, {"title": title, **canonical.read(given["source"].read())})
    elif given["model"]:
        model = version(desk.registry, given["model"], (kind,))
        document = like(kind, identifier, model.document, f"{model.rid} {model.label}", desk.writer.date)
        document["title"] = title
    else:
        document = skeleton(kind, identifier, title)
    shape = shape_of(kind)
    document = assigned(shape, document, dict(map(parse_assignment, given["values"])))
    for text in given["add"]:
        document = added(shape, document, text)
    contribution = create(
        desk.tree, path_of(kind, identifier), document, writer=desk.writer, reason=given["reason"]
    )
    desk.finish(contribution)
