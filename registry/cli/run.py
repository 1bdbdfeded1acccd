"""`litstock run`: record a printed job, also from a card's code."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import click

from registry.audit.lots import LOTS
from registry.cli.completion import complete_records, complete_values
from registry.cli.contributing import Desk, Manner, at_option, contributes, instant, subject_option
from registry.cli.numbers import number_of
from registry.cli.taking import machine, members, not_before, take
from registry.contribute.again import earlier_runs
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
@click.option("--area", "area_m2", type=number_of("run", "area_m2"), metavar="M2", help="Printed area in m².")
@click.option("--source-profile", help="The profile assumed for the customer's file.")
@click.option("--override", "overrides", multiple=True, help="A colour choice made for this job alone.")
@click.option("--note", help="Anything out of the ordinary.")
@contributes
@click.pass_context
def command(context: click.Context, /, mode: str, job: str, manner: Manner, **given: Any) -> None:
    """Record a printed job, also from a card's code.

    CODE is what a card's code holds, or the line in a print's bleed: paste it as it is.
    """
    desk = Desk(context, manner)
    unit, display = machine(desk, mode, given["unit"]), desk.subject("display", given["display"])
    if not unit:
        raise RequestError("say which machine printed it: --unit SITE/UNIT")
    found = take(desk, "run", mode, unit)
    when = _not_twice(desk, found, job, unit, instant(desk.registry, given["at"]))
    not_before(desk, found, when)
    colour = {"source_profile": given["source_profile"], "overrides": list(given["overrides"])}
    known = {
        "job": job,
        **members(found),
        "unit": unit,
        "printed": when,
        "display": display,
        **{name: given[name] for name in (*LOTS, "area_m2", "note")},
        "colour": {name: value for name, value in colour.items() if value},
    }
    happening = Happening("run", when[:10], job, f"Job {job}"[:80], known)
    made = record(desk.tree, happening, desk.writer)
    desk.finish(replace(made, message=f"{made.message}, {found.rid} {found.label}"))


def _not_twice(desk: Desk, found: Version, job: str, unit: str, when: str) -> str:
    """Return when a job was printed; refuse what is on record already, and say what else is of the job.

    A run of the same job, machine and mode at that moment with another revision was mistaken: this one takes
    its place, at its very moment.
    """
    for each in earlier_runs(desk.tree, desk.writer.site, job):
        run, same = each.document, members(found)
        told = f"{each.rid} says that {run['unit']} printed it with {run['mode']} r{run['mode_revision']}"
        if run["unit"] != unit or run["mode"] != found.rid or not each.is_at(when):
            desk.beware(f"job {job} is on record already: {told} on {run['printed'][:16].replace('T', ' ')}")
        elif run["mode_revision"] == same["mode_revision"]:
            raise RequestError(f"job {job} is on record: {told} then; another print of it has its own --at")
        else:
            when = str(run["printed"])
            desk.beware(f"{told}: this takes its place, of two at one moment the later record counts")
    return when
