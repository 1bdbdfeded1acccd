"""Rule: what a record names is there."""

from collections.abc import Iterator

from registry.check.checked import ONCE, REVISED, Checked
from registry.check.finding import Remark
from registry.check.referring import references
from registry.check.rule import rule
from registry.check.saying import meant, shown
from registry.model.kinds import a_kind, path_of

__all__ = ["missing_reference"]


@rule("missing-reference", "error")
def missing_reference(checked: Checked) -> Iterator[Remark]:
    """Every record that another record names is in the registry.

    A mode without its substrate, or a run without its mode, answers no question.

    To mend: correct the id, or add the record that it names in the same change.
    """
    there: set[tuple[str, str]] = set()
    for document in checked.of(*REVISED, *ONCE):
        for reference in references(document):
            named = (reference.kind, reference.id)
            if named in there:
                continue
            if checked.find(*named) is not None:
                there.add(named)
            else:
                known = (each.id for each in checked.every(reference.kind))
                yield document.remark(
                    reference.pointer,
                    f"{reference.label} names {a_kind(reference.kind)} that is not in the registry",
                    meant(reference.id, known) or "correct the id, or add that record in the same change",
                    found=shown(reference.id),
                    allowed=f"{a_kind(reference.kind)} at {path_of(reference.kind, reference.id)}",
                )
