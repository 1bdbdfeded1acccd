"""How the answer of `litstock show` reads."""

import datetime
import itertools
from collections.abc import Iterable, Iterator
from typing import Any

from registry.change.confirmed import Confirmed
from registry.change.show import Advice, Shown, ShownValue
from registry.change.sources import NamedSource, age
from registry.cli.find_words import UNSOURCED, remark_words, times, untold
from registry.cli.page import STAND_ALONE, aligned, wrapped
from registry.cli.values import said
from registry.cli.wording import draft_words, kind_words, landed_words, standing_words
from registry.question.advice import Remark
from registry.question.registry import Registry
from registry.question.withdrawal import withdrawn_words

__all__ = ["show_text", "source_words"]

_LABEL = 28
"""Columns of a label; a longer one goes on below."""
_WORD = 24
"""A list with longer texts than this is a list of sentences."""


def show_text(registry: Registry, answer: Shown, units: str) -> Iterator[str]:
    """Yield the lines: what it is, its values by group, sources, confirmations, what belongs to it."""
    yield from _heading(registry, answer)
    yield from _values(answer, units)
    yield from _sources(answer)
    if answer.version.kind == "print-mode":
        yield from _confirmations(answer)
    if answer.advice:
        yield from _advice(answer.advice)
    for heading, group in itertools.groupby(answer.related, key=lambda each: each.heading):
        yield ""
        yield heading
        for each in group:
            words = f": {each.words}" if each.words else ""
            title = f" ({each.title})" if each.title else ""
            yield wrapped(f"{each.rid}{title}{words}", "  ", "    ")
    if answer.draft:
        yield ""
        yield wrapped(f"Not landed: {draft_words(answer.draft)}", then="  ")
    yield ""
    yield f"answered from commit {answer.commit[:12]}"


def _heading(registry: Registry, answer: Shown) -> Iterator[str]:
    version = answer.version
    document, landed = version.document, version.landed
    yield wrapped(f"{version.rid} ({kind_words(version.kind)}): {document.get('title', '')}", then="  ")
    yield ""
    yield from _labelled("revision", _which(answer))
    for number, text in enumerate(_standing(answer)):
        yield from _labelled("" if number else "standing", text)
    if recorded := document.get("recorded"):
        ago = age(recorded["date"], answer.today)
        yield from _labelled(
            "recorded", f"{recorded['date']} at {recorded['site']}, {ago}".removesuffix(", ")
        )
    if landed:
        yield from _labelled("landed", landed_words(registry, landed, recorded and recorded["date"]))
    if version.evidence:
        mismatch = f"; {version.evidence.mismatch}" if version.evidence.mismatch else ""
        yield from _labelled("in force", version.evidence.words + mismatch)
    if reason := document.get("reason"):
        yield from _labelled("why", reason)


def _labelled(label: str, text: str) -> Iterator[str]:
    yield wrapped(f"{label:<10}{text}", "  ", " " * 12)


def _which(answer: Shown) -> str:
    version = answer.version
    if version.draft:
        return f"{version.label}: these settings have not landed"
    if version.number == answer.newest:
        return f"{version.label}, the newest"
    return f"{version.label}; the newest is r{answer.newest}"


def _standing(answer: Shown) -> Iterator[str]:
    if withdrawal := answer.version.document.get("withdrawn"):
        yield withdrawn_words(withdrawal)
    elif answer.standing == "withdrawn":
        yield "withdrawn"
    elif answer.standing != "current":
        why = f": {answer.on_trial_because}" if answer.on_trial_because else ""
        yield standing_words(answer.standing) + why
    if answer.known_good and answer.version.number != answer.known_good:
        good, trial = answer.known_good, answer.trial
        yield f"r{good} is the last known-good revision: use it until r{trial} is confirmed"
    elif answer.trial:
        yield f"r{answer.trial} is on trial"


def _values(answer: Shown, units: str) -> Iterator[str]:
    marks = _marks(answer)
    rows: list[tuple[str, str]] = []
    headings: dict[int, list[str]] = {}
    for group in answer.groups:
        headings[len(rows)] = ["", group or STAND_ALONE]
        held = [each for each in answer.values if each.group == group]
        missing = [each for each in answer.unknown if each.group == group and each.needed]
        for item, of_item in itertools.groupby(held, key=lambda each: each.item):
            values, name = _unrepeated(item, of_item), item.partition("#")[0]
            if item and all(each.aside for each in values):  # such as a trial: in one go
                told = (f"{_name(each)}: {said(each.value, each.unit, units)}" for each in values)
                rows.append((name, "; ".join(told)))
                continue
            if item:
                headings.setdefault(len(rows), []).append(f"  {name}")
            for each in values:
                rows += _rows(each, marks, answer.today, units)
            if item:
                rows += _unknown("  unknown", [each for each in missing if each.item == item])
        rows += _unknown("unknown", [each for each in missing if not each.item])
    for number, line in enumerate(aligned(rows, "  ", first=_LABEL)):
        yield from headings.get(number, ())
        yield line


def _unknown(label: str, missing: list[ShownValue]) -> list[tuple[str, str]]:
    return [(label, "; ".join(map(_name, missing)))] if missing else []


def _unrepeated(item: str, values: Iterable[ShownValue]) -> list[ShownValue]:
    """Return a list item's values without the one that is its name, which stands in the heading."""
    held = list(values)
    name = next((each for each in held if item and each.value == item.partition("#")[0]), None)
    return [each for each in held if each is not name]


def _name(value: ShownValue) -> str:
    return value.label.removesuffix(f", {value.item}") if value.item else value.label


