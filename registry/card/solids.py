"""What the card says of the reference measurement: densities and Lab of the solids, and how it was made."""

from collections.abc import Sequence
from typing import Any

from registry.card.values import UNKNOWN
from registry.measurement import Measurement
from registry.measurement.report import Solid, TableReport, report
from registry.measurement.solids import OVERPRINTS, SOLIDS

__all__ = ["measured"]

_DENSITIES = (("D visual", "D_VIS"), ("D red", "D_RED"), ("D green", "D_GREEN"), ("D blue", "D_BLUE"))
_LAB = ("L*", "a*", "b*")


def measured(named: str, readings: Measurement | None) -> dict[str, Any]:
    """Return the card's words on the reference measurement, read as `measure` reads it.

    Keys: `file`; `columns` and `rows` (`name`, `values`, `of` how many patches), of which the last
    `overprints` are overprints; `conditions` (sentences) and `simulated`; or `absent`, why there are none.
    """
    if readings is None:
        return {"file": named, "absent": f"not read: {named} was not at hand" if named else "not measured"}
    for table in report(readings):
        columns = _columns(table.solids)
        if columns:
            overprints = [name for name, _ in SOLIDS[-OVERPRINTS:]]
            return {
                "file": named,
                "columns": columns,
                "rows": [_row(solid) for solid in table.solids],
                "overprints": sum(solid.name in overprints for solid in table.solids),
                "conditions": _said(table)
                + [
                    f"{each.name}: mean of {each.readings} patches"
                    for each in table.solids
                    if each.readings > 1
                ],
                "simulated": table.how.simulated,
            }
    return {"file": named, "absent": "the measurement file holds no solids known by their CMYK values"}


def _columns(solids: Sequence[Solid]) -> list[str]:
    """Return the heads of the columns; all solids of a table have the same."""
    if not solids:
        return []
    named = [label for label, column in _DENSITIES if column in solids[0].densities]
    return [*named, *(_LAB if solids[0].lab else ())]


def _row(solid: Solid) -> dict[str, Any]:
    densities = [_number(solid.densities[column], 2) for _, column in _DENSITIES if column in solid.densities]
    lab = [_number(value, 1) for value in solid.lab or ()]
    return {"name": solid.name, "values": densities + lab, "of": solid.readings}


def _number(value: float, places: int) -> str:
    rounded = round(value, places) + 0.0  # + 0.0 takes the sign off a zero
    return f"{rounded:.{places}f}".replace("-", "−")


def _said(table: TableReport) -> list[str]:
    """Return how it was measured; what the header does not say is said as not recorded."""
    how, sentences = table.how, []
    if table.patches and table.patches.densities:
        sentences += [("density response", how.response), ("density zero", how.zero)]
    if table.solids[0].lab:
        sentences.append(("L*a*b*", table.computed or how.light))
    sentences.append(("geometry", how.geometry))
    if not how.source_face:
        sentences.append(("face to the source", ""))
    sentences.append(("instrument", how.instrument))
    return [f"{what}: {said or UNKNOWN}" for what, said in sentences]
