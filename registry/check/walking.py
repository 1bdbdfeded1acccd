"""Judge changes step by step: each landing against the one before, and last what has not landed yet."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace

from registry.check.checked import Checked
from registry.check.finding import Finding
from registry.check.rules import RULES
from registry.check.rules.attributes_removed import attributes_removed
from registry.check.rules.line_left import line_left
from registry.check.rules.not_a_file import not_a_file
from registry.check.running import found_by
from registry.check.scope import Scope
from registry.check.snapshot import Files
from registry.question.steps import Passing, Since, Step

__all__ = ["check_since", "check_steps"]

_OF_CHANGES = tuple(rule for rule in RULES if rule.of_changes)


def check_since(changed: Since, *, only: Collection[str] | None = None) -> Iterator[Finding]:
    """Yield what is found of all that has changed since a base."""
    yield from check_steps(changed.files, changed.steps, only=only)
    yield from _passing(changed.passing, only)
    before, after = (Checked(Files({}, checkout=each), only=only) for each in (changed.before, changed.after))
    after.base = before
    yield from found_by((attributes_removed, line_left), after)


def check_steps(
    base: Mapping[str, bytes], steps: Iterable[Step], *, only: Collection[str] | None = None
) -> Iterator[Finding]:
    """Yield what the rules about changes find, each step judged against what the one before left.

    Judged in one go, a record that two landings revised would seem to have skipped a revision.
    """
    files = dict(base)
    scope = Scope(only)
    now = Checked(Files(files))
    for step in steps:
        files = {path: data for path, data in {**files, **step.files}.items() if data is not None}
        now = now.after(Files(files), step.files.keys(), [path for path in step.files if path in scope])
        for finding in found_by(_OF_CHANGES, now):
            yield replace(finding, landing=step.landing)


def _passing(passing: Iterable[Passing], only: Collection[str] | None) -> Iterator[Finding]:
    """Yield what is found of what was no file for a while."""
    for commit, path, what in passing:
        for finding in found_by((not_a_file,), Checked(Files({}, {path: what}), only=only)):
            yield replace(finding, landing=commit)
