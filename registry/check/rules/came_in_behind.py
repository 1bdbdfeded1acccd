"""Rule: what has landed was not pushed behind somebody's own commit."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["came_in_behind"]

_PATH = "records/registry.json"


@rule("came-in-behind", "warning")
def came_in_behind(checked: Checked) -> Iterator[Remark]:
    """No plain pull is among what landed: each landing has the shared tip as its first parent.

    Who commits, pulls and pushes puts all that had landed behind the own commit. The line is still told, by
    who committed what and what git says of the merge, but that is a guess, however good.

    To mend: let the server refuse it with litstock check --base. What was pushed stays; its order, dates and
    authors are kept.
    """
    for odd in checked.history.oddities() if checked.history and checked.asked(_PATH) else ():
        if odd.of == "pull":
            yield Remark(
                _PATH, odd.words, "merge upon the shared branch, not it into yours", line=1, column=1
            )
