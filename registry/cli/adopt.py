"""`litstock adopt`: record that a unit takes a mode into use."""

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, Manner, at_option, contributes, instant, subject_option
from registry.cli.taking import members, not_before, take
from registry.contribute.happenings import Happening, record
from registry.errors import RequestError

__all__ = ["command"]


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]", shell_complete=complete_records("print-mode"))
@subject_option("unit", "The machine that takes it into use.", required=True)
@at_option("When it was taken into use")
@click.option("--note", help="What there is to say about it.")
@contributes
@click.pass_context
def command(
    context: click.Context, /, mode: str, unit: str, at: str | None, note: str | None, manner: Manner
) -> None:
    """Record that a unit takes a mode into use.

    While the newest revision is on trial, the last known-good one is adopted; name the trial to adopt it.
    """
    desk = Desk(context, manner)
    unit = desk.subject("unit", unit, for_use=True)
    found = take(desk, "adopt", mode, unit)
    model = desk.document("unit", unit)["printer"]
    if model != found.document["printer"]:
        raise RequestError(
            f"{found.rid} is for the printer {found.document['printer']}, and {unit} is a {model}"
        )
    when = instant(desk.registry, at)
    not_before(desk, found, when)
    known = {
        "kind": "adopted",
        "at": when,
        "unit": unit,
        **members(found),
        "what": note or f"{unit} takes {found.rid} {found.label} into use",
    }
    title = f"Adopt {found.rid.rpartition('/')[2]} {found.label} on {unit}"
    slug = f"adopt-{unit.rpartition('/')[2]}-{'-'.join(found.rid.split('/')[1:])}"
    happening = Happening("event", when[:10], slug, title[:80], known)
    desk.finish(record(desk.tree, happening, desk.writer))
