"""`litstock new`: start a record."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import click

from registry.cli.completion import complete_assignments, complete_records
from registry.cli.contributing import Desk, Manner, contributes, reason_option
from registry.cli.handed import handed, handed_path
from registry.cli.output import tell
from registry.cli.taking import offered_words
from registry.contribute.assign import added, assigned
from registry.contribute.attaching import naming
from registry.contribute.drafting import left_behind, like, skeleton, with_identity
from registry.contribute.given import record_in
from registry.contribute.prepare import create
from registry.contribute.sourcing import resourced
from registry.model.kinds import KINDS, path_of, place_at
from registry.model.shape import shape_of
from registry.question.standing import failed_trial, why_on_trial
from registry.question.when import version, withdrawal_words
from registry.shipped import shipped

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
    help="Start from another record of this kind, of this registry or a file (the shipped examples too: "
    "records/…); what is true of it alone stays behind.",
)
@click.option(
    "--from", "source", type=handed_path(stdin=True), help="Start from a JSON file; - reads it from stdin."
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
    shape = shape_of(kind)
    values = desk.values(shape, given["values"])
    named = {"title": given["title"]} if given["title"] else {}
    if given["source"]:
        held = {"title": identifier} | _handed(kind, given["source"])
        document = with_identity(kind, identifier, held | named)
    elif given["model"]:
        document = _copy(desk, kind, identifier, given["model"], values) | {"title": identifier} | named
    else:
        document = skeleton(kind, identifier, given["title"] or identifier)
    start = document
    document = assigned(shape, document, values)
    for text in given["add"]:
        document = added(shape, document, text)
    if given["model"]:
        document = _with_sources(desk, kind, identifier, start, document, values)
    contribution = create(
        desk.tree, path_of(kind, identifier), document, writer=desk.writer, reason=given["reason"]
    )
    desk.finish(contribution)


def _handed(kind: str, file: Path) -> dict[str, Any]:
    name, data = handed(file)
    return record_in(name, kind, data)


def _copy(desk: Desk, kind: str, rid: str, model: str, values: Mapping[str, str]) -> dict[str, Any]:
    """Return a document that starts from another record, and say what of it stayed behind."""
    held, origin = _model(desk, kind, model)
    document = like(kind, rid, held, origin, desk.writer.date, printer=values.get("printer", ""))
    if left := left_behind(kind, held, document):
        desk.beware(f"true of {origin} alone, so left behind: {', '.join(left)}")
    return document


def _with_sources(
    desk: Desk, kind: str, rid: str, start: dict[str, Any], document: dict[str, Any], values: Iterable[str]
) -> dict[str, Any]:
    """Return a copy that does not call copied what was set, and say what was set without a source."""
    document = naming(desk.tree, path_of(kind, rid), document)
    made = resourced(kind, start, document, values, desk.writer.date)
    if made.words:
        desk.beware(made.words)
    return made.document


def _model(desk: Desk, kind: str, name: str) -> tuple[dict[str, Any], str]:
    """Return the record to start from, of this registry or from a file, and what it is called.

    Where it is withdrawn or on trial itself, that is said, and why.
    """
    if file := _file(name):
        document, called = record_in(name, kind, handed(file)[1]), _called(file)
        on_trial = document.get("status") == "trial"
        _doubt(desk, called, document, (failed_trial(document) or "its record says so") if on_trial else "")
        there = [use for use in document.get("applications", []) if desk.has("application", use)]
        kept = {member: value for member, value in document.items() if member != "applications"}
        return kept | ({"applications": there} if there else {}), called
    found = version(desk.registry, name, (kind,), offered=True)
    called = f"{found.rid} {found.label}"
    if found.on_trial:
        tell(f"starts from {called}: {offered_words(found)}")
    _doubt(desk, called, found.document, why_on_trial(desk.registry, found))
    return found.document, called


def _doubt(desk: Desk, called: str, document: dict[str, Any], on_trial: str) -> None:
    if gone := withdrawal_words(called, document):
        desk.beware(gone)
    elif on_trial:
        desk.beware(f"{called} is on trial: {on_trial}")


def _file(name: str) -> Path | None:
    """Return the file that is meant, if any: one that is there, or an example that litstock brings along."""
    if not name.endswith(".json"):
        return None
    example = shipped("records").parent / name
    if Path(name).is_file():
        return Path(name)
    return example if place_at(name) and example.is_file() else None


def _called(file: Path) -> str:
    """Return what to call a file: the id of the record that it is by its path, else its own name."""
    top = max((n for n, part in enumerate(file.parts) if part == "records"), default=len(file.parts))
    place = place_at("/".join(file.parts[top:]))
    return place.id if place else file.name
