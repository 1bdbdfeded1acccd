"""`litstock slug`: print the line that a print carries in its bleed."""

import datetime
from dataclasses import asdict

import click

from registry.card.asking import machine
from registry.card.code import parse_code, slug_text
from registry.cli.completion import complete_records
from registry.cli.opening import open_registry
from registry.cli.options import format_option
from registry.cli.output import say, write_json
from registry.question.when import version

__all__ = ["command"]


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]", shell_complete=complete_records("print-mode"))
@click.option(
    "--unit",
    metavar="SITE/UNIT",
    default="",
    help="The machine that prints it.",
    shell_complete=complete_records("unit"),
)
@click.option("--date", type=click.DateTime(formats=["%Y-%m-%d"]), help="The day it is printed.")
@format_option("text", "json")
@click.pass_context
def command(
    context: click.Context, /, mode: str, unit: str, date: datetime.datetime | None, form: str
) -> None:
    """Print the line that a print carries in its bleed.

    A returned print then names its own settings: litstock card --verify and litstock run read the line. With
    --unit it also names the revision of the machine's own values.

    \b
    JSON keys: slug, mode_id, revision, digest (whole), unit, unit_revision (null
    without a unit), draft, commit.
    """  # noqa: D301 (click reads the backspace)
    registry = open_registry(context)
    found = version(registry, mode, ("print-mode",), offered=True)
    printer = machine(registry, unit, found)
    slug = slug_text(
        found.rid,
        found.number,
        found.digest,
        unit=printer.rid if printer else "",
        unit_revision=printer.number if printer else None,
        date=date.date() if date else None,
        draft=found.draft,
    )
    if form == "json":
        code = asdict(parse_code(slug))
        write_json({"slug": slug, **code, "digest": found.digest, "commit": registry.commit})
    else:
        say(slug)
