"""`litstock audit`: what changed between a good print and a bad one."""

import datetime
import sys
from pathlib import Path
from typing import Any

import click
from click.shell_completion import CompletionItem

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.by_job import is_complaint, of_job
from registry.audit.lots import LOTS
from registry.audit.request import AuditRequest, of_complaint, of_prints
from registry.audit.usual import USUAL
from registry.cli.audit_json import COLUMNS, json_of, rows_of
from registry.cli.audit_text import audit_text
from registry.cli.completion import complete_records, complete_values
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, date_option, format_option, units_option
from registry.cli.output import say, write_json, write_table
from registry.cli.sheets import save_sheet
from registry.errors import RequestError
from registry.question.registry import Registry

__all__ = ["command"]


_COMPLAINTS = complete_records("complaint")
_JOBS = complete_values(("run", "job"), ("complaint", "job"))


def _complaints_and_jobs(
    context: click.Context, of: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    return [*_COMPLAINTS(context, of, incomplete), *_JOBS(context, of, incomplete)]


@click.command()
@click.argument("complaint", required=False, metavar="[COMPLAINT|JOB]", shell_complete=_complaints_and_jobs)
@click.option(
    "--site",
    default="",
    shell_complete=complete_records("site"),
    help="The shop; needed only where --unit does not name it.",
)
@click.option(
    "--unit",
    default="",
    metavar="SITE/UNIT",
    shell_complete=complete_records("unit"),
    help="The machine that printed both.",
)
@click.option(
    "--mode", default="", shell_complete=complete_records("print-mode"), help="The print mode of both."
)
@click.option("--printed", default="", metavar="WHEN", help="When the bad print was made.")
@click.option("--good", default="", metavar="WHEN", help="When the last good print was made.")
@click.option(
    "--display",
    default="",
    metavar="SITE/DISPLAY",
    shell_complete=complete_records("display"),
    help="Where it hangs; else as the runs of the two prints say.",
)
@click.option("--job", default="", shell_complete=_JOBS, help="Job number of the bad print.")
@click.option(
    "--lot",
    "lots",
    multiple=True,
    shell_complete=complete_values(*(("run", lot) for lot in LOTS), ("event", "lot")),
    help="A lot that was used; may be given more than once.",
)
@click.option(
    "--defect", type=click.Choice(tuple(USUAL)), metavar="DEFECT", help=f"What is wrong: {', '.join(USUAL)}."
)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write a report too: FILE.pdf or FILE.png.",
)
@click.option(
    "--for-customer",
    is_flag=True,
    help="With -o: one page in plain words, without staff or other jobs.",
)
@date_option("With -o: the report's date.")
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(
    context: click.Context,
    /,
    complaint: str | None,
    output: Path | None,
    date: datetime.datetime,
    units: str,
    form: str,
    *,
    for_customer: bool,
    **asked: Any,
) -> None:
    """Find what changed between a good print and a bad one.

    Give a complaint on record, a job's number, or --unit, --mode, --printed and --good. Of a job its
    complaint is taken; where none is on record its run, and as good the last run before it, of the same mode
    on the same unit, of which nobody complained, for the same display if there is one. With a complaint or a
    job, --good names another good print.

    What differs is told in order of likely effect; nothing is claimed to be the cause. Where the complaint
    has readings of the unprinted white (a patch called white, unprinted, bare, blank or paper, and no ink)
    and of printed patches, each with what was expected, they say whether lamps, panel and film come first, or
    ink and settings. What works against the defect comes last: of an event that is known where its before
    and after both name a web temperature (web 85 °C) or a humidity (50 % RH).

    One change is called the likely cause only where its numbers say what it does, it goes the way that was
    seen, it is proved to have been so, and with readings it explains most of them. What the changes on record
    do not explain is called unexplained.

    Exit code: 1 where something changed, or where a cause may hide in what is not known; 0 where nothing is
    known to have changed and nothing that matters is unknown.

    JSON keys: commit, changed, from_unknown_time, request (site, unit, mode, display, display_from, job,
    lots, defect, complaint, received, what, state, answer, readings: patch, found_lab, expected_lab,
    difference_lab, difference_de00, how; good, printed, assumed), withdrawn, remarks, guidance (rule, level,
    text, source, landed, after, certain), readings_say (moved, white_de00, inks_de00, patches, criterion),
    explained (de00, share, computed), likely_cause, in_doubt,
    in_short, good and bad (at, run, nearest, job, roll_lot, ink_lot, laminate_lot, fixing_fluid_lot, colour,
    note, in_force: how, since, record, mismatch; mode), timeline (at, day_only, late, what), differences
    (likely, works, why_not, explains, fits_readings, place, record, label, change, event, what, before,
    after, lot, display, at, at_is, day_only, effect, origin: revision, recorded, site, landed, written,
    cut_off, early: landed before it was recorded, by the dates; writers, reason; late, cleared_by, also: what
    else tells of the same change, under the same keys), computed, others (record, job, at, revision,
    settings, complaint), unknown, next, report (the files written with -o). `change` and `mode` have
    the keys of diff.

    Columns of csv and markdown, a row for each change and event in order of likely effect; rows with one
    number tell of one change: number, likely, place, record, label, before, after, unit, change, change_pct,
    what, lot, effect, at, at_is, day_only, revision, recorded, site, landed, cut_off, writers, reason,
    late, cleared_by, works, fits_readings.
    """
    if for_customer and not output:
        raise RequestError("--for-customer is a report: say where, -o FILE.pdf")
    registry = open_registry(context)
    answer = audit(registry, _request(registry, complaint, asked))
    files: list[Path] = []
    if output:
        files = _report(registry, answer, output, date.date(), units, for_customer=for_customer)
    if form == "json":
        write_json(json_of(registry, answer, units) | {"report": [str(each) for each in files]})
    elif form == "text":
        for line in audit_text(registry, answer, units):
            say(line)
    else:
        write_table(list(rows_of(registry, answer, units)), COLUMNS, form)
    sys.exit(1 if answer.changed or answer.in_doubt else 0)


def _report(
    registry: Registry,
    answer: AuditAnswer,
    output: Path,
    date: datetime.date,
    units: str,
    *,
    for_customer: bool,
) -> list[Path]:
    """Write the report beside the answer, and return its files."""
    from registry.card.typeset import pages  # noqa: PLC0415 (only a report pays for it)
    from registry.cli.audit_letter import letter  # noqa: PLC0415
    from registry.cli.audit_report import report  # noqa: PLC0415

    said = letter(registry, answer, date) if for_customer else report(registry, answer, date, units)
    return save_sheet(output, lambda form: pages(said, form, "report"))


def _request(registry: Registry, complaint: str | None, asked: dict[str, Any]) -> AuditRequest:
    asked = asked | {"defect": asked["defect"] or ""}
    if complaint is not None and not is_complaint(registry, complaint):
        if asked["job"]:
            raise RequestError(f"the job is named twice, {complaint!r} and --job: leave one of them out")
        return of_job(registry, complaint, **{name: asked[name] for name in asked if name != "job"})
    if complaint is not None:
        beside = [f"--{name}" for name, value in asked.items() if value and name != "good"]
        if beside:
            raise RequestError(f"a complaint says all but --good itself: leave out {', '.join(beside)}")
        return of_complaint(registry, complaint, good=asked["good"])
    lacking = [f"--{name}" for name in ("unit", "mode", "printed", "good") if not asked[name]]
    if lacking and asked["job"]:
        return of_job(registry, **asked)
    if lacking:
        raise RequestError(f"name a complaint or a job, or give {', '.join(lacking)} too")
    return of_prints(registry, **asked)
