"""`litstock confirm`: record how a mode went at a site."""

from typing import Any

import click

from registry.check.confirming import is_lit_from_behind
from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, Manner, contributes, subject_option
from registry.cli.numbers import number_of
from registry.cli.output import tell
from registry.cli.taking import machine, members, not_before, take
from registry.contribute.again import overruling, refuse_twice, said_otherwise
from registry.contribute.happenings import Happening, record
from registry.contribute.prepare import Contribution, Overlay, revise
from registry.contribute.verified import Refused, verified
from registry.errors import RequestError
from registry.model.shape import shape_of
from registry.question.when import Version

__all__ = ["command"]

_OUTCOMES = shape_of("confirmation").settings["outcome"].words
_UNSAID = {
    "failed": "say what failed, as it was seen: --note TEXT",
    "usable": "say what the reservation is: --note TEXT",
}


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]|CODE", shell_complete=complete_records("print-mode"))
@click.option("--outcome", type=click.Choice(_OUTCOMES), required=True, help="How the print went.")
@subject_option("unit", "The machine that ran it; a code may name it.")
@subject_option("display", "The display it was judged in.")
@click.option("--date", metavar="DAY", help="The day it was judged, lit and dried down; today if not given.")
@click.option(
    "--seen",
    type=click.Choice(shape_of("confirmation").settings["seen"].words),
    help="Where light came through it; --display says it by itself.",
)
@click.option(
    "--hours",
    metavar="HOURS",
    type=number_of("confirmation", "hours"),
    help="How long after printing it was judged.",
)
@click.option("--note", help="What failed, or the reservation; one of these needs it.")
@contributes
@click.pass_context
def command(context: click.Context, /, mode: str, manner: Manner, **given: Any) -> None:
    """Record how a mode went at a site.

    It speaks for what the code names (what a card's code holds, or the line in a print's bleed), or for the
    revision that is named; else for what the machine last ran or adopted, else for what card and slug give.
    It counts as long as the mode keeps those settings. A mistyped outcome is put right by confirming again:
    of what a site says of one machine's prints with the same settings the latest word counts.
    """
    if given["outcome"] in _UNSAID and not given["note"]:
        raise RequestError(_UNSAID[given["outcome"]])
    desk = Desk(context, manner)
    unit, display = machine(desk, mode, given["unit"]), desk.subject("display", given["display"])
    found = take(desk, "confirm", mode, unit)
    seen = given["seen"] or ("in-display" if display else None)
    _ask_how_it_was_seen(found, given["outcome"], seen, given["hours"])
    known = {
        **members(found),
        "unit": unit,
        "date": given["date"] or desk.writer.date,
        "outcome": given["outcome"],
        "display": display,
        "hours": given["hours"],
        "seen": seen,
        "note": given["note"],
    }
    not_before(desk, found, known["date"])
    _beware_of_an_early_word(desk, found, given["hours"])
    title = f"{found.document['title']} {found.label}: {given['outcome']}"
    slug = "-".join(found.rid.split("/")[1:])
    happening = Happening("confirmation", known["date"], slug, title[:80], known)
    refuse_twice(desk.tree, desk.writer.site, known)
    contribution = record(desk.tree, happening, desk.writer)
    contribution = _with_what_it_overrules(desk, found, contribution)
    desk.finish(contribution)
    if given["outcome"] != "failed" and not manner.dry_run:
        _say_what_is_next(desk, found, contribution)


def _ask_how_it_was_seen(found: Version, outcome: str, seen: str | None, hours: float | None) -> None:
    """Refuse a good word on a print that is to be lit without where it was seen lit, and when."""
    if outcome == "failed" or not is_lit_from_behind(found.document):
        return
    asked = ["where it was seen lit: --display DISPLAY, or --seen on-light-table"] if seen is None else []
    asked += ["how long after printing: --hours HOURS"] if hours is None else []
    if asked:
        raise RequestError(f"say {'; and '.join(asked)} (of a print not seen lit: --seen not-lit)")


def _with_what_it_overrules(desk: Desk, found: Version, said: Contribution) -> Contribution:
    """Say whose word a confirmation takes the place of, and what follows for the mode."""
    for earlier, still in said_otherwise(desk.tree, said):
        was = f"{earlier.rid}, which said {earlier.document['outcome']} on {earlier.document['date']}"
        desk.beware(
            f"this does not count beside {was}, later than this"
            if still
            else f"this takes the place of {was}: of one machine's prints the latest word counts"
        )
    made = overruling(desk.tree, said, found.path, desk.writer, landed=desk.landed)
    if len(made.files) > len(said.files):
        desk.beware(f"{found.rid} goes on trial: no good word is left for its settings")
    return made


def _beware_of_an_early_word(desk: Desk, found: Version, hours: float | None) -> None:
    rest = found.document.get("waits", {}).get("judging_h")
    if hours is not None and rest is not None and hours < rest:
        desk.beware(f"judged after {hours:g} h, and its settings ask for {rest:g} h before judging")


def _say_what_is_next(desk: Desk, found: Version, made: Contribution) -> None:
    """Where the mode is on trial with the settings that were confirmed: how it becomes known good."""
    now = desk.document("print-mode", found.rid)
    if now.get("status") != "trial" or shape_of("print-mode").digest(now) != found.digest:
        return
    tree = Overlay(desk.tree, made.files)
    reason = f"Confirmed at {desk.writer.site}"
    try:
        verified(tree, revise(tree, found.path, {"status": "known-good"}, writer=desk.writer, reason=reason))
    except Refused as refused:
        lacking = "; ".join(finding.message for finding in refused.findings)
        tell(f"not known good yet: {lacking}")
        return
    tell(f"next: litstock revise {found.rid} --set status=known-good --reason '{reason}'")
