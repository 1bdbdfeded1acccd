"""A rule: a stable code, a severity, and one function whose docstring explains it."""

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from registry.check.checked import Checked
from registry.check.finding import Remark, Severity

__all__ = ["Rule", "rule"]

Find = Callable[[Checked], Iterator[Remark]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule."""

    code: str
    severity: Severity
    find: Find
    explanation: str
    """Three paragraphs: what it asks, why, and how to mend what it finds."""
    of_changes: bool = False
    """It judges what changed since a base, and is silent without one; all others judge what is there."""

    @property
    def summary(self) -> str:
        """The first paragraph, in one line."""
        return " ".join(self.explanation.partition("\n\n")[0].split())


def rule(code: str, severity: Severity, *, of_changes: bool = False) -> Callable[[Find], Rule]:
    """Make a rule of a function."""

    def made(find: Find) -> Rule:
        return Rule(code, severity, find, inspect.cleandoc(find.__doc__ or ""), of_changes)

    return made
