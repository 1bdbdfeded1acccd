"""Rule: the shared branch goes on from where it has stood."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["rewritten"]

_PATH = "records/registry.json"


@rule("rewritten", "warning")
def rewritten(checked: Checked) -> Iterator[Remark]:
    """The shared branch still goes on from each place at which this clone has seen it.

    Who forces a push, or rewrites the branch on the server, takes away what had landed: cards and runs name
    settings that nobody finds any more.

    To mend: keep the old tip as a branch, see what it had with litstock diff --since, and land it again.
    """
    for odd in checked.history.oddities() if checked.history and checked.asked(_PATH) else ():
        if odd.of == "rewritten":
            yield Remark(_PATH, odd.words, "land again what is missing", line=1, column=1)
