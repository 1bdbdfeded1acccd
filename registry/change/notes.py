"""What to know in reading a value: a note beside it, where a standard has something to say."""

from typing import Any

from registry.model.scales import GLOSS_AT_60, gloss_angle

__all__ = ["note"]


def note(kind: str, path: str, value: Any) -> str:
    """Return what there is to know in reading a record's value; empty where it speaks for itself.

    >>> note("substrate", "gloss_60_gu", 6)
    'below 10 GU at 60°, ISO 2813 would have measured it at 85°'
    >>> note("substrate", "gloss_60_gu", 30)
    ''
    """
    if (kind, path) != ("substrate", "gloss_60_gu"):
        return ""
    angle, (low, high) = gloss_angle(value), GLOSS_AT_60
    bound = {85: f"below {low}", 20: f"above {high}"}.get(angle)
    return f"{bound} GU at 60°, ISO 2813 would have measured it at {angle}°" if bound else ""
