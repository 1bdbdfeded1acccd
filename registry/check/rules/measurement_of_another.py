"""Rule: a mode's measurement was read on the print that the mode makes."""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from registry.check.attaching import Attached, readings_of
from registry.check.checked import Checked, ModeCase, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity
from registry.measurement import Measurement
from registry.measurement.loads import ladder_table

__all__ = ["measurement_of_another"]

_TELLING = ("PRINT_CONDITIONS", "MATERIAL", "DESCRIPTOR", "FILE_DESCRIPTOR", "TABLE_DESCRIPTOR")
"""What the standard has for saying which print was read."""
_ID = re.compile(r"(?<![a-z0-9/-])[a-z0-9][a-z0-9-]*(?:/[a-z0-9][a-z0-9-]*){1,2}(?![a-z0-9/-])")
_LOAD = re.compile(r"\bload(?: of)? ?([0-9]+(?:\.[0-9]+)?) ?%|\b([0-9]+(?:\.[0-9]+)?) ?% (?:ink )?load\b")
_PASSES = re.compile(r"\b([0-9]+)[ -]pass(?:es)?\b")
_WORD = re.compile(r"[^\s,;]+")
_LONGEST = 12
"""Words that a title may have to be looked for; one of a single word could mean anything."""


@rule("measurement-of-another", "warning")
def measurement_of_another(checked: Checked) -> Iterator[Remark]:
    """A measurement whose header names a record, an ink load or passes names those of its mode.

    The reading of another film, or of another load on the same one, gives the mode densities, lit colours and
    evidence of a print that nobody makes with it. Where the header does not say, nothing is guessed.

    To mend: attach the reading of this mode's own print, or correct the header where that is wrong; where the
    mode was changed since, read it again.
    """
    readings = list(readings_of(checked, "/evidence/measurement", "/evidence/ladder"))
    titled = _titled(checked) if readings else {}
    cases = {case.document.path: case for case in checked.live_modes}
    for reading, measurement in readings:
        case, words = cases[reading.document.path], _words(measurement)
        if other := _by_id(checked, words, case) or _by_title(titled, words, case):
            yield _remark(reading, "record", other, case.document.id)
        if ladder_table(measurement):
            continue  # it was printed at many loads, in as many passes as were tried
        for what, unit, said, own in (
            ("ink load", "%", _numbers(_LOAD, words), _loads(case.mode["layers"])),
            ("number of passes", "passes", _numbers(_PASSES, words), _passes(case.mode)),
        ):
            if said and own and said.isdisjoint(own):
                yield _remark(reading, what, _listed(said, unit), _listed(own, unit))


def _words(measurement: Measurement) -> str:
    """Return what the header says of the print that was read, in small letters."""
    said = (table.said(keyword) for table in measurement.tables for keyword in _TELLING)
    return "; ".join(filter(None, dict.fromkeys(said))).casefold()


def _by_id(checked: Checked, words: str, case: ModeCase) -> str:
    """Return the id of another mode, or else of another substrate, if the words name it and not the own."""
    named = _ID.findall(words)
    for kind, slashes, own in (("print-mode", 2, case.document.id), ("substrate", 1, case.mode["substrate"])):
        known = [each for each in named if each.count("/") == slashes and checked.find(kind, each)]
        if known:
            return "" if own in known else known[0]
    return ""


def _titled(checked: Checked) -> dict[str, list[str]]:
    """Return the ids of modes and substrates by the words of their titles."""
    found: dict[str, list[str]] = {}
    for document in (*checked.every("print-mode"), *checked.every("substrate")):
        found.setdefault(" ".join(_WORD.findall(document.content["title"].casefold())), []).append(
            document.id
        )
    return found


def _by_title(titled: dict[str, list[str]], words: str, case: ModeCase) -> str:
    """Return the id of what the longest title among the words names, unless that is the mode's own."""
    parts = _WORD.findall(words)
    for length in range(min(_LONGEST, len(parts)), 1, -1):
        for start in range(len(parts) - length + 1):
            ids = titled.get(" ".join(parts[start : start + length]), ())
            if ids:
                return "" if {case.document.id, case.mode["substrate"]} & {*ids} else ids[0]
    return ""


def _loads(layers: list[dict[str, Any]]) -> set[float]:
    """Return the load of each layer, and that of all colour together: the light goes through all of it."""
    colour = [layer["load_pct"] for layer in layers if layer["what"] == "colour"]
    return {sum(colour), *(layer["load_pct"] for layer in layers)}


def _passes(mode: dict[str, Any]) -> set[float]:
    said = (at(mode, "motion", "passes"), *(layer.get("passes") for layer in mode["layers"]))
    return {passes for passes in said if passes is not None}


def _numbers(pattern: re.Pattern[str], words: str) -> set[float]:
    return {float(next(filter(None, found.groups()))) for found in pattern.finditer(words)}


def _listed(values: Iterable[float], unit: str) -> str:
    return ", ".join(quantity(value, unit) for value in sorted(values))


def _remark(reading: Attached, what: str, found: str, allowed: str) -> Remark:
    return reading.document.remark(
        f"{reading.pointer}/file",
        f"the measurement's header names another {what} than the mode's",
        "attach the reading of this mode's own print, or correct what is wrong",
        found=found,
        allowed=allowed,
    )
