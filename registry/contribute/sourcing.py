"""Where values come from, kept true while a record is written: each has the source that was given for it.

A source may be given for a group, and speaks then for what was given with it. A value that was copied stays
so until it is set, or until its own source is given.
"""

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from registry import canonical
from registry.errors import RequestError
from registry.model.shape import shape_of
from registry.model.sourced import SOURCED, covers, lacking_of_measured, leaves, speaking_for

__all__ = ["Resourced", "copied", "resourced"]

_NOTED = "set without a source"

Source = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Resourced:
    """A document with true sources, and what has to be told of them."""

    document: dict[str, Any]
    lost: Mapping[str, tuple[str, Source | None]]
    """Values that were given without a source, by path: their pointer, and what spoke for them until now."""

    @property
    def words(self) -> str:
        """What was given without a source, and how to give it; empty where nothing was."""
        if not self.lost:
            return ""
        named = [f"{path}{_was(source)}" for path, (_, source) in self.lost.items()]
        pointer = next(iter(self.lost.values()))[0]
        return (
            f"no source was given for {', '.join(named)}: it counts as unknown; give it with "
            f"--set sources.{pointer}.kind=data-sheet, or of a group that is set with it"
        )


def copied(kind: str, document: dict[str, Any], origin: str, date: str) -> dict[str, Source]:
    """Return a source for every value of a copy."""
    said = {"kind": "copied", "date": date, "note": f"copied from {origin}"}
    return {pointer: dict(said) for pointer in leaves(kind, document).values()}


def resourced(
    kind: str, before: dict[str, Any], after: dict[str, Any], given: Iterable[str], date: str
) -> Resourced:
    """Return a document whose every value has the source that was given for it.

    Parameters
    ----------
    kind : str
        Of the record.
    before, after : dict
        As it was, and with what was given put in, sources too.
    given : iterable of str
        Paths of the values and sources that were given by name, though they may say what was said before;
        what else differs counts as given too.
    date : str
        Today, for what is unknown from now on.

    Raises
    ------
    RequestError
        A source that was given says `measured` without how, or without the day.

    Notes
    -----
    A source given for a group speaks for what was given with it; given alone, it corrects what was said of
    the whole group, but for what was copied, which only its own pointer names. What is given without a source
    is unknown, and so is an item that is added to a list. Sources of a wrong shape are left for the check.
    """
    told: dict[str, Source] = after.get("sources", {})
    if kind not in SOURCED or not _formed(told):
        return Resourced(after, {})
    named_here, earlier = {*given}, before.get("sources", {})
    new = {
        each
        for each, source in told.items()
        if earlier.get(each) != source or any(path.startswith(f"sources.{each}.") for path in named_here)
    }
    _refuse_unclear({each: told[each] for each in sorted(new)})
    was, pointers = _said(kind, before, told), leaves(kind, after)
    set_here = _set_here(kind, before, after, named_here)
    set_at = [pointers[path] for path in set_here if path in pointers]
    with_values = {each for each in new for pointer in set_at if covers(each, pointer)}
    wanted: dict[str, Source | None] = {}
    lost: dict[str, tuple[str, Source | None]] = {}
    for path, pointer in pointers.items():
        mine, old = speaking_for(pointer, new), was.get(path)
        named = mine == pointer or (mine is not None and path in set_here)
        corrected = mine is not None and mine not in with_values and not _is(old, "copied")
        if mine is not None and (named or corrected):
            wanted[path] = told[mine]
        elif path in set_here and (old is not None or _has_source(kind, path)):
            wanted[path] = {"kind": "unknown", "date": date, "note": _NOTED}
            lost[path] = pointer, old
        else:
            wanted[path] = old
    own = {*pointers.values(), *leaves(kind, before).values()}
    groups = {each: told[each] for each in told if each not in own and (each in new or _holds(after, each))}
    entries = _entries(groups, pointers, wanted, date)
    rest = {name: value for name, value in after.items() if name != "sources" or entries}
    return Resourced(rest | ({"sources": entries} if entries else {}), lost)


def _entries(
    groups: Mapping[str, Source],
    pointers: Mapping[str, str],
    wanted: Mapping[str, Source | None],
    date: str,
) -> dict[str, Source]:
    """Return the sources that say just what is wanted of each value: those of groups, and what differs."""
    entries = dict(groups)
    for path, pointer in pointers.items():
        by = speaking_for(pointer, groups)
        source = wanted[path]
        if source is None and by is not None:  # nothing was said of it, and a group would speak for it now
            source = {"kind": "unknown", "date": date, "note": "its source was never said"}
        if source is not None and (by is None or groups[by] != source):
            entries[pointer] = source
    return entries


def _holds(document: dict[str, Any], pointer: str) -> bool:
    try:
        canonical.lookup(document, pointer)
    except (KeyError, ValueError):
        return False
    return True


def _formed(sources: Any) -> bool:
    return isinstance(sources, dict) and all(isinstance(each, dict) for each in sources.values())


def _said(kind: str, document: dict[str, Any], kept: Container[str]) -> dict[str, Source]:
    """Return what was said of each value, but for what was taken back."""
    sources = document.get("sources", {})
    speaking = {path: speaking_for(pointer, sources) for path, pointer in leaves(kind, document).items()}
    return {path: sources[by] for path, by in speaking.items() if by is not None and by in kept}


def _has_source(kind: str, path: str) -> bool:
    """Whether a value must have a source: quantities and grades."""
    setting = shape_of(kind).setting_at(path)
    return setting is not None and bool(setting.unit or setting.scale)


def _set_here(kind: str, before: dict[str, Any], after: dict[str, Any], given: set[str]) -> set[str]:
    shape = shape_of(kind)
    was, now = shape.flatten(before), shape.flatten(after)
    differs = {path for path in now if path not in was or was[path].value != now[path].value}
    return (differs | given) & now.keys()


def _was(source: Source | None) -> str:
    if source is None or source["kind"] == "unknown":
        return ""
    return f" (which was {' '.join(filter(None, (source['kind'], source.get('date'))))})"


def _is(source: Source | None, kind: str) -> bool:
    return source is not None and source["kind"] == kind


def _refuse_unclear(sources: Mapping[str, Source]) -> None:
    for pointer, source in sources.items():
        lacking = lacking_of_measured(source)
        if lacking:
            told = {"date": "2026-03-01", "method": "'integrating sphere'"}
            options = " ".join(f"--set sources.{pointer}.{name}={told[name]}" for name in lacking)
            raise RequestError(
                f"what is measured says how and when, and of {pointer or 'the whole record'} it is not said: "
                f"give {options}{' (or instrument=…)' if 'method' in lacking else ''}"
            )
