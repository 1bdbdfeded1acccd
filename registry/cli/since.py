"""How the answer of `litstock diff --since` reads."""

from collections.abc import Iterator, Sequence
from typing import Any

from registry.change.since import Edit, Named, Since
from registry.cli.page import aside_lines, change_rows, group_words, is_told_by_heading, wrapped
from registry.cli.wording import (
    change_json,
    change_row,
    clock,
    counted,
    kind_words,
    landed_json,
    standing_words,
)
from registry.question.registry import Registry

__all__ = ["since_json", "since_rows", "since_text"]


def since_json(registry: Registry, answer: Since, units: str) -> dict[str, Any]:
    """Return the answer under its documented keys."""
    return {
        "commit": answer.commit,
        "since": answer.asked,
        "base": landed_json(registry, answer.base),
        "edits": [
            {"kind": edit.kind, "records": list(edit.records), **change_json(edit.change, units)}
            for edit in answer.edits
        ],
        **{
            name: [_named_json(each) for each in getattr(answer, name)]
            for name in ("new", "withdrawn", "removed", "unreadable")
        },
        "happened": dict(answer.happened),
    }


def _named_json(named: Named) -> dict[str, str]:
    return {"kind": named.kind, "record": named.rid, "title": named.title, "words": named.words}


def since_rows(answer: Since, units: str) -> Iterator[dict[str, Any]]:
    """Yield one row an edit, for csv and markdown."""
    for edit in answer.edits:
        sort = "aside" if edit.change.aside else "setting"
        row = change_row(edit.change, units)
        yield {"kind": edit.kind, **row, "sort": sort, "records": " ".join(edit.records)}


def since_text(registry: Registry, answer: Since, units: str) -> Iterator[str]:
    """Yield the answer's lines."""
    asked = answer.asked
    if answer.base:
        when = clock(registry, answer.base.landed)
        yield wrapped(f"Since {asked} (compared with the landing of {when}, {answer.base.commit[:12]})")
    else:
        yield f"Since {asked}, before anything had landed"
    if answer.nothing:
        yield ""
        yield "Nothing changed."
    settings = [edit for edit in answer.edits if not edit.change.aside]
    yield from _settings(settings, units)
    if aside := [(edit.change, _where(edit)) for edit in answer.edits if edit.change.aside]:
        yield ""
        yield "Not settings, also changed:"
        yield from aside_lines(aside, units)
    for heading, named in (
        ("New", answer.new),
        ("Withdrawn", answer.withdrawn),
        ("Removed: their files are gone", answer.removed),
        ("Cannot be compared", answer.unreadable),
    ):
        yield from _named(heading, named)
    if answer.happened:
        counts = [_count(kind, number) for kind, number in answer.happened.items()]
        yield ""
        yield wrapped(f"Written down besides: {', '.join(counts)}", then="  ")
    yield ""
    yield f"answered from commit {answer.commit[:12]}"


_ITSELF = "the registry itself"
"""The record of what holds for the whole registry: there is one, and its id says nothing."""
_PLURALS = {"spectrum": "spectra"}
"""Of attachments, where it is no mere s."""


def _count(kind: str, number: int) -> str:
    many = kind_words(kind, 2)
    return counted(number, kind_words(kind), _PLURALS.get(kind, many if many != kind else ""))


def _settings(edits: Sequence[Edit], units: str) -> Iterator[str]:
    told = [edit for edit in edits if not is_told_by_heading(edit.change)]
    if not told:
        return
    first, *lines = change_rows([edit.change for edit in told], units, "    ")
    yield ""
    yield "Settings that changed (effect: on colour)."
    yield first
    last = ""
    for edit, line in zip(told, lines, strict=True):
        heading = f"{kind_words(edit.kind, 2)}, {group_words(edit.change)}"
        if heading != last:
            last = heading
            yield wrapped(heading, then="  ")
        yield line
        yield wrapped(f"in {', '.join(_where(edit))}", "      ", "         ")


def _where(edit: Edit) -> Sequence[str]:
    """Return the records that an edit was made in."""
    return [_ITSELF] if edit.kind == "registry" else edit.records


def _named(heading: str, named: Sequence[Named]) -> Iterator[str]:
    if named:
        yield ""
        yield heading
        for each in named:
            title = f" ({each.title})" if each.title != each.rid else ""
            words = f": {standing_words(each.words)}" if each.words else ""
            yield wrapped(f"{_record(each.kind, each.rid)}{title}{words}", "  ", "    ")


def _record(kind: str, rid: str) -> str:
    """Return a record's kind and id; of the one that there is once, what it is."""
    return _ITSELF if kind == "registry" else f"{kind_words(kind)} {rid}"