def _rows(
    value: ShownValue, marks: dict[str, str], today: datetime.date, units: str
) -> Iterator[tuple[str, str]]:
    """Yield a value with its label and the mark of its source; of a list of sentences each in a row."""
    label = f"  {_name(value)}" if value.item else value.label
    mark = marks.get(source_words(value.source, today), "") if value.source else ""
    told = "; ".join(filter(None, (value.note, value.how)))
    how = f" ({told})" if told else ""
    texts = value.value if _are_sentences(value.value) else [said(value.value, value.unit, units)]
    for number, text in enumerate(texts, 1):
        yield ("" if number > 1 else label), f"{text}{how} {mark if number == len(texts) else ''}".rstrip()


def _are_sentences(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(each, str) and len(each) > _WORD for each in value)


def _marks(answer: Shown) -> dict[str, str]:
    """Return a mark for each source by its words; none where a single one speaks for every value."""
    used = list(
        dict.fromkeys(source_words(each.source, answer.today) for each in answer.values if each.source)
    )
    if len(used) == 1 and not answer.unsourced:
        return {used[0]: ""}
    return {words: f"[{number}]" for number, words in enumerate(used, 1)}


def _sources(answer: Shown) -> Iterator[str]:
    marks = _marks(answer)
    if marks or answer.unsourced:
        yield ""
        yield "sources"
    for words, mark in marks.items():
        yield wrapped(f"{mark or 'every value:'} {words}", "  ", "    ")
    if answer.unsourced:
        yield wrapped(f"no source on record: {'; '.join(_unsourced(answer))}", "  ", "    ")


def _unsourced(answer: Shown) -> Iterator[str]:
    """Yield what has no source; of several items of a list once, with their number."""
    alike: dict[tuple[str, str], list[ShownValue]] = {}
    for value in answer.unsourced:
        alike.setdefault((value.group if value.item else value.path, _name(value)), []).append(value)
    for (group, name), values in alike.items():
        yield values[0].label if len(values) == 1 else f"{name}, {len(values)} {group}"


_UNDATED = ("common-practice", "unknown")
_KINDS_OF_SOURCE = {
    "measured": "measured",
    "data-sheet": "maker's data sheet",
    "copied": "copied",
    "computed": "computed",
    "common-practice": "common practice, no source",
    "unknown": "source unknown",
}


def source_words(source: NamedSource, today: datetime.date | None = None) -> str:
    """Return a source as a sentence: `measured at mill-lane on 2025-06-02, 17 months ago`.

    Without today it tells no age.
    """
    kind = _KINDS_OF_SOURCE.get(source.kind, source.kind)
    where = f" at {source.site}" if source.site else ""
    when = f" {'on' if source.kind == 'measured' else 'of'} {source.date}" if source.date else ""
    undated = "" if source.kind in _UNDATED else "no date given"
    parts = (
        f"{kind}{where}{when}",
        (age(source.date, today) if today else "") if source.date else undated,
        f"with {source.instrument}" if source.instrument else "",
        f"by {source.method}" if source.method else "",
    )
    words = ", ".join(filter(None, parts))
    return f"{words}; {source.note}" if source.note and source.note != kind else words


def _confirmations(answer: Shown) -> Iterator[str]:
    failed = [each for each in answer.confirmations if each.counts and each.outcome == "failed"]
    good = [each for each in answer.confirmations if each.counts and each not in failed]
    overruled = [each for each in answer.confirmations if each.overruled]
    others = [each for each in answer.confirmations if not each.counts and not each.overruled]
    yield ""
    if failed:
        yield "FAILED with these very settings"
        yield from _told(failed, answer.today)
    yield "confirmed" if good else "confirmed: by nobody, with these settings"
    yield from _told(good, answer.today)
    if overruled:
        yield wrapped("said before of the same machine's print, which does not count any more")
        yield from _told(overruled, answer.today)
    if others:
        yield wrapped("tried with other settings, which does not count for these")
        for revision, words in itertools.groupby(others, key=lambda each: each.revision):
            of_it = list(words)
            often = "once" if len(of_it) == 1 else f"{times(len(of_it))}, the last time"
            yield wrapped(f"r{revision}: {often}, {_confirmed(of_it[-1], answer.today)}", "  ", "    ")


def _told(words: Iterable[Confirmed], today: datetime.date) -> Iterator[str]:
    for each in words:
        note = f": {each.note}" if each.note else ""
        yield wrapped(f"r{each.revision}: {_confirmed(each, today)}{note}", "  ", "    ")


def _confirmed(word: Confirmed, today: datetime.date) -> str:
    ago = f", {age(word.date, today)}".removesuffix(", ")
    return f"{word.outcome} at {word.unit or word.site} on {word.date}{ago}"


def _level(remark: Remark) -> str:
    if remark.refuses or remark.warns:
        return "refused" if remark.refuses else "warned of"
    return "unsure" if remark.is_open else "advised"


def _advice(advice: Advice) -> Iterator[str]:
    yield ""
    yield f"guidance for it in {advice.place}" if advice.place else "guidance (--for adds that of a place)"
    if not advice.judged:
        yield "  not judged: the newest and the last known-good revision are"
    elif not advice.remarks:
        yield "  none applies"
    for level, of_it in itertools.groupby(advice.remarks, key=_level):
        yield f"  {level}"
        for each in of_it:
            yield wrapped(remark_words(each), "    ", "      ")
    if any(each.source == UNSOURCED for each in advice.remarks):
        yield f"  advice that names no source: {UNSOURCED}"
    told = [remark.text for remark in advice.remarks if remark.certain]
    of = {text: whose for whose, text in reversed(advice.cautions)}
    for text in untold((text for _, text in advice.cautions), told):
        yield wrapped(f"caution of the {of[text]}: {text}", "  ", "    ")
