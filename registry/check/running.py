"""Run the rules over a snapshot."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from functools import cache

from registry import canonical
from registry.check.checked import Checked
from registry.check.finding import Finding, Remark
from registry.check.rule import Rule
from registry.check.rules import RULES
from registry.check.saying import meant
from registry.check.scope import Scope
from registry.check.snapshot import History, Snapshot
from registry.errors import RequestError
from registry.model.forms import lifted
from registry.model.kinds import kind_at
from registry.model.shape import shape_of

__all__ = ["check", "explain", "fixed", "found_by", "records_in"]

_MOST = 200
"""Remarks of one rule about one file that are told one by one."""


def check(
    snapshot: Snapshot,
    base: Snapshot | None = None,
    *,
    only: Collection[str] | None = None,
    history: History | None = None,
) -> list[Finding]:
    """Return everything that the rules find, by path and line.

    With a base, changes since then are judged too, and with a history whether a revision is there twice.
    `only` names files and folders to which the findings are kept; the rest of the snapshot is still what they
    are judged by.
    """
    return found_by(RULES, Checked(snapshot, None if base is None else Checked(base), only, history))


def found_by(rules: Iterable[Rule], checked: Checked) -> list[Finding]:
    """Return everything that some rules find, by path and line."""
    findings = [_finding(checked, rule, remark) for rule in rules for remark in _counted(rule.find(checked))]
    # Stable, so findings at one place stay in the order of the rules.
    return sorted(findings, key=lambda finding: (finding.path, finding.line, finding.column))


def records_in(snapshot: Snapshot, only: Collection[str] | None = None) -> int:
    """Return how many records there are, or lie at the paths asked about."""
    scope = Scope(only)
    return sum(kind_at(path) is not None and path in scope for path in snapshot.paths())


def explain(code: str) -> str:
    """Return what a rule asks, why, and how to mend what it finds."""
    rules = _by_code()
    if code not in rules:
        hint = meant(code, rules) or f"there are {', '.join(rules)}"
        raise RequestError(f"there is no rule {code!r}; {hint}")
    return rules[code].explanation


def fixed(path: str, data: bytes) -> bytes | None:
    """Return a record in its file form, or None where it is in it already, cannot be read or is no record.

    Form only: the value of no member changes.
    """
    kind = kind_at(path)
    if kind is None:
        return None
    try:
        document = lifted(kind, canonical.read(data))
    except canonical.Unreadable:
        return None
    wanted = canonical.file_form(document, shape_of(kind).schema)
    return None if wanted == data else wanted


def _counted(remarks: Iterable[Remark]) -> Iterator[Remark]:
    """Yield what a rule says, and of a file of which it says more than anyone reads, how much more."""
    said: Counter[str] = Counter()
    further: dict[str, Remark] = {}
    for remark in remarks:
        said[remark.path] += 1
        if said[remark.path] <= _MOST:
            yield remark
        else:
            further.setdefault(remark.path, remark)
    for path, first in further.items():
        more = f"{said[path] - _MOST:,} more of these from here on; told one by one are {_MOST}"
        yield first._replace(message=more, remedy="mend those first, then check again", found="", allowed="")


@cache
def _by_code() -> dict[str, Rule]:
    return {rule.code: rule for rule in RULES}


def _finding(checked: Checked, rule: Rule, remark: Remark) -> Finding:
    line, column = remark.line, remark.column
    if not line:
        document = checked.document(remark.path)
        line, column = document.position(remark.pointer) if document else (1, 1)
    return Finding(
        code=rule.code,
        severity=rule.severity,
        path=remark.path,
        line=line,
        column=column,
        pointer=remark.pointer,
        found=remark.found,
        allowed=remark.allowed,
        message=remark.message,
        remedy=remark.remedy,
    )
