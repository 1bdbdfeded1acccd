"""What a measurement holds, table by table, as people want to hear it."""

from collections.abc import Iterator
from dataclasses import dataclass

from registry.light.grid import SpectrumError, grid_of
from registry.measurement.conditions import Conditions, conditions
from registry.measurement.doubts import colours, doubts
from registry.measurement.form import Measurement, MeasurementError, Table, TextFault
from registry.measurement.loads import Loads, ladder_faults, loads
from registry.measurement.patches import Array, Patches, patches
from registry.measurement.solids import INKS, SOLIDS

__all__ = ["Solid", "TableReport", "report"]

_DENSITIES = {"VIS": "visual"}
_TOLD = 5
"""So many faults of a ladder are told: with a wrong column every set is one."""


@dataclass(frozen=True, slots=True)
class Solid:
    """The mean of all readings of one solid."""

    name: str
    readings: int
    densities: dict[str, float]
    """By the file's column."""
    lab: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True)
class TableReport:
    """One table."""

    name: str
    """As the file calls it; empty where it does not."""
    how: Conditions
    patches: Patches | None
    """None where the table cannot be used as patches."""
    holds: tuple[str, ...]
    """What was printed and what was read, in words."""
    not_said: tuple[str, ...]
    """What the header leaves open that one has to know."""
    ladder: Loads | None
    """What its own columns tell where it is a ladder of loads; None where it is none."""
    solids: tuple[Solid, ...]
    """Of a ladder none: each of its solids is another one."""
    computed: str
    """How the solids' L*a*b* was computed; empty where the file has it."""
    faults: tuple[TextFault, ...]
    """What cannot be used, and the remedy."""
    doubts: tuple[str, ...]

    @property
    def tunable(self) -> bool:
        """Whether it is a ladder from which a backlit load can be told."""
        spectral = self.patches is not None and self.patches.spectra is not None
        return self.ladder is not None and spectral and self.how.kind == "transmission" and self.clean

    @property
    def clean(self) -> bool:
        """Whether there is nothing to look at again."""
        return not self.faults and not self.doubts


def report(measurement: Measurement) -> tuple[TableReport, ...]:
    """Return what each table holds, what is open and what is doubtful."""
    return tuple(map(_report, measurement.tables))


def _report(table: Table) -> TableReport:
    how = conditions(table)
    found, faults = _usable(table)
    ladder = loads(table)
    return TableReport(
        name=table.said("TABLE_NAME"),
        how=how,
        patches=found,
        holds=tuple(_holds(found, how)) if found else (),
        not_said=tuple(_not_said(found, how)) if found else (),
        ladder=ladder,
        solids=tuple(_solids(found)) if found and not ladder else (),
        computed=colours(found)[1] if found else "",
        faults=faults,
        doubts=(
            *(doubts(found, how, of_one_print=ladder is None) if found else ()),
            *(_faults_told(table) if ladder else ()),
        ),
    )


def _faults_told(table: Table) -> Iterator[str]:
    faults = list(ladder_faults(table))
    yield from (f"as a ladder of loads: {each}" for each in faults[:_TOLD])
    if len(faults) > _TOLD:
        yield f"as a ladder of loads: {len(faults) - _TOLD} more of such faults"


def _usable(table: Table) -> tuple[Patches | None, tuple[TextFault, ...]]:
    """Return the patches, without spectra if these are what cannot be used."""
    try:
        return patches(table), ()
    except MeasurementError as error:
        faults = error.faults
    try:
        return patches(table, spectral=False), faults
    except MeasurementError:
        return None, faults


def _holds(found: Patches, how: Conditions) -> Iterator[str]:
    if found.inks:
        space = "" if all(len(ink) == 1 for ink in found.inks) else " "
        yield f"{space.join(found.inks)} values"
    if found.densities:
        names = (name.removeprefix("D_") for name in found.densities)
        yield f"density ({', '.join(_DENSITIES.get(name, name.lower()) for name in names)})"
    if found.lab is not None:
        yield "L*a*b*"
    if found.xyz is not None:
        yield "XYZ"
    if found.wavelengths_nm is not None:
        what = {"transmission": "transmittance", "reflection": "reflectance", "emission": "power"}
        yield f"spectral {what.get(how.kind, 'readings')}, {_grid(found.wavelengths_nm)}"


def _grid(wavelengths_nm: Array) -> str:
    first, last = wavelengths_nm[0], wavelengths_nm[-1]
    try:
        return f"{first:g} to {last:g} nm, every {grid_of(wavelengths_nm).step_nm} nm"
    except SpectrumError:
        uneven = " in uneven steps" if len(wavelengths_nm) > 2 else ""
        return f"{first:g} to {last:g} nm, {len(wavelengths_nm)} wavelengths{uneven}"


def _not_said(found: Patches, how: Conditions) -> Iterator[str]:
    if how.kind == "emission":
        return
    if how.kind == "unknown":
        yield "transmission or reflection"
    if how.kind == "transmission" and not how.source_face:
        yield "which face looked at the source"
    if how.kind == "reflection":
        yield from (words for words, said in _OF_REFLECTION.items() if not getattr(how, said))
    if found.densities:
        yield from (words for words, said in _OF_DENSITY.items() if not getattr(how, said))
    if found.lab is not None and not how.light:
        yield "the light that L*a*b* is for"
    if how.hours_after_printing is None:
        yield "hours after printing"
    if not how.finishing:
        yield "laminated or not"


_OF_REFLECTION = {"M0 to M3 (ISO 13655)": "condition", "the backing": "backing"}
_OF_DENSITY = {"the response of density": "response", "what has density 0": "zero"}


def _solids(found: Patches) -> Iterator[Solid]:
    if not set(INKS) <= set(found.inks):
        return
    seen, _ = colours(found)
    for name, device in SOLIDS:
        rows = found.of({ink: float(value) for ink, value in zip(INKS, device, strict=True)})
        if rows.size:
            lab = None if seen is None else seen[rows].mean(axis=0)
            yield Solid(
                name,
                int(rows.size),
                {column: float(values[rows].mean()) for column, values in found.densities.items()},
                None if lab is None else (float(lab[0]), float(lab[1]), float(lab[2])),
            )
