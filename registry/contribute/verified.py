"""A contribution is checked with every rule before anything is written."""

from collections.abc import Iterable, Mapping

from registry.check.finding import AtFault, Finding
from registry.check.running import check
from registry.check.snapshot import Checkout
from registry.contribute.given import Tree
from registry.contribute.prepare import Contribution, Overlay

__all__ = ["Refused", "TreeSnapshot", "verified"]


class Refused(AtFault):
    """The contribution breaks rules; nothing was written."""

    exit_code = 1

    def __str__(self) -> str:
        lines = [
            f"  {each.path}:{each.line}: {each.pointer or '/'}: {each} [{each.code}]"
            for each in self.findings
        ]
        return "nothing was written, because of:\n" + "\n".join(lines)


class TreeSnapshot:
    """A tree, as the check wants to see it."""

    def __init__(self, tree: Tree) -> None:
        self._tree = tree

    def paths(self) -> Iterable[str]:
        return self._tree.paths()

    def refused(self) -> Mapping[str, str]:
        return {}

    def checkout(self) -> Checkout:
        return Checkout()

    def read(self, path: str) -> bytes:
        data = self._tree.read(path)
        if data is None:
            raise KeyError(path)
        return data


def verified(
    tree: Tree, contribution: Contribution, landed: Tree | None = None, *, form_only: bool = False
) -> list[Finding]:
    """Return the warnings that a contribution gives new cause for; what is worse refuses it.

    What it changes is judged against what has landed (by default, `tree` itself), and so is everything else
    that it may have broken: a lower limit of a film makes its modes too hot. What changes form only need not
    mend what was wrong before.

    Raises
    ------
    Refused
        A rule finds an error that was not there before, or one in what the contribution changes.
    """
    after = Overlay(tree, contribution.files)
    findings = check(TreeSnapshot(after), TreeSnapshot(landed or tree))
    if not findings:
        return []
    known = {finding.what for finding in check(TreeSnapshot(tree))}
    new = [finding for finding in findings if finding.what not in known]
    touched = () if form_only else contribution.files
    ours = [finding for finding in findings if finding in new or finding.path in touched]
    if errors := [finding for finding in ours if finding.severity == "error"]:
        raise Refused(errors)
    return new
