"""Guidance, judged when the read model is built.

All of a rule's conditions must hold, and each looks at one side of the case: the mode with its substrate and
printer, or the place (application, display). So each side is judged once, and a question only joins the two.
"""

from collections.abc import Mapping
from typing import Any

from registry import canonical

__all__ = ["MODE_SIDE", "PLACE_SIDE", "Judge"]

MODE_SIDE = ("substrate", "mode", "printer")
PLACE_SIDE = ("application", "display")


class Judge:
    """One guidance rule, ready to judge cases; its schema allows no reference and no costly pattern."""

    def __init__(self, rid: str, rule: dict[str, Any]) -> None:
        import jsonschema_rs  # noqa: PLC0415 (loaded only when the read model is built)

        self.rid, self.level, self.text, self.source = rid, rule["level"], rule["text"], rule["source"]
        self._conditions = [
            (pointer, pointer.split("/")[1], jsonschema_rs.Draft202012Validator(condition))
            for pointer, condition in rule["when"].items()
        ]

    def looks_at(self, side: tuple[str, ...]) -> bool:
        """Whether any condition looks at this side of the case."""
        return any(root in side for _, root, _ in self._conditions)

    def holds(self, side: tuple[str, ...], case: Mapping[str, Any]) -> bool | None:
        """Return whether every condition on this side holds; None where it cannot be told.

        One condition that does not hold settles it; a pointer to nothing leaves it open.
        """
        answer: bool | None = True
        for pointer, root, validator in self._conditions:
            if root not in side:
                continue
            try:
                value = canonical.lookup(case, pointer)
            except KeyError:
                answer = None
                continue
            if not validator.is_valid(value):
                return False
        return answer
