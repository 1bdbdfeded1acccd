"""Comparing two measurements patch by patch, where both were made in the same way."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from registry.errors import RegistryError
from registry.light.difference import Summary, ciede2000, summary
from registry.light.distance import Interval, Repeats, drawn_differences, interval
from registry.light.grid import SpectrumError
from registry.measurement.alike import different, unsaid
from registry.measurement.colours import computed_lab, is_relative, stated_light
from registry.measurement.conditions import Conditions, conditions
from registry.measurement.form import Measurement, Table
from registry.measurement.patches import Array, Patches, patches
from registry.model.usual import Usual, repeatability, usuals

__all__ = ["Comparison", "Incomparable", "Match", "compare"]


class Incomparable(RegistryError):
    """Two measurements that no number may be made of, with every reason."""

    exit_code = 1

    def __init__(self, reasons: tuple[str, ...]) -> None:
        self.reasons = reasons
        super().__init__(reasons)

    def __str__(self) -> str:
        return "; ".join(self.reasons)


@dataclass(frozen=True, slots=True)
class Match:
    """One patch in both; the mean where it was read more than once."""

    name: str
    device: tuple[float, ...]
    lab: tuple[float, float, float]
    reference: tuple[float, float, float]
    de00: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """How far a measurement lies from a reference."""

    matches: tuple[Match, ...]
    """In the reference's order."""
    inks: tuple[str, ...]
    """Of the matches' device values."""
    summary: Summary
    """Of ΔE00; `at` counts the matches."""
    matched_by: str
    colours: str
    """What the colours of both sides were taken from."""
    left_out: tuple[int, int]
    """Patches without a match: in the measurement, in the reference."""
    unsaid: tuple[str, ...]
    """What at least one side does not say, so that it may differ."""
    mean: Interval
    """ΔE00 in the mean, as well as the readings tell it."""
    largest: Interval
    """The same of the largest."""
    one_instrument: bool
    """Whether both sides say that the same one read them: its calibration falls out."""


def compare(found: Measurement, reference: Measurement, own: Mapping[str, Any] | None = None) -> Comparison:
    """Return how far a measurement lies from a reference, of the first tables that were made in the same way.

    How well readings repeat and instruments agree are the defaults, or what the registry's `own` record says.

    Raises
    ------
    Incomparable
        No two tables were: transmission is never held against reflection, nor one condition against another.
    MeasurementError
        The spectra of a table cannot be told.
    """
    reasons: list[str] = []
    for wanted in reference.tables:
        for table in found.tables:
            try:
                return _compared(table, wanted, usuals(own or {}))
            except Incomparable as error:
                reasons += [reason for reason in error.reasons if reason not in reasons]
    raise Incomparable(tuple(reasons))


def _compared(table: Table, wanted: Table, usual: Mapping[str, Usual]) -> Comparison:
    how, reference = conditions(table), conditions(wanted)
    if reasons := tuple(different(how, reference)):
        raise Incomparable(reasons)
    ours, theirs = patches(table), patches(wanted)
    matched_by, ours_by, theirs_by = _keys(ours, theirs, table, wanted)
    if not (both := [key for key in theirs_by if key in ours_by]):
        raise Incomparable((f"no patch of this file is in the reference, by {matched_by}",))
    colours, lab, against = _colours(ours, theirs, how, reference)
    means = np.array([lab[ours_by[key]].mean(axis=0) for key in both])
    wanted_means = np.array([against[theirs_by[key]].mean(axis=0) for key in both])
    de = ciede2000(means, wanted_means)
    total = summary(de)
    same = bool(how.instrument) and how.instrument == reference.instrument
    drawn = drawn_differences(
        means,
        wanted_means,
        Repeats(*repeatability(usual)),
        own_whites=is_relative(how),
        calibration=0.0 if same else usual["reading-calibration"].of(1.0, 0.01),
    )
    return Comparison(
        tuple(
            Match(
                theirs.names[theirs_by[key][0]],
                tuple(theirs.device[theirs_by[key][0]].tolist()),
                _three(means[row]),
                _three(wanted_means[row]),
                float(de[row]),
            )
            for row, key in enumerate(both)
        ),
        theirs.inks,
        total,
        matched_by,
        colours,
        (sum(key not in theirs_by for key in ours_by), len(theirs_by) - len(both)),
        tuple(unsaid(how, reference)),
        interval(total.mean, drawn.mean(axis=1)),
        interval(total.largest, drawn[:, total.at]),
        same,
    )


def _three(row: Array) -> tuple[float, float, float]:
    first, second, third = (float(value) for value in row)
    return first, second, third


_Keys = dict[tuple[float, ...] | str, list[int]]


def _keys(ours: Patches, theirs: Patches, table: Table, wanted: Table) -> tuple[str, _Keys, _Keys]:
    """Return by what patches are known on both sides, and their rows."""
    if ours.inks and ours.inks == theirs.inks:

        def device(each: Patches, row: int) -> tuple[float, ...]:
            return tuple(each.device[row].round(1).tolist())

        return f"their {''.join(ours.inks)} values", _rows(ours, device), _rows(theirs, device)
    if "SAMPLE_NAME" in table.fields and "SAMPLE_NAME" in wanted.fields:
        return "their names", _rows(ours, _name), _rows(theirs, _name)
    inks = ["".join(each.inks) or "none" for each in (ours, theirs)]
    raise Incomparable((f"patches cannot be matched: device values of {inks[0]} here, of {inks[1]} there",))


def _name(each: Patches, row: int) -> str:
    return each.names[row]


def _rows(each: Patches, key: Callable[[Patches, int], tuple[float, ...] | str]) -> _Keys:
    rows: _Keys = {}
    for row in range(len(each.names)):
        rows.setdefault(key(each, row), []).append(row)
    return rows


def _colours(
    ours: Patches, theirs: Patches, how: Conditions, reference: Conditions
) -> tuple[str, Array, Array]:
    """Return the colours of both sides, made in one way: from both files' spectra, else as both have them."""
    try:
        pair = computed_lab(ours), computed_lab(theirs)
    except SpectrumError as error:
        raise Incomparable((f"the spectra cannot be computed with: {error}",)) from error
    if pair[0] is not None and pair[1] is not None:
        return "both files' spectra, for D50 and 2°", pair[0], pair[1]
    if ours.lab is None or theirs.lab is None:
        raise Incomparable(("one of the two has neither spectra nor L*a*b*",))
    if stated_light(how) != stated_light(reference) or is_relative(how) != is_relative(reference):
        said = [f"{each.light or 'what it does not say'!r}" for each in (how, reference)]
        raise Incomparable((f"L*a*b* is for {said[0]} here, for {said[1]} in the reference",))
    return "the L*a*b* in both files", ours.lab, theirs.lab
