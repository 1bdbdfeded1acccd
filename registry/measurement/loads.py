"""A ladder of loads as a measurement file holds it: solids printed at rising ink loads, dried and re-wet.

Its sets hold, beside the readings:

- `INK`: what was printed: one ink (`C`), or several one upon another (`CMY`, `CMYK`);
- `LOAD_PCT`: the load of the layer in % of the printer's full front-lit ink; 0 is the unprinted film;
- `PASSES`: how many passes it was printed in;
- `DRIED`, `REWET`: yes or no: whether it came dry off the printer, and whether it re-wet face to back;
- `MOTTLE`, if it was judged: standard deviation of L* over the solid.
"""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from registry.measurement.form import NUMBER, Measurement, Table, is_reading

__all__ = ["COLUMNS", "YES_NO", "Loads", "is_ladder", "ladder_faults", "ladder_table", "loads", "number"]

COLUMNS = ("INK", "LOAD_PCT", "PASSES", "DRIED")
"""What every set of a ladder has to hold."""
YES_NO = {"yes": True, "no": False}
_TELLING = frozenset({"INK", "LOAD_PCT", "PASSES"})
"""By these columns a ladder is known, be it whole or not."""
_INK = re.compile(r"[A-Z][A-Za-z]*")


@dataclass(frozen=True, slots=True)
class Loads:
    """What a ladder's own columns tell; sets that say it in no way that can be read are left out."""

    inks: tuple[str, ...]
    """Each ink, and each overprint, in the file's order."""
    loads_pct: tuple[float, ...]
    """Rising."""
    passes: tuple[int, ...]
    """Rising."""
    solids: int
    dried: int
    """How many solids came dry off the printer."""
    wet: int
    """How many did not."""
    rewet: int
    """How many re-wet."""
    untried: int
    """Of how many that is not said."""


def is_ladder(table: Table) -> bool:
    """Whether a table is a ladder of loads, and so no chart of what one load prints."""
    return set(table.fields) >= _TELLING


def ladder_table(readings: Measurement) -> Table | None:
    """Return the first table that is a ladder of loads, or None."""
    return next(filter(is_ladder, readings.tables), None)


def loads(table: Table) -> Loads | None:
    """Return what a ladder's own columns tell; None of a table that is no ladder."""
    if not is_ladder(table):
        return None
    printed = [each for each in table.sets if number(each["LOAD_PCT"])]
    dried, rewet = (
        [YES_NO.get(str(each.get(name, "")).lower()) for each in printed] for name in ("DRIED", "REWET")
    )
    return Loads(
        tuple(dict.fromkeys(str(each["INK"]) for each in printed)),
        tuple(sorted({found for each in printed if (found := number(each["LOAD_PCT"]))})),
        tuple(sorted({int(found) for each in printed if (found := number(each["PASSES"]))})),
        len(printed),
        dried.count(True),
        dried.count(False),
        rewet.count(True),
        rewet.count(None),
    )


def ladder_faults(table: Table) -> Iterator[str]:
    """Yield what is wrong with the columns of a ladder, a set a time."""
    if missing := [each for each in COLUMNS if each not in table.fields]:
        yield f"without {' and '.join(missing)}, which every set has to hold"
        return
    unprinted = False
    for place, each in enumerate(table.sets, 1):
        where = f"set {place} ({each.get('SAMPLE_NAME', each.get('SAMPLE_ID', '?'))})"
        load = number(each["LOAD_PCT"])
        if load is None or not 0 <= load <= 600:
            yield f"{where}: LOAD_PCT is {each['LOAD_PCT']!r}; write a load from 0 to 600"
        unprinted = unprinted or load == 0
        if load:
            yield from (f"{where}: {fault}" for fault in _faults_of_solid(each))
    if not unprinted:
        yield "no set has LOAD_PCT 0: read the unprinted film too, every density is relative to it"


def _faults_of_solid(each: Mapping[str, float | str]) -> Iterator[str]:
    passes = number(each["PASSES"])
    if passes is None or passes != int(passes) or not 1 <= passes <= 64:
        yield f"PASSES is {each['PASSES']!r}; write a whole number from 1 to 64"
    if not _INK.fullmatch(str(each["INK"])):
        yield f"INK is {each['INK']!r}; write an ink's letter, or several for an overprint"
    if each.get("MOTTLE", "") not in {"", "unknown"} and number(each["MOTTLE"]) is None:
        yield f"MOTTLE is {each['MOTTLE']!r}; write a number, or unknown"
    for name in ("DRIED", "REWET"):
        said = str(each.get(name, "")).lower()
        if said not in YES_NO and (name == "DRIED" or said not in {"", "unknown"}):
            yield f"{name} is {each.get(name)!r}; write yes or no"


def number(text: float | str) -> float | None:
    """Return a cell as a number; None where it is none."""
    value = float(text) if NUMBER.fullmatch(str(text)) else math.nan
    return value if is_reading(value) else None
