"""`litstock card`: print the settings card of a mode, or verify a card."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any, get_args

import click

from registry.card.asking import Asked, ask
from registry.card.code import CardCode
from registry.card.current import Verdict
from registry.card.facts import facts
from registry.card.fitting import NoPlace, fitting
from registry.card.job import job_of
from registry.card.request import CardRequest, Paper
from registry.card.verifying import verify
from registry.change.compare import SettingChange
from registry.change.difference import difference
from registry.cli.completion import complete_records
from registry.cli.handed import handed, handed_path
from registry.cli.opening import open_registry
from registry.cli.options import date_option, format_option, units_option
from registry.cli.output import say, tell, write_json
from registry.cli.page import changes_table, wrapped
from registry.cli.sheets import save_sheet
from registry.cli.wording import change_json
from registry.errors import RequestError
from registry.question.registry import Registry
from registry.question.when import version

__all__ = ["command"]

_PAPERS = get_args(Paper.__value__ if hasattr(Paper, "__value__") else Paper)


@click.command()
@click.argument("mode", metavar="MODE[@WHEN]", required=False, shell_complete=complete_records("print-mode"))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Where to write it: FILE.pdf or FILE.png.",
)
@click.option(
    "--unit",
    metavar="SITE/UNIT",
    default="",
    help="The machine: its own values appear.",
    shell_complete=complete_records("unit"),
)
@click.option(
    "--for",
    "place",
    metavar="USE",
    default="",
    help="Application or display: its advice appears.",
    shell_complete=complete_records("application", "display"),
)
@click.option(
    "--for-fitter",
    is_flag=True,
    help="The sheet of whoever hangs the print, with the cautions of lamp and hanging; needs --for.",
)
@click.option(
    "--paper", type=click.Choice(_PAPERS), default=_PAPERS[0], show_default=True, help="Size of the sheet."
)
@click.option(
    "--plan",
    type=handed_path(stdin=True),
    metavar="FILE",
    help="Print a job on it, as litstock plan --format json wrote it; - reads it from stdin.",
)
@date_option("The card's date.")
@units_option
@format_option("text", "json")
@click.option("--verify", "code", metavar="TEXT", help="Say whether a card, or a print's slug, is current.")
@click.pass_context
def command(
    context: click.Context, /, mode: str | None, output: Path | None, code: str | None, **given: Any
) -> None:
    """Print the settings card of a mode, or verify a card.

    What has no room on one page goes to a second one; of a PNG that is FILE-2.png.
    While the newest revision is on trial, the card is of the last known-good one; name the trial to get its
    card.
    With --verify, exit 1 when the card is not current; where it names a machine, also when the machine's own
    values for this mode have changed.

    \b
    JSON keys: with -o, file, files (one for each page of a PNG), mode, revision,
    standing, digest, on_trial (a newer revision, or null), unit, unit_revision (or
    null), unmet and untold (what the place demands and is not met, or not known to
    be, in words), commit.
    Without -o, what the card says: record, unit, cautions and the other parts.
    With --verify: mode_id, revision, digest, unit, unit_revision, draft (read from
    the card); standing, current, words, use (the revision to use, or null),
    unit_use (the machine's newest revision, or null), changes, unit_changes,
    commit.
    """  # noqa: D301 (click reads the backspace)
    if code:
        _verify(context, code, given["form"], given["units"])
        return
    if not mode:
        raise RequestError("say which mode: litstock card MAKER/GRADE/MODE -o FILE.pdf, or --verify TEXT")
    request = _request(open_registry(context), mode, given)
    if given["for_fitter"] and not request.places:
        raise NoPlace
    if output is None:
        _tell(request, given["form"], for_fitter=given["for_fitter"])
        return
    _print(request, output, given["form"], for_fitter=given["for_fitter"])


def _request(registry: Registry, mode: str, given: Mapping[str, Any]) -> CardRequest:
    date: datetime.datetime = given["date"]
    asked = Asked(
        mode=mode, date=date.date(), **{name: given[name] for name in ("unit", "place", "paper", "units")}
    )
    request = ask(registry, asked)
    if request.places:
        from registry.cli.card_place import placed, unsuited  # noqa: PLC0415 (only a card for a place pays)

        request = placed(registry, request, version(registry, mode, ("print-mode",), offered=True))
        if words := unsuited(request):
            tell(words)
    if given["plan"]:
        request = replace(request, job=job_of(handed(given["plan"])[1], request))
    return request


def _print(request: CardRequest, output: Path, shown: str, *, for_fitter: bool) -> None:
    """Write the sheet: a PDF, or a PNG for each of its pages."""
    from registry.card.typeset import card, fitters_sheet  # noqa: PLC0415 (typesetting is dear at start-up)

    sheet = fitters_sheet if for_fitter else card
    files = save_sheet(output, lambda form: sheet(request, form))
    if shown == "json":
        write_json(_written(files, request))
    else:
        for file in files:
            say(str(file))
    if request.on_trial:
        tell(f"this is r{request.revision}, the last known-good; r{request.on_trial} is on trial")


def _written(files: Sequence[Path], request: CardRequest) -> dict[str, Any]:
    return {
        "file": str(files[0]),
        "files": [str(file) for file in files],
        "mode": request.mode_id,
        "revision": request.revision,
        "standing": request.standing,
        "digest": request.digest,
        "on_trial": request.on_trial,
        "unit": request.unit_id,
        "unit_revision": request.unit_revision,
        "unmet": list(request.unmet),
        "untold": list(request.untold),
        "commit": request.commit,
    }


def _tell(request: CardRequest, form: str, *, for_fitter: bool) -> None:
    """Say what the card would say, without a sheet."""
    if form == "text":
        raise RequestError("say where to write the card: -o FILE.pdf or -o FILE.png (or --format json)")
    write_json((fitting if for_fitter else facts)(request))


def _verify(context: click.Context, text: str, form: str, units: str) -> None:
    registry = open_registry(context)
    code, verdict = verify(registry, text)
    changes, own = _changes(registry, code, verdict), _own_changes(registry, code, verdict)
    if form == "json":
        answer = {
            **asdict(code),
            "standing": str(verdict.standing),
            "current": verdict.current,
            "words": verdict.words,
            "use": verdict.use,
            "unit_use": verdict.unit_use,
            "changes": [change_json(change, units) for change in changes],
            "unit_changes": [change_json(change, units) for change in own],
            "commit": registry.commit,
        }
        write_json(answer)
    else:
        say(wrapped(f"{'current' if verdict.current else 'not current'}: {verdict.words}"))
        steps = f"r{code.revision} (on the card) to r{verdict.use}"
        _say_changes(f"What changed from {steps} (effect: on colour).", changes, units)
        steps = f"r{code.unit_revision} (on the card) to r{verdict.unit_use}"
        _say_changes(f"What changed in {code.unit}'s own values for this mode from {steps}.", own, units)
    context.exit(0 if verdict.current else 1)


def _say_changes(heading: str, changes: list[SettingChange], units: str) -> None:
    if changes:
        say()
        say(wrapped(heading))
        for line in changes_table(changes, units):
            say(line)


def _changes(registry: Registry, code: CardCode, verdict: Verdict) -> list[SettingChange]:
    """Return the settings that changed between the card's revision and the one to use."""
    if code.draft or verdict.use in (None, code.revision):
        return []
    found = difference(registry, f"{code.mode_id}@{code.digest}", f"{code.mode_id}@{verdict.use_digest}")
    return list(found.settings)


def _own_changes(registry: Registry, code: CardCode, verdict: Verdict) -> list[SettingChange]:
    """Return the machine's own values for this mode that changed since the card was made."""
    if verdict.unit_use in (None, code.unit_revision):
        return []
    unit = f"unit:{code.unit}"
    found = difference(registry, f"{unit}@r{code.unit_revision}", f"{unit}@r{verdict.unit_use}")
    mine = f"own.{code.mode_id}."
    return [
        replace(change, label=change.name)  # the mode stands in the heading
        for change in found.settings
        if change.scope == "unit" and change.path.startswith(mine)
    ]
