"""`litstock plan`: what a job takes: material, time and ink, and where each piece lies."""

import sys
from typing import Any

import click

from registry.cli.completion import complete_records
from registry.cli.numbers import Number
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import say, write_json, write_table
from registry.model.units import metric
from registry.plan.asking import Asked, Planned, ask
from registry.plan.job import Job, coverage_of, pieces_of
from registry.question.registry import Registry

__all__ = ["command"]

_AT_LEAST_0, _ABOVE_0 = Number(0, 100_000), Number(0, 100_000, min_open=True)
_IN_MM = {
    "bleed_mm": "Printed beyond the finished size on each side.  [default: none]",
    "gap_mm": "Between two pieces, bleed to bleed.  [default: 10 mm]",
    "margin_mm": "Kept free at each edge of the material.  [default: 10 mm]",
}
_IN_M = {
    "lead_in_m": "Of each roll, before the first piece.  [default: none]",
    "lead_out_m": "Of each roll, after the last piece.  [default: none]",
}


def _lengths(command: Any) -> Any:
    """Add the options that say how pieces lie; they and the sizes are given in the units asked for."""
    for unit, options in (("M", _IN_M), ("MM", _IN_MM)):
        for name, text in reversed(options.items()):
            flag = f"--{name.rpartition('_')[0].replace('_', '-')}"
            command = click.option(flag, name, type=_AT_LEAST_0, metavar=unit, help=text)(command)
    return command


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]", shell_complete=complete_records("print-mode"))
@click.option(
    "--piece",
    "alone",
    multiple=True,
    metavar="[NAME=]SIZE",
    help="What is to be printed; may be given again, and may be turned to fit.",
)
@click.option(
    "--set",
    "sets",
    multiple=True,
    metavar="[NAME=]SIZE[+SIZE...]",
    help="Panels that hang side by side: never turned, one roll, one run. May be given again.",
)
@click.option("--coverage", metavar="PERCENT", help="Mean coverage of the image, before the load.")
@_lengths
@click.option("--width", "width_mm", type=_ABOVE_0, metavar="MM", help="Lay it on this width only.")
@click.option(
    "--length",
    "length_m",
    type=_ABOVE_0,
    metavar="M",
    help="Of a roll or sheet, instead of the recorded one.",
)
@click.option(
    "--for",
    "place",
    metavar="USE",
    default="",
    help="Application or display: its advice appears.",
    shell_complete=complete_records("application", "display"),
)
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(context: click.Context, /, mode: str, place: str, units: str, form: str, **given: Any) -> None:
    """Plan a job: pieces nested on the material, metres, waste, hours and ink.

    A SIZE is WIDTHxHEIGHT or WIDTHxHEIGHTxCOUNT, finished size as it hangs, in mm; with a name
    poster=1200x1800x6, and of a set one name for all its panels, wall=1000x2000x3+800x2000. With --units us
    every size is in inches and every length of material in feet.

    PERCENT is the sum of the channels, as in 60, or each channel, as in C=20,M=15,Y=10,K=5: what the
    separated image inks on average of 100 % a channel. The mode's load is put on top of it.

    The pieces are nested on each width of the substrate that the printer takes. What is larger than the
    material is never cut up: the answer says so.

    Exit code: 0 where every piece has its place, 1 where one has none or nothing is to be printed so.

    JSON keys: commit, mode (kind, record, title, asked, revision, number, draft, standing, settings_digest,
    reason, recorded, landed, in_force), on_trial, against (why nothing is to be printed), substrate, printer,
    in_short (label, text: what a card carries), units (system, and what sizes, lengths, areas, ink and time
    are in), pieces (name, set, width, height, count), laid (bleed, gap, margin, lead_in, lead_out), layouts
    (width, length_of_one, sheet, length, material, waste_pct, rolls, whole, best, shortest), not_taken
    (width, limit), unknown, unfit (on, name, set, width, height, count, why, room, side, panels, panel),
    figures (by name: label, value, unit, computed, unknown), inks (name, of, laid_pct, value, low, high:
    where it lies with a chance of 95 %, unit, computed, unknown), ink_leaves_out, places (roll, name, set,
    number, x, y, across, along, turned), acclimatise_h, guidance (rule, level, applies, text, source),
    cautions (from, text). csv and markdown give the places.
    """
    asked = Asked(mode=mode, place=place, job=_job(given, units))
    registry = open_registry(context)
    planned = ask(registry, asked)
    _write(registry, planned, form, units)
    sys.exit(0 if planned.plan.is_whole and not planned.against else 1)


def _job(given: dict[str, Any], units: str) -> Job:
    lengths = {
        name: metric(value, name.rpartition("_")[2], units)
        for name, value in given.items()
        if value is not None and name not in {"alone", "sets", "coverage"}
    }
    coverage = coverage_of(given["coverage"]) if given["coverage"] else None
    return Job(pieces=pieces_of(given["alone"], given["sets"], units), coverage=coverage, **lengths)


def _write(registry: Registry, planned: Planned, form: str, units: str) -> None:
    if form == "text":
        from registry.cli.plan_text import text_of  # noqa: PLC0415 (what another form does not need)

        for line in text_of(planned, units):
            say(line)
        return
    from registry.cli.plan_json import columns_of, json_of, rows_of  # noqa: PLC0415

    if form == "json":
        write_json(json_of(registry, planned, units))
    else:
        write_table(list(rows_of(planned, units)), columns_of(units), form)
