"""The numbered versions of the schema, and for which of them a registry is written.

A version only ever changes form: what names settings have, and how files are laid out. What would change the
meaning of a setting retires it, and another one stands beside it; so whatever has landed keeps its digest.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from registry.errors import RegistryError
from registry.model.kinds import path_of

__all__ = ["NEWEST", "PLACE", "VERSIONS", "OtherVersion", "SchemaVersion", "refuse_other", "version_of"]

PLACE = path_of("registry", "registry")
"""Where a registry says for which version it is written."""


class SchemaVersion(NamedTuple):
    """One version of the schema."""

    number: int
    words: str
    """What came with it, in one sentence."""


VERSIONS: tuple[SchemaVersion, ...] = (
    SchemaVersion(1, "the form in which registries began"),
    SchemaVersion(2, "the registry says for which schema version it is written"),
    SchemaVersion(3, "the clear coat's setting is called so: ink.clear_coat_pct was ink.overcoat_pct"),
    SchemaVersion(4, "black is said in numbers: ink.black_generation is not written any more"),
    SchemaVersion(5, "a fire class says what was tested, of more standards; cloth may be knitted"),
    SchemaVersion(
        6,
        "outdoor life is told by finishing: outdoor_months is not written any more; new: limits by layer and "
        "channel, laminate, rests, rub trials, a box's pitch, depth and heat, where a print was seen lit, "
        "whose sheet guidance belongs on",
    ),
)
NEWEST = VERSIONS[-1].number
"""The version that this program writes."""


class OtherVersion(RegistryError):
    """A registry is written for another schema version than this program writes."""

    def __init__(self, version: int) -> None:
        super().__init__(version)
        self.version = version

    def __str__(self) -> str:
        written = f"this registry is written for schema version {self.version}"
        if self.version > NEWEST:
            return f"{written}, and this litstock knows {NEWEST}: update litstock, then try again"
        return (
            f"{written}, and this litstock writes {NEWEST}: run litstock migrate first (only form changes; "
            "to write, every shop then needs this litstock or a newer one)"
        )


def version_of(own: Mapping[str, Any]) -> int:
    """Return for which version a registry is written, from its own record.

    A newer one may hold what this program does not know, so nothing else of it is judged.

    >>> version_of({"schema_version": 7, "later": True}), version_of({}), version_of({"schema_version": "x"})
    (7, 1, 1)
    """
    version = own.get("schema_version")
    return version if type(version) is int and version > 0 else VERSIONS[0].number


def refuse_other(version: int) -> None:
    """Refuse to write into, or to judge, a registry of another version."""
    if version != NEWEST:
        raise OtherVersion(version)
