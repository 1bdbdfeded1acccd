"""`litstock measure`: what a measurement file holds, and how far it lies from a mode's reference."""

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Manner
from registry.cli.handed import handed, handed_path
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option
from registry.cli.output import say, tell, write_json, write_table
from registry.cli.refusing import refusable
from registry.errors import RegistryError, RequestError
from registry.measurement import MeasurementError

__all__ = ["command"]


_TOLD = 20
"""So many faults of a file are told: with decimal commas every cell is one."""


class Unreadable(RegistryError):
    """A file that is no measurement, with every fault."""

    def __init__(self, file: Path, error: MeasurementError) -> None:
        super().__init__(file, error)
        self.file, self.faults = file, error.faults

    def __str__(self) -> str:
        lines = [f"  {fault}" for fault in self.faults[:_TOLD]]
        if len(self.faults) > _TOLD:
            lines.append(f"  and {len(self.faults) - _TOLD:,} more")
        return "\n".join([f"{self.file} is no measurement:", *lines])


@click.command()
@click.argument("file", metavar="FILE", type=handed_path())
@click.option(
    "--mode",
    metavar="MODE[@WHEN]",
    default="",
    shell_complete=complete_records("print-mode"),
    help="Compare with this mode's reference measurement.",
)
@click.option("--attach", is_flag=True, help="Record the file as the reference measurement of --mode.")
@click.option(
    "--as",
    "role",
    type=click.Choice(["reference", "ladder"]),
    default="reference",
    show_default=True,
    help="With --attach: as what. A ladder of loads is no reference.",
)
@click.option("--reason", default="", help="With --attach: why; it stays with the record for good.")
@click.option(
    "--site",
    envvar="LITSTOCK_SITE",
    metavar="SITE",
    shell_complete=complete_records("site"),
    help="With --attach: the site that writes.",
)
@click.option("--dry-run", is_flag=True, help="With --attach: check and show it; write nothing.")
@format_option(*TABLE_FORMATS)
@click.pass_context
@refusable
def command(context: click.Context, /, file: Path, mode: str, form: str, **given: Any) -> None:
    """Show what a measurement file holds, and compare it with a mode.

    FILE is CGATS.17 text (ISO 28178), CxF3 (ISO 17972-1), or an ICC profile that keeps the readings it was
    made from. Told are its patches and columns, how they were read and what the header leaves open, the
    solids, and what is doubtful: readings that no print gives, an unprinted patch that is not the lightest,
    black lighter than cyan, L*a*b* or densities that do not agree with the spectra, readings of one patch
    that lie apart.

    With --mode, colour differences (ΔE00) from the mode's reference, patch by patch; of a mode on trial, from
    the last known-good revision unless you name it. Transmission is never compared with reflection, nor any
    condition with another.

    With --attach, the file becomes the mode's reference, or its ladder of loads: copied beside it, its
    SHA-256 in the record, the revision raised, committed. CxF3 is kept as CGATS.17 text, which is what
    everything else here reads. What a ladder (columns INK, LOAD_PCT, PASSES, DRIED, REWET) calls for,
    litstock tune says.

    Exit code: 0 where nothing is doubtful; 1 where something is, or the comparison was refused; 3 where FILE
    cannot be read.

    JSON keys: file, form, sha256, tables (name, patches, inks, columns, conditions, not_said, ladder (null
    where it is none: inks, loads_pct, passes, solids, dried, wet, rewet, untried), solids (name, readings,
    densities, lab), faults, doubts), against (null without --mode: mode, revision, standing,
    file, itself, why_not, matched_by, colours, matched, left_out, mean, p95, largest, at, unprinted, unsaid,
    mean_known and largest_known: value, low, high, u; one_instrument).
    csv and markdown hold one row a patch. With --attach the answer is that of litstock revise instead.
    """
    from registry.cli.measure_words import columns, json_of, rows_of, text_of  # noqa: PLC0415 (numpy)
    from registry.measurement.reading import as_cgats, read  # noqa: PLC0415
    from registry.measurement.report import report  # noqa: PLC0415

    _refuse_half(given, mode)
    data = handed(file)[1]
    try:
        reading = read(data)
    except MeasurementError as error:
        raise Unreadable(file, error) from error
    tables = report(reading.measurement)
    if given["attach"]:
        from registry.cli.measure_attach import attach  # noqa: PLC0415

        manner = Manner(given["site"], given["dry_run"], "json" if form == "json" else "text")
        attach(context, (file, data, tables), mode, given, manner)
        return
    found = None
    if mode:
        from registry.change.against import against  # noqa: PLC0415

        found = against(open_registry(context), mode, reading.measurement, as_cgats(data, file.name))
    if form == "json":
        write_json(json_of(file, data, reading.form, tables, found))
    elif form == "text":
        for line in text_of(file, reading.form, tables, found):
            say(line)
    else:
        write_table(list(rows_of(tables, found)), columns(tables, found), form)
        for reason in found.why_not if found else ():
            tell(f"not compared: {reason}")
    clean = all(each.clean for each in tables) and (found is None or found.comparison is not None)
    sys.exit(0 if clean else 1)


def _refuse_half(given: Mapping[str, Any], mode: str) -> None:
    """Refuse to attach where it is not said to what, as what or why."""
    if given["role"] == "ladder" and not given["attach"]:
        raise RequestError("--as ladder says as what --attach records the file: give both")
    if given["attach"] != bool(given["reason"]):
        raise RequestError(f"--attach and --reason TEXT go together: why is this the {given['role']}?")
    if given["attach"] and not mode:
        raise RequestError(
            f"say which mode the measurement is the {given['role']} of: --mode MAKER/GRADE/MODE"
        )
