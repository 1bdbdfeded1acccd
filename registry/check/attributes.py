"""Lines of a `.gitattributes`, and what they would do to a file below `records/`.

It is read as git reads it (gitattributes(5)), but more strictly: a pattern that might hit a record counts as
one that does, and only what is known to do no harm is let through. So it holds for records yet to come, too.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

__all__ = ["Harm", "harms", "settled"]

_KINDS = (".json", ".txt", ".icc")
_LINE = re.compile(r'("(?:[^"\\]|\\.)*"|[^ \t\r]+)(.*)', re.DOTALL)
_BLANK = " \t\r"  # nothing else parts words there
# How git shows, packs and merges a file by hand, and what only forges read; whatever their value.
_HARMLESS = re.compile(r"(diff|whitespace|delta|encoding|conflict-marker-size|linguist-.*|gitlab-.*)")
_LINE_ENDS = {"text", "crlf", "eol"}
# What is harmless turned off (-name).
_OFF = {"text", "crlf", "ident", "filter", "working-tree-encoding", "export-ignore", "export-subst"}
# Patterns that hit every file of an ending, which stands for {}.
_WHOLE = ("*", "**", "*{}", "**/*{}", "records/**", "/records/**", "records/**/*{}", "/records/**/*{}")
_LIMIT = 1 << 16
_MERGES = {"merge", "-merge", "!merge", "merge=text", "merge=binary"}


class Harm(NamedTuple):
    """What a line would do."""

    line: int
    found: str
    why: str


def harms(data: bytes) -> Iterator[Harm]:
    """Yield what would alter, hide or silently merge a record, a measurement or a profile."""
    if b"\0" in data or len(data) > _LIMIT:
        found = "a NUL byte" if b"\0" in data else f"{len(data)} bytes"
        yield Harm(1, found, "not every git reads all of this, so nobody can say what becomes of a file")
        return
    harmful: list[Harm] = []
    later: set[str] = set()  # a line further down may settle what this one would unsettle
    for number, pattern, given in reversed(list(_lines(data))):
        harmful[:0] = [Harm(number, word, why) for word, why in _line(pattern, given, later)]
        later |= _settles(pattern, given)
    yield from harmful


def settled(data: bytes) -> set[str]:
    r"""Return the endings below `records/` whose every file keeps its line ends, whatever git's settings.

    >>> sorted(settled(b"*.json text eol=lf\nrecords/**/*.icc -text\nrecords/sites/** -text"))
    ['.icc', '.json']
    """
    return {kind for _, pattern, given in _lines(data) for kind in _settles(pattern, given)}


def _settles(pattern: str, given: list[str]) -> set[str]:
    """Return the endings of which a line keeps every file's line ends, whatever was said before."""
    kinds = {kind for kind in _KINDS if pattern in {each.format(kind) for each in _WHOLE}}
    return kinds if {"-text", "binary"} & {*given} else kinds & {".json"} if "eol=lf" in given else set()


def _lines(data: bytes) -> Iterator[tuple[int, str, list[str]]]:
    """Yield each line's number, its pattern and its attributes."""
    text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8", "surrogateescape")
    for number, line in enumerate(text.split("\n"), 1):
        words = line.strip(_BLANK)
        parsed = None if words.startswith("#") else _LINE.fullmatch(words)
        if parsed:
            yield number, parsed[1], [word for word in re.split(f"[{_BLANK}]+", parsed[2]) if word]


def _line(pattern: str, given: list[str], settled_later: set[str]) -> Iterator[tuple[str, str]]:
    """Yield each attribute that does harm, with the reason."""
    if pattern.startswith("[attr]"):
        yield pattern, "a name of its own for attributes hides what they do"
        return
    reached = _reached(pattern)
    unsettled = reached - settled_later
    lines_stay = unsettled <= {".json"} and "eol=lf" in given
    for word in given if reached else ():
        is_of_lines = word.lstrip("-!").partition("=")[0] in _LINE_ENDS
        harmless = _is_harmless(word) or (is_of_lines and not unsettled)
        if not (harmless or (lines_stay and word in {"text", "text=auto", "eol=lf"})):
            yield f"{pattern} {word}", _why(word)


def _is_harmless(word: str) -> bool:
    name = re.split(r"=", word.lstrip("-!"), maxsplit=1)[0]
    if _HARMLESS.fullmatch(name) or word in _MERGES or word == "binary":
        return True
    return word.startswith("-") and name in _OFF


def _why(word: str) -> str:
    name = word.lstrip("-!").partition("=")[0]
    if name in _LINE_ENDS:
        return "this lets git change line ends: a record is then another, and a profile is broken"
    if name == "merge":
        return "this merges without asking, so that a record says what nobody wrote"
    if name.startswith("export-"):
        return "this makes an archive of the registry differ from it"
    return "this may let git check out other bytes than it holds"


def _reached(pattern: str) -> set[str]:
    """Return the endings of files below `records/` that a pattern may hit; too many rather than too few.

    >>> sorted(_reached("*.json")), sorted(_reached("records/**/*.t*")), sorted(_reached("docs/*.txt"))
    (['.json'], ['.icc', '.json', '.txt'], [])
    """
    if pattern.startswith('"'):
        return set(_KINDS)
    # Some machines take capitals for small letters.
    first, below, rest = pattern.lower().removeprefix("/").partition("/")
    anchored = bool(below) or pattern.startswith("/")
    if anchored and not re.search(r"[*?\[\\]", first) and (first != "records" or not below):
        return set()
    end = re.split(r"[*?\[\]\\/]", rest or first)[-1]
    return {kind for kind in _KINDS if kind.endswith(end) or end.endswith(kind)}
