"""Lines on a page: paragraphs, aligned rows, and the table of what changed."""

import itertools
import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence

from registry.change.compare import SettingChange
from registry.cli.blocks import page_width
from registry.cli.values import in_figures
from registry.cli.wording import after_words, before_words, change_words

__all__ = [
    "IN_TIME",
    "STAND_ALONE",
    "aligned",
    "aside_lines",
    "change_rows",
    "changes_table",
    "group_words",
    "is_told_by_heading",
    "one_line_each",
    "right",
    "wrapped",
]

STAND_ALONE = "general"
"""Heading of the settings that belong to no group."""

_NARROWEST = 8
_SHORT, _TOLD = 48, 3
"""Letters of a text, and values of a list item that came or went: what is more is not told in short."""
_NUMBER = re.compile(r"(?<=[0-9]) (?=[^0-9\s])")
_GLUE = "\u00a0"
"""Keeps a number and its unit on one line."""
IN_TIME = ("before", "after", "change")
"""Heads of the columns of a change in time."""
_Changed = tuple[SettingChange, Sequence[str]]
"""A change, and the records that it was made in, if that is to be told."""


def changes_table(
    changes: Sequence[SettingChange],
    units: str,
    indent: str = "  ",
    heads: tuple[str, str, str] = IN_TIME,
) -> Iterator[str]:
    """Yield the lines of a table of changes, by setting group, and how the computed ones were computed."""
    told = [change for change in changes if not is_told_by_heading(change)]
    first, *lines = change_rows(told, units, indent, heads)
    yield first
    last = None
    for change, line in zip(told, lines, strict=True):
        if group_words(change) != last:
            last = group_words(change)
            yield wrapped(last, then="  ")
        yield line
    for change in changes:
        if change.how:
            yield wrapped(f"{change.label}: computed as {change.how}", indent, indent + "  ")


def group_words(change: SettingChange) -> str:
    """Return the heading under which a change stands: its group, and the list item that it belongs to."""
    item = f": {change.item_name}" if change.item_name else ""
    return f"{change.group or STAND_ALONE}{item}" + (f" ({change.item})" if change.item else "")


def is_told_by_heading(change: SettingChange) -> bool:
    """Whether a change only repeats the name of the list item that was added or removed."""
    name = change.item_name.partition("#")[0]
    return bool(change.item) and name in (change.before, change.after)


def change_rows(
    changes: Iterable[SettingChange], units: str, indent: str, heads: tuple[str, str, str] = IN_TIME
) -> list[str]:
    """Return the heading and then each change as aligned text; the effect is that on colour."""
    rows = [
        (
            change.name,
            before_words(change, units),
            after_words(change, units),
            "" if change.item else change_words(change, units),
            change.effect,
            change.scope,
        )
        for change in changes
    ]
    return aligned([("", *heads, "effect", "scope"), *rows], indent)


def wrapped(text: str, indent: str = "", then: str | None = None) -> str:
    """Return a paragraph that fits the page."""
    return textwrap.fill(
        text,
        page_width(),
        initial_indent=indent,
        subsequent_indent=indent if then is None else then,
        break_on_hyphens=False,
    )


def aside_lines(changes: Iterable[_Changed], units: str) -> Iterator[str]:
    """Yield what changed and is no setting, before and after in short; with the records, if any are named.

    What changed of one list item is told together, and so are items of which the same changed.
    """
    alike: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    for of_one, records in _by_item(changes):
        first = of_one[0]
        name = first.item_name.partition("#")[0] or "of the whole record"
        group, words = (first.group, [name]) if "*" in first.setting else (first.label, [])
        alike.setdefault((group, _in_short(of_one, units), records), []).extend(words)
    for (group, said, records), names in alike.items():
        where = f"; in {', '.join(records)}" if records else ""
        yield wrapped(f"{', '.join(dict.fromkeys([group, *names]))}: {said}{where}", "  ", "    ")


