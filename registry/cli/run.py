"""`litstock run`: record a printed job, also from a card's code."""

from collections.abc import Callable
from typing import Any

import click

from registry.audit.lots import LOTS
from registry.card.code import parse_code
from registry.cli.completion import complete_records, complete_values
from registry.cli.contributing import Desk, Manner, at_option, contributes, instant, subject_option
from registry.contribute.happenings import Happening, record
from registry.errors import RequestError
from registry.model.shape import shape_of
from registry.question.when import Version

__all__ = ["command"]


def _lot_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give the command an option for each lot that a run can name."""
    for name in reversed(LOTS):
        meaning = shape_of("run").settings[name].meaning
        option = click.option(
            f"--{name.replace('_', '-')}",
            metavar="LOT",
            shell_complete=complete_values(("run", name)),
            help=meaning,
        )
        command = option(command)
    return command


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]|CODE", shell_complete=complete_records("print-mode"))
@click.option("--job", required=True, help="The shop's job number.")
@subject_option("unit", "The machine; a code may name it.")
@at_option("When it was printed")
@_lot_options
@subject_option("display", "Where the print went.")
@click.option("--area", "area_m2", type=float, metavar="M2", help="Printed area in m².")
@click.option("--source-profile", help="The profile assumed for the customer's file.")
@click.option("--override", "overrides", multiple=True, help="A colour choice made for this job alone.")
@click.option("--note", help="Anything out of the ordinary.")
@contributes
@click.pass_context
def command(context: click.Context, /, mode: str, job: str, manner: Manner, **given: Any) -> None:
    """Record a printed job, also from a card's code.

    CODE is what a card's code holds, or the line in a print's bleed: paste it as it is.
    """
    on_card = _unit_in(mode)
    unit = given["unit"] or on_card
    if not unit:
        raise RequestError("say which machine printed it: --unit SITE/UNIT")
    desk = Desk(context, manner)
    unit, display = desk.subject("unit", unit), desk.subject("display", given["display"])
    if on_card not in ("", unit):
        desk.beware(
            f"the code names {on_card}, whose own values its card gives; {unit} is recorded, as --unit says"
        )
    found = _version(desk, mode)
    when = instant(desk.registry, given["at"])
    desk.not_before(found, when)
    colour = {"source_profile": given["source_profile"], "overrides": list(given["overrides"])}
    known = {
        "job": job,
        **desk.named(found),
        "unit": unit,
        "printed": when,
        "display": display,
        **{name: given[name] for name in (*LOTS, "area_m2", "note")},
        "colour": {name: value for name, value in colour.items() if value},
    }
    happening = Happening("run", when[:10], job, f"Job {job}"[:80], known)
    desk.finish(record(desk.tree, happening, desk.writer))


def _is_code(text: str) -> bool:
    return "#" in text or " " in text.strip()


def _unit_in(text: str) -> str:
    return parse_code(text).unit if _is_code(text) else ""


def _version(desk: Desk, text: str) -> Version:
    if not _is_code(text):
        return desk.mode(text, offered=True)
    code = parse_code(text)
    found = desk.mode(f"{code.mode_id}@r{code.revision}")
    if not found.digest.startswith(code.digest):
        raise RequestError(
            f"the code's settings {code.digest} are not those of {code.mode_id} r{code.revision}: "
            "read it again, or it is a card of another registry or of a draft"
        )
    return found
