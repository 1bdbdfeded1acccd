"""`litstock show`: everything that is known of a record."""

import datetime
from collections.abc import Iterator
from typing import Any

import click

from registry.change.show import Advice, Shown, ShownValue, show
from registry.change.sources import age
from registry.cli.completion import complete_records
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, date_option, format_option, units_option
from registry.cli.output import figures, say, write_json, write_table
from registry.cli.show_text import show_text, source_words
from registry.cli.values import in_figures, in_system, unit_in
from registry.cli.wording import draft_json, remark_json, version_json
from registry.errors import RequestError
from registry.question.names import called
from registry.question.registry import Registry

__all__ = ["command"]

_COLUMNS = {each: each for each in ("path", "label", "value", "unit", "source", "age")}


@click.command()
@click.argument("record", metavar="RECORD[@WHEN]", shell_complete=complete_records())
@click.option(
    "--for",
    "place",
    default="",
    metavar="APPLICATION|DISPLAY",
    shell_complete=complete_records("application", "display"),
    help="Where a mode is to hang: adds the guidance for that place.",
)
@date_option("The day as of which ages are told.")
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(
    context: click.Context, record: str, place: str, date: datetime.datetime, units: str, form: str
) -> None:
    """Show everything that is known of a record.

    WHEN is r7 (a revision), 2026-03-01 (as landed by the end of that day), git:REV, site:ID or
    site:ID:2026-03-01 (in force there), or draft (as it lies in the working tree). A job's number stands for
    its run.

    As csv or markdown: a row for each value, and for each that a person would miss, with the value
    "unknown"; of a check sum and the like the beginning, which JSON has in full.

    JSON keys: commit, record (kind, record, title, asked, revision, number, draft, standing,
    settings_digest, reason, recorded, landed, in_force), standing, on_trial_because, newest, trial,
    known_good, withdrawn, values and unknown (path, label, group, unit, value, low, high, effect,
    scope, meaning, aside, computed, source, needed, note), confirmations (record, site, unit, date, outcome,
    revision, counts, overruled, note), advice (place, judged, rules: rule, level, applies, text, source;
    cautions: of, text), related (heading, kind, record, title, words), unsourced (paths), draft (label,
    where, missing, fault, changes).
    """
    registry = open_registry(context)
    answer = show(registry, _of_job(registry, record), date.date(), place)
    if form == "json":
        write_json(_json(registry, answer, units))
    elif form != "text":
        write_table(list(_rows(answer, units)), _COLUMNS, form)
    else:
        for line in show_text(registry, answer, units):
            say(line)


def _of_job(registry: Registry, text: str) -> str:
    """Return the run that a job's number means, where no record is called so; else the text as it is."""
    runs = registry.model.holding("run", {"job": text})
    if not runs or called(registry, text, ()):
        return text
    if len(runs) > 1:
        named = ", ".join(f"run:{each.rid}" for each in runs)
        raise RequestError(f"job {text} ran {len(runs)} times: {named}: name one of them")
    return f"run:{runs[0].rid}"


def _json(registry: Registry, answer: Shown, units: str) -> dict[str, Any]:
    return {
        "commit": answer.commit,
        "record": version_json(registry, answer.version),
        "standing": answer.standing,
        "on_trial_because": answer.on_trial_because or None,
        "newest": answer.newest or None,
        "trial": answer.trial or None,
        "known_good": answer.known_good or None,
        "withdrawn": answer.version.document.get("withdrawn"),
        "values": [_value_json(value, answer, units) for value in answer.values],
        "unknown": [_value_json(value, answer, units) for value in answer.unknown],
        "confirmations": [
            {
                "record": each.record,
                "site": each.site,
                "unit": each.unit or None,
                "date": each.date,
                "outcome": each.outcome,
                "revision": each.revision,
                "counts": each.counts,
                "overruled": each.overruled,
                "note": each.note or None,
            }
            for each in answer.confirmations
        ],
        "advice": answer.advice and _advice_json(answer.advice),
        "related": [
            {
                "heading": each.heading,
                "kind": each.kind,
                "record": each.rid,
                "title": each.title or None,
                "words": each.words or None,
            }
            for each in answer.related
        ],
        "unsourced": [value.path for value in answer.unsourced],
        "draft": draft_json(answer.draft, units),
    }


def _advice_json(advice: Advice) -> dict[str, Any]:
    return {
        "place": advice.place or None,
        "judged": advice.judged,
        "rules": [remark_json(each) for each in advice.remarks],
        "cautions": [{"of": of, "text": text} for of, text in advice.cautions],
    }


def _value_json(value: ShownValue, answer: Shown, units: str) -> dict[str, Any]:
    held, unit = in_system(value.value, value.unit, units)
    return {
        "path": value.path,
        "label": value.label,
        "group": value.group,
        "unit": unit,
        "value": held,
        "low": None if value.doubt is None else figures(held * (1 - value.doubt)),
        "high": None if value.doubt is None else figures(held * (1 + value.doubt)),
        "effect": value.effect,
        "scope": value.scope,
        "meaning": value.meaning or None,
        "aside": value.aside,
        "computed": value.how or None,
        "source": value.source and source_words(value.source, answer.today),
        "needed": value.needed,
        "note": value.note or None,
    }


def _rows(answer: Shown, units: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each value, also for each unknown one that a person would miss."""
    for each in (*answer.values, *(each for each in answer.unknown if each.needed)):
        source, value = each.source, each.value
        yield {
            "path": each.path,
            "label": each.label,
            "value": "unknown" if value is None else in_figures(value, each.unit, units)[0],
            "unit": unit_in(each.unit, units),
            "source": source_words(source) if source else f"computed: {each.how}" if each.how else None,
            "age": age(source.date, answer.today) if source and source.date else None,
        }
