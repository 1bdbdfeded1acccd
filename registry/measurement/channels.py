"""What a printer was given for each patch: its channels, and which patch is the bare material."""

import re
from collections.abc import Sequence

from registry.measurement.form import Table

__all__ = ["ADDITIVE", "FULL", "NEAR", "channels", "holds_unprinted"]

ADDITIVE = ("R", "G", "B")
"""A printer that is sent light, not ink: all channels in full leave the material bare."""
FULL = (1.0, 100.0, 255.0, 65535.0)
"""What a channel of light comes to in full, as files have it."""
NEAR = 0.01
"""Device values of one patch, in two files, differ by less; in %."""
_CHANNEL = re.compile(
    r"(?P<space>CMYK?[A-Z]*|[1-9A-F]CLR|RGB|GR[AE]Y)_(?P<ink>[A-Z0-9]+)", re.ASCII | re.IGNORECASE
)


def channels(fields: Sequence[str]) -> dict[str, str]:
    """Return the channels by their fields, of the space with most of them: what the printer was given.

    >>> channels(["SAMPLE_ID", "CMY_C", "CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K"])
    {'CMYK_C': 'C', 'CMYK_M': 'M', 'CMYK_Y': 'Y', 'CMYK_K': 'K'}
    """
    spaces: dict[str, dict[str, str]] = {}
    for name in fields:
        if found := _CHANNEL.fullmatch(name):
            spaces.setdefault(found["space"].upper(), {})[name] = found["ink"]
    return max(spaces.values(), key=len, default={})


def holds_unprinted(table: Table) -> bool:
    """Whether the bare material is among a table's patches, by their device values."""
    held = channels(table.fields)
    rows = [[float(each[name]) for name in held] for each in table.sets]
    bare = 0.0
    if tuple(held.values()) == ADDITIVE:
        bare = max((value for row in rows for value in row), default=0.0)
        if bare not in FULL:
            return False
    return bool(held) and any(all(abs(value - bare) < NEAR for value in row) for row in rows)
