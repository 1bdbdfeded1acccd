"""`litstock confirm`: record how a mode went at a site."""

from typing import Any

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, Manner, contributes
from registry.contribute.happenings import Happening, record
from registry.model.shape import shape_of
from registry.question.when import version

__all__ = ["command"]

_OUTCOMES = shape_of("confirmation").settings["outcome"].words


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]", shell_complete=complete_records("print-mode"))
@click.option("--outcome", type=click.Choice(_OUTCOMES), required=True, help="How the print went.")
@click.option(
    "--unit", metavar="SITE/UNIT", shell_complete=complete_records("unit"), help="The machine that ran it."
)
@click.option(
    "--display",
    metavar="SITE/DISPLAY",
    shell_complete=complete_records("display"),
    help="The display it was judged in.",
)
@click.option("--date", metavar="DAY", help="The day it was judged, lit and dried down; today if not given.")
@click.option("--note", help="The reservation, or what failed.")
@contributes
@click.pass_context
def command(context: click.Context, /, mode: str, manner: Manner, **given: Any) -> None:
    """Record how a mode went at a site.

    It speaks for the revision named, or the newest one, and counts as long as the mode keeps those settings.
    """
    desk = Desk(context, manner)
    found = version(desk.registry, mode, ("print-mode",))
    known = {
        "mode": found.rid,
        "mode_revision": found.seq,
        "settings_digest": found.digest,
        "unit": given["unit"],
        "date": given["date"] or desk.writer.date,
        "outcome": given["outcome"],
        "display": given["display"],
        "note": given["note"],
    }
    title = f"{found.document['title']} {found.label}: {given['outcome']}"
    slug = "-".join(found.rid.split("/")[1:])
    happening = Happening("confirmation", known["date"], slug, title[:80], known)
    desk.finish(record(desk.tree, happening, desk.writer))
    if found.standing == "trial" and given["outcome"] != "failed" and not manner.dry_run:
        promotion = f"--set status=known-good --reason 'Confirmed at {desk.writer.site}'"
        click.echo(f"next: litstock revise {found.rid} {promotion}", err=True)
