"""Rule: what has landed stays the line."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["line_left"]

_PATH = "records/registry.json"


@rule("line-left", "error", of_changes=True)
def line_left(checked: Checked) -> Iterator[Remark]:
    """What is pushed goes on from the shared branch: its tip is reached by first parents alone.

    Who commits, pulls and pushes makes the own commit the first parent, and all that others had landed comes
    in behind it. When it landed has to be guessed from then on.

    To mend: merge the other way round, upon the shared branch: git switch --detach origin/main, git merge
    --no-ff with your branch, git push origin HEAD:main. Of other branches, which a
    server merges, nothing is said.
    """
    left = checked.snapshot.checkout().left
    if left and checked.asked(_PATH):
        yield Remark(
            _PATH,
            f"commit {left.head[:12]} holds the shared tip {left.base[:12]}, but does not go on from it by "
            "first parents",
            f"git switch --detach {left.base[:12]} && git merge --no-ff {left.head[:12]}, and push that",
            line=1,
            column=1,
        )