def _by_item(changes: Iterable[_Changed]) -> Iterator[tuple[list[SettingChange], tuple[str, ...]]]:
    """Yield the changes one by one, but those of one list item, in the same records, together."""
    groups: dict[tuple[tuple[str, ...], str], list[SettingChange]] = {}
    for change, records in changes:
        one = f"{change.group}, {change.item_name}, {change.item}" if "*" in change.setting else change.path
        groups.setdefault((tuple(records), one), []).append(change)
    for (records, _), of_one in groups.items():
        yield of_one, records


def _in_short(changes: Sequence[SettingChange], units: str) -> str:
    """Return what changed of one value, or of the values of one list item."""
    first = changes[0]
    if "*" not in first.setting:
        return _change(first, units)
    told = [each for each in changes if not is_told_by_heading(each)]
    if not first.item:
        return "; ".join(f"{each.name} {_change(each, units)}" for each in told)
    side = before_words if first.item == "removed" else after_words
    values = [f"{each.name} {_short(side(each, units))}" for each in told]
    more = "; …" if len(values) > _TOLD else ""
    return first.item + (f" ({'; '.join(values[:_TOLD])}{more})" if values else "")


def _change(change: SettingChange, units: str) -> str:
    before, after = change.before, change.after
    if not (isinstance(before or after, list) and any(isinstance(each, str) for each in before or after)):
        return f"{_short(before_words(change, units))} → {_short(after_words(change, units))}"
    if change.reordered:
        return "in another order"
    gained = [f"added “{_short(in_figures(each)[0])}”" for each in change.added]
    lost = [f"removed “{_short(in_figures(each)[0])}”" for each in change.removed]
    return "; ".join([*gained, *lost])


def _short(text: str) -> str:
    return text if len(text) <= _SHORT else f"{text[: _SHORT - 1].rstrip()}…"


def aligned(rows: Sequence[Sequence[str]], indent: str = "", *, first: int = 0) -> list[str]:
    """Return each row as text in aligned columns, cells wrapped where the page is too narrow for them.

    The first column is at most `first` wide, where that is given.
    """
    widths = _widths(rows, page_width() - len(indent), first) if rows else []
    return ["\n".join(_lines(row, widths, indent)) for row in rows]


def one_line_each(rows: Sequence[Sequence[str]], indent: str = "") -> Iterator[str]:
    """Yield rows in aligned columns, each on one line: what does not fit is cut off the last column."""
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)][:-1]
    for *cells, last in rows:
        begun = indent + "".join(f"{cell.ljust(width)}  " for cell, width in zip(cells, wide, strict=True))
        room = max(page_width() - len(begun), _NARROWEST)
        yield begun + (last if len(last) <= room else f"{last[: room - 1].rstrip()}…")


def right(rows: Sequence[Sequence[str]], first: int) -> list[tuple[str, ...]]:
    """Return rows whose numbers, from a column on, end under one another."""
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        (*row[:first], *(cell.rjust(wide[first + n]) for n, cell in enumerate(row[first:]))) for row in rows
    ]


def _lines(row: Sequence[str], widths: Sequence[int], indent: str) -> Iterator[str]:
    cells = [
        textwrap.wrap(_NUMBER.sub(_GLUE, cell), wide, break_on_hyphens=False) or [""]
        for cell, wide in zip(row, widths, strict=True)
    ]
    for parts in itertools.zip_longest(*cells, fillvalue=""):
        line = "  ".join(part.ljust(wide) for part, wide in zip(parts, widths, strict=True))
        yield (indent + line).replace(_GLUE, " ").rstrip()


def _widths(rows: Sequence[Sequence[str]], width: int, first: int) -> list[int]:
    """Return how wide each column is: as its widest cell, and the widest ones narrower if need be."""
    widths = [max(1, *(len(cell) for cell in column)) for column in zip(*rows, strict=True)]
    widths[0] = min(widths[0], first or widths[0])
    room = width - 2 * (len(widths) - 1)
    while sum(widths) > room and max(widths) > _NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return widths
