"""What the card says of the reference measurement: densities and Lab of the solids, and how it was made."""

from typing import Any

from registry.card.values import UNKNOWN
from registry.measurement import Conditions, Measurement, Table, conditions
from registry.measurement.solids import OVERPRINTS, SOLIDS

__all__ = ["measured"]

_INKS = ("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K")
_COLUMNS = (
    ("D visual", "D_VIS", 2),
    ("D red", "D_RED", 2),
    ("D green", "D_GREEN", 2),
    ("D blue", "D_BLUE", 2),
    ("L*", "LAB_L", 1),
    ("a*", "LAB_A", 1),
    ("b*", "LAB_B", 1),
)


def measured(named: str, readings: Measurement | None) -> dict[str, Any]:
    """Return the card's words on the reference measurement.

    Keys: `file`; `columns` and `rows` (`name`, `values`, `of` how many patches), of which the last
    `overprints` are overprints; `conditions` (sentences) and `simulated`; or `absent`, why there are none.
    """
    if readings is None:
        return {"file": named, "absent": f"not read: {named} was not at hand" if named else "not measured"}
    for table in readings.tables:
        if rows := _rows(table):
            how = conditions(table)
            overprints = [name for name, _ in SOLIDS[-OVERPRINTS:]]
            return {
                "file": named,
                "columns": [label for label, column, _ in _COLUMNS if column in table.fields],
                "rows": rows,
                "overprints": sum(row["name"] in overprints for row in rows),
                "conditions": _said(how, table)
                + [f"{row['name']}: mean of {row['of']} patches" for row in rows if row["of"] > 1],
                "simulated": how.simulated,
            }
    return {"file": named, "absent": "the measurement file holds no solids known by their CMYK values"}


def _rows(table: Table) -> list[dict[str, Any]]:
    columns = [(column, places) for _, column, places in _COLUMNS if column in table.fields]
    if not columns or not set(_INKS) <= set(table.fields):
        return []
    rows = []
    for name, device in SOLIDS:
        patches = [each for each in table.sets if tuple(each.get(ink) for ink in _INKS) == device]
        if patches:
            values = [_mean([patch[column] for patch in patches], places) for column, places in columns]
            rows.append({"name": name, "values": values, "of": len(patches)})
    return rows


def _mean(values: list[Any], places: int) -> str:
    mean = round(sum(values) / len(values), places) + 0.0  # + 0.0 takes the sign off a zero
    return f"{mean:.{places}f}".replace("-", "−")


def _said(how: Conditions, table: Table) -> list[str]:
    """Return how it was measured; what the header does not say is said as not recorded."""
    sentences = []
    if any(field.startswith("D_") for field in table.fields):
        sentences += [("density response", how.response), ("density zero", how.zero)]
    if "LAB_L" in table.fields:
        sentences.append(("L*a*b*", how.light))
    sentences.append(("geometry", how.geometry))
    if not how.source_face:
        sentences.append(("face to the source", ""))
    sentences.append(("instrument", how.instrument))
    return [f"{what}: {said or UNKNOWN}" for what, said in sentences]
