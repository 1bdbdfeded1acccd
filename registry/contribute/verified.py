"""A contribution is checked with every rule before anything is written."""

from collections.abc import Iterable, Mapping

from registry.check.finding import Finding
from registry.check.running import check
from registry.contribute.prepare import Contribution, Overlay, Tree
from registry.errors import RegistryError

__all__ = ["Refused", "verified"]


class Refused(RegistryError):
    """The contribution breaks rules; nothing was written."""

    exit_code = 1

    def __init__(self, findings: list[Finding]) -> None:
        super().__init__(findings)
        self.findings = findings

    def __str__(self) -> str:
        lines = [
            f"  {each.path}:{each.line}: {each.pointer or '/'}: {each} [{each.code}]"
            for each in self.findings
        ]
        return "nothing was written, because of:\n" + "\n".join(lines)


class _Snapshot:
    """A tree, as the check wants to see it."""

    def __init__(self, tree: Tree) -> None:
        self._tree = tree

    def paths(self) -> Iterable[str]:
        return self._tree.paths()

    def refused(self) -> Mapping[str, str]:
        return {}

    def read(self, path: str) -> bytes:
        data = self._tree.read(path)
        if data is None:
            raise KeyError(path)
        return data


def verified(tree: Tree, contribution: Contribution, landed: Tree | None = None) -> list[Finding]:
    """Return the warnings that a contribution gives new cause for; what is worse refuses it.

    What it changes is judged against what has landed (by default, `tree` itself).

    Raises
    ------
    Refused
        A rule finds an error in what the contribution changes.
    """
    after = Overlay(tree, contribution.files)
    findings = check(_Snapshot(after), _Snapshot(landed or tree), only=set(contribution.files))
    errors = [finding for finding in findings if finding.severity == "error"]
    if errors:
        raise Refused(errors)
    before = check(_Snapshot(tree), only=set(contribution.files))
    known = {(finding.code, finding.path, finding.pointer) for finding in before}
    return [finding for finding in findings if (finding.code, finding.path, finding.pointer) not in known]
