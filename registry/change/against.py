"""How far a measurement lies from a print mode's reference measurement."""

from collections.abc import Iterator
from dataclasses import dataclass

from registry.measurement import Measurement, MeasurementError, read_cgats
from registry.measurement.comparing import Comparison, Incomparable, compare
from registry.measurement.loads import ladder_table
from registry.question.attached import attached, measurement_of
from registry.question.registry import Registry
from registry.question.when import Version, version

__all__ = ["Against", "against"]


@dataclass(frozen=True, slots=True)
class Against:
    """A measurement held against a mode's reference."""

    mode: Version
    file: str
    """The reference measurement's name; empty where the mode has none."""
    comparison: Comparison | None
    why_not: tuple[str, ...]
    """Why there is no comparison."""
    itself: bool = False
    """Whether what was measured is the very file that the reference is."""


def against(registry: Registry, text: str, found: Measurement, kept: bytes) -> Against:
    """Return how far a measurement lies from the reference of `MODE[@WHEN]`, without WHEN the one offered.

    `kept` is the measurement as a registry keeps it.
    """
    mode = version(registry, text, ("print-mode",), offered=True)
    wanted = measurement_of(mode.document)
    if wanted is None:
        return Against(mode, "", None, ("the mode has no reference measurement: attach one",))
    file = wanted.path.rpartition("/")[2]
    data = attached(registry, [wanted]).get(wanted)
    if data is None:
        return Against(mode, file, None, (f"{file} has not landed as the mode names it",))
    try:
        reference = read_cgats(data)
        if ladders := tuple(_ladders(found, reference)):
            return Against(mode, file, None, ladders)
        return Against(mode, file, compare(found, reference, registry.settings), (), kept == data)
    except Incomparable as error:
        return Against(mode, file, None, error.reasons)
    except MeasurementError as error:
        return Against(mode, file, None, tuple(str(fault) for fault in error.faults))


def _ladders(found: Measurement, reference: Measurement) -> Iterator[str]:
    if ladder_table(found):
        yield "this file is a ladder of loads, and the reference shows what one load prints"
    if ladder_table(reference):
        yield "the reference is a ladder of loads, and no chart of what the mode prints: attach one"
