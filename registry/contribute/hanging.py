"""What hangs on a record that is to be withdrawn: what goes with it, and what still needs it."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from registry.check.checked import REVISED, Checked, Document
from registry.check.finding import AtFault, Finding
from registry.check.referring import Reference, references
from registry.check.saying import shown
from registry.contribute.given import Tree
from registry.contribute.verified import TreeSnapshot
from registry.model.kinds import KINDS, a_kind

__all__ = ["Hanging", "StillUsed", "along"]

_FEW = 10
"""So many ids of a kind a refusal lists."""


class Hanging(NamedTuple):
    """A record that names another as something to use now."""

    document: Document
    reference: Reference
    tied: bool
    """It can never name another there, so it cannot be without it."""

    @property
    def setting(self) -> str:
        """The setting that names it."""
        return str(self.reference.path[0])

    def finding(self) -> Finding:
        """Say it as the check would, were the record withdrawn all the same."""
        line, column = self.document.position(self.reference.pointer)
        return Finding(
            code="withdrawn-reference",
            severity="error",
            path=self.document.path,
            line=line,
            column=column,
            pointer=self.reference.pointer,
            found=shown(self.reference.id),
            allowed=f"{a_kind(self.reference.kind)} that is not withdrawn",
            message=f"{self.reference.label} names the {self.reference.kind} that is to be withdrawn",
            remedy="withdraw this record as well" if self.tied else "name another first",
        )


class StillUsed(AtFault):
    """A record is to be withdrawn that others still need."""

    exit_code = 1

    def __init__(self, kind: str, rid: str, hanging: list[Hanging]) -> None:
        super().__init__([each.finding() for each in hanging])
        self.kind = kind
        self.rid = rid
        self.hanging = hanging

    def __str__(self) -> str:
        words = [f"nothing was written, because the {self.kind} {self.rid} is still used:"]
        if tied := [each for each in self.hanging if each.tied]:
            words += _listed(tied)
            words.append("these cannot be without it: withdraw them first, or all at once with --with-all")
        if free := [each for each in self.hanging if not each.tied]:
            words += _listed(free)
            paths = " or ".join(dict.fromkeys(f"--set {each.setting}=…" for each in free))
            words.append(f"these can name another: litstock revise ID {paths} --reason TEXT")
        return "\n".join(words)


def along(tree: Tree, kind: str, rid: str, *, with_all: bool) -> dict[str, str]:
    """Return the paths of what is withdrawn with a record, each with the kind of what it cannot be without.

    A substrate takes its modes along, since nobody may go on printing what is on no roll any more; `with_all`
    takes along whatever cannot be without a record.

    Raises
    ------
    StillUsed
        Other records name one of them as something to use now.
    """
    hanging = _hanging(tree)
    going: dict[str, str] = {}
    left: list[Hanging] = []
    waiting = [(kind, rid)]
    while waiting:
        gone = waiting.pop()
        for each in hanging.get(gone, ()):
            if each.tied and (with_all or gone[0] == "substrate"):
                if each.document.path not in going:
                    going[each.document.path] = gone[0]
                    waiting.append((each.document.kind, each.document.id))
            else:
                left.append(each)
    if still := [each for each in left if each.document.path not in going]:
        raise StillUsed(kind, rid, still)
    return going


def _hanging(tree: Tree) -> dict[tuple[str, str], list[Hanging]]:
    """Return what hangs on each record, by its kind and id."""
    found: dict[tuple[str, str], list[Hanging]] = {}
    for document in Checked(TreeSnapshot(tree)).of(*REVISED):
        if document.live:
            for reference in references(document, current_only=True):
                setting = document.shape.settings.get(str(reference.path[0]))
                each = Hanging(document, reference, tied=setting is not None and setting.identity)
                found.setdefault((reference.kind, reference.id), []).append(each)
    return found


def _listed(hanging: Iterable[Hanging]) -> Iterator[str]:
    by_kind: dict[str, list[str]] = {}
    for each in hanging:
        by_kind.setdefault(each.document.kind, []).append(each.document.id)
    for kind, ids in by_kind.items():
        more = f" and {len(ids) - _FEW:,} more" if len(ids) > _FEW else ""
        word = KINDS[kind].plural if len(ids) > 1 else kind.replace("-", " ")
        yield f"  {word}: {', '.join(ids[:_FEW])}{more}"
