"""A machine's own values for one mode: what its card carries, and what a newer revision may have changed."""

from typing import Any

from registry.model.shape import Found, shape_of

__all__ = ["own_values"]


def own_values(unit: dict[str, Any], mode_id: str) -> list[Found]:
    """Return what a unit's record holds for a mode; those of other modes are not the card's business."""
    mine = [each for each in unit.get("own", []) if each["mode"] == mode_id]
    found = shape_of("unit").flatten({"own": mine}).values()
    return [each for each in found if each.setting.scope == "unit"]
