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
        self._when, self._unless = (
            [
                (pointer, pointer.split("/")[1], jsonschema_rs.Draft202012Validator(condition))
                for pointer, condition in rule.get(member, {}).items()
            ]
            for member in ("when", "unless")
        )

    def looks_at(self, side: tuple[str, ...]) -> bool:
        """Whether any condition looks at this side of the case."""
        return any(root in side for _, root, _ in (*self._when, *self._unless))

    def holds(self, side: tuple[str, ...], case: Mapping[str, Any]) -> bool | None:
        """Return whether every condition on this side holds; None where it cannot be told.

        One condition that does not hold settles it, and so does one of `unless` that does; a pointer to
        nothing leaves open what has to hold, and sets nothing aside.
        """
        answers = [_answer(each, case) for each in self._when if each[1] in side]
        if False in answers or any(_answer(each, case) for each in self._unless if each[1] in side):
            return False
        return None if None in answers else True


def _answer(condition: tuple[str, str, Any], case: Mapping[str, Any]) -> bool | None:
    pointer, _, validator = condition
    try:
        value = canonical.lookup(case, pointer)
    except KeyError:
        return None
    return bool(validator.is_valid(value))
