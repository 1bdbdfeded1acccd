"""`litstock trace`: which mode and revision made a print, by its slug, its card's code or its readings."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from registry.audit.trace import Fit, Made, Trace, by_code, by_readings
from registry.cli.blocks import labelled, paragraph
from registry.cli.completion import complete_records
from registry.cli.handed import handed
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option
from registry.cli.output import figures, say, write_json, write_table
from registry.cli.wording import clock, counted, standing_words
from registry.question.names import once_named
from registry.question.registry import Registry

__all__ = ["command"]

_FEW = 5
"""So many runs are told; the rest is counted."""
_COLUMNS = {
    "place": "place",
    "file": "reference",
    "mean": "ΔE00 mean",
    "mean_low": "from",
    "mean_high": "to",
    "p95": "95 of 100 within",
    "mode": "print mode",
    "revision": "revision",
    "digest": "settings",
    "standing": "standing",
    "landed": "landed",
    "in_use": "in use on",
    "runs": "runs",
}


@click.command()
@click.argument("text", metavar="SLUG|CODE|READINGS", nargs=-1, required=True)
@click.option("--site", default="", shell_complete=complete_records("site"), help="Only this shop's runs.")
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(context: click.Context, /, text: tuple[str, ...], site: str, form: str) -> None:
    """Say which mode and revision made a print, by slug, code or readings.

    Give the line in its bleed, its card's code, or a file of its readings. By slug or code the settings are
    known at once; by readings, every reference that any revision names is compared (ΔE00 over the patches
    that both have, read in the same way), and what fits best is told with what comes next.

    Exit code: 0 where one setting explains the print; 1 where none does, or readings cannot tell two apart.

    JSON keys: commit, code (mode, revision, digest, unit; null for readings), explained, margin, told_apart,
    made and, in fits, file, mean and largest (value, low, high, u), p95, patches, made (mode, revision,
    number, digest, standing, came, runs: record, job, unit, at; in_use), left_out (why, count).
    """
    registry = open_registry(context)
    site = once_named(registry, site, ("site",)).rid if site else ""
    file = Path(text[0])
    if len(text) == 1 and file.is_file():
        from registry.measurement.reading import read  # noqa: PLC0415 (numpy, only for readings)

        answer = by_readings(registry, read(handed(file)[1]).measurement, site)
    else:
        answer = by_code(registry, " ".join(text), site)
    if form == "json":
        write_json(figures(_json(registry, answer)))
    elif form == "text":
        for line in _text(registry, answer):
            say(line)
    else:
        write_table(list(_rows(registry, answer)), _COLUMNS, form)
    sys.exit(0 if answer.explained and answer.told_apart is not False else 1)


def _text(registry: Registry, answer: Trace) -> Iterator[str]:
    if answer.code is not None:
        for made in answer.made:
            yield from _made(registry, made)
    elif not answer.fits:
        yield "No reference measurement could be compared with these readings."
    else:
        best = answer.fits[0]
        if not answer.explained:
            yield from paragraph("No revision on record explains this print: even the nearest lies far away.")
        yield from _fit(registry, best, "nearest")
        for each in answer.fits[1:]:
            yield ""
            yield from _fit(registry, each, "next", told=1)
        if answer.told_apart is False:
            yield ""
            yield from paragraph(
                "The two lie too near to each other: readings alone do not tell which it was."
            )
    if answer.left_out:
        yield ""
        words = [f"{counted(number, 'reference')}: {why}" for why, number in answer.left_out]
        yield from labelled("left out", words)
    yield f"answered from commit {answer.commit[:12]}"


def _fit(registry: Registry, fit: Fit, word: str, told: int | None = None) -> Iterator[str]:
    found = fit.comparison
    apart = f"mean {found.mean.value:.2f}, 95 of 100 within {found.summary.p95:.2f}"
    yield from paragraph(
        f"{word}: {fit.file}, ΔE00 {apart}, {counted(len(found.matches), 'patch', 'patches')}"
    )
    for made in fit.made[:told]:
        yield from _made(registry, made)


def _made(registry: Registry, made: Made) -> Iterator[str]:
    revision = made.revision
    yield from paragraph(
        f"{made.mode.rid} {revision.label}, {standing_words(made.standing)}: {made.mode.title}", "  ", "    "
    )
    yield from labelled("settings", [f"{(revision.digest or '')[:12]}, {made.came}"])
    if made.in_use:
        yield from labelled("in use", [", ".join(made.in_use)])
    runs = [f"{clock(registry, each.at)}  job {each.job} on {each.unit}" for each in made.runs[:_FEW]]
    if len(made.runs) > _FEW:
        runs.append(f"and {counted(len(made.runs) - _FEW, 'earlier run')}")
    yield from labelled("runs", runs or ["none on record"])
    if made.runs:
        yield from labelled("next", [f"litstock audit {made.runs[0].job}"])


def _made_json(registry: Registry, made: Made) -> dict[str, Any]:
    return {
        "mode": made.mode.rid,
        "revision": made.revision.label,
        "number": made.revision.revision,
        "digest": made.revision.digest,
        "standing": made.standing,
        "came": made.came,
        "runs": [
            {
                "record": each.record,
                "job": each.job,
                "unit": each.unit,
                "at": registry.time(each.at).isoformat(),
            }
            for each in made.runs
        ],
        "in_use": list(made.in_use),
    }


def _json(registry: Registry, answer: Trace) -> dict[str, Any]:
    code = answer.code
    return {
        "commit": answer.commit,
        "code": code
        and {
            "mode": code.mode_id,
            "revision": code.revision,
            "digest": code.digest,
            "unit": code.unit or None,
        },
        "explained": answer.explained,
        "margin": answer.margin,
        "told_apart": answer.told_apart,
        "made": [_made_json(registry, each) for each in answer.made],
        "fits": [
            {
                "file": fit.file,
                "mean": fit.comparison.mean._asdict(),
                "largest": fit.comparison.largest._asdict(),
                "p95": fit.comparison.summary.p95,
                "patches": len(fit.comparison.matches),
                "made": [_made_json(registry, each) for each in fit.made],
            }
            for fit in answer.fits
        ],
        "left_out": [{"why": why, "count": number} for why, number in answer.left_out],
    }


def _rows(registry: Registry, answer: Trace) -> Iterator[dict[str, Any]]:
    fits: list[tuple[int, Fit | None, tuple[Made, ...]]] = [
        (place, fit, fit.made) for place, fit in enumerate(answer.fits, 1)
    ]
    for place, fit, all_made in fits or [(1, None, answer.made)]:
        for made in all_made:
            said = _made_json(registry, made)
            mean = fit.comparison.mean if fit else None
            yield {
                "place": place,
                "file": fit and fit.file,
                "mean": mean and round(mean.value, 3),
                "mean_low": mean and round(mean.low, 3),
                "mean_high": mean and round(mean.high, 3),
                "p95": fit and round(fit.comparison.summary.p95, 3),
                **{name: said[name] for name in ("mode", "revision", "digest", "standing", "in_use")},
                "landed": made.came,
                "runs": [each.job for each in made.runs],
            }
