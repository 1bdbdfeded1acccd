"""The lots that a print used: what its run says of roll, ink, fixing fluid and laminate."""

from collections.abc import Mapping
from typing import Any

from registry.model.shape import shape_of

__all__ = ["LOTS", "LOT_OF_EVENT", "belongs", "lots_of"]

LOTS = tuple(path for path, setting in shape_of("run").settings.items() if setting.scope == "roll")
"""Members of a run that name a lot."""

LOT_OF_EVENT = {
    "substrate-lot": "roll_lot",
    "ink-lot": "ink_lot",
    "laminate-lot": "laminate_lot",
    "fixing-fluid-lot": "fixing_fluid_lot",
}
"""By kind of event: the member of a run that names the same lot."""


def lots_of(run: Mapping[str, Any]) -> dict[str, str]:
    """Return the lots that a run names, by member."""
    return {name: str(run[name]) for name in LOTS if name in run}


def belongs(lot: str, mode: Mapping[str, Any]) -> bool:
    """Whether every print of a mode has such a lot: not each is laminated, or laid with a fixing fluid.

    >>> belongs("roll_lot", {}), belongs("laminate_lot", {"finishing": ["none"]})
    (True, False)
    """
    if lot == "laminate_lot":
        return any("laminate" in str(each) for each in mode.get("finishing", ()))
    if lot == "fixing_fluid_lot":
        return bool(mode.get("ink", {}).get("fixing_fluid_pct"))
    return True
