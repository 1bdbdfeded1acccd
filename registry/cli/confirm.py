"""`litstock confirm`: record how a mode went at a site."""

from typing import Any

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, Manner, contributes, subject_option
from registry.contribute.happenings import Happening, record
from registry.contribute.prepare import Contribution, Overlay, revise
from registry.contribute.verified import Refused, verified
from registry.model.shape import shape_of
from registry.question.when import Version

__all__ = ["command"]

_OUTCOMES = shape_of("confirmation").settings["outcome"].words


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]", shell_complete=complete_records("print-mode"))
@click.option("--outcome", type=click.Choice(_OUTCOMES), required=True, help="How the print went.")
@subject_option("unit", "The machine that ran it.")
@subject_option("display", "The display it was judged in.")
@click.option("--date", metavar="DAY", help="The day it was judged, lit and dried down; today if not given.")
@click.option("--note", help="The reservation, or what failed.")
@contributes
@click.pass_context
def command(context: click.Context, /, mode: str, manner: Manner, **given: Any) -> None:
    """Record how a mode went at a site.

    It speaks for the revision named, or the newest one, and counts as long as the mode keeps those settings.
    """
    desk = Desk(context, manner)
    found = desk.mode(mode)
    unit, display = desk.subject("unit", given["unit"]), desk.subject("display", given["display"])
    known = {
        **desk.named(found),
        "unit": unit,
        "date": given["date"] or desk.writer.date,
        "outcome": given["outcome"],
        "display": display,
        "note": given["note"],
    }
    desk.not_before(found, known["date"])
    title = f"{found.document['title']} {found.label}: {given['outcome']}"
    slug = "-".join(found.rid.split("/")[1:])
    happening = Happening("confirmation", known["date"], slug, title[:80], known)
    contribution = record(desk.tree, happening, desk.writer)
    desk.finish(contribution)
    if found.document.get("status") == "trial" and given["outcome"] != "failed" and not manner.dry_run:
        _say_what_is_next(desk, found, contribution)


def _say_what_is_next(desk: Desk, found: Version, made: Contribution) -> None:
    """Say how the mode becomes known good, or what it still lacks."""
    tree = Overlay(desk.tree, made.files)
    reason = f"Confirmed at {desk.writer.site}"
    try:
        verified(tree, revise(tree, found.path, {"status": "known-good"}, writer=desk.writer, reason=reason))
    except Refused as refused:
        lacking = "; ".join(finding.message for finding in refused.findings)
        click.echo(f"not known good yet: {lacking}", err=True)
        return
    click.echo(f"next: litstock revise {found.rid} --set status=known-good --reason '{reason}'", err=True)
