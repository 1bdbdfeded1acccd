"""What the tests of the story share."""

from typing import Any, NamedTuple

from registry.demo.replay import Told

__all__ = ["Landed", "Records"]

Records = dict[str, dict[str, dict[str, Any]]]
"""Documents by kind and id."""


class Landed(NamedTuple):
    """One record as one landing left it."""

    told: Told
    path: str
    kind: str
    id: str
    document: dict[str, Any]
    before: dict[str, Any] | None
    """What the record was before; None where the landing brought it."""

    def records(self, kind: str, history: "tuple[Landed, ...]") -> dict[str, dict[str, Any]]:
        """Return the records of a kind as they were once this landing had landed."""
        upto = [each for each in history if each.told.landing.landed <= self.told.landing.landed]
        return {each.id: each.document for each in upto if each.kind == kind}
