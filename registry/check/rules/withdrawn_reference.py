"""Rule: what is in use rests on nothing withdrawn."""

from collections.abc import Iterator

from registry.check.checked import REVISED, Checked, at
from registry.check.finding import Remark
from registry.check.referring import references
from registry.check.rule import rule
from registry.check.saying import shown
from registry.model.kinds import a_kind

__all__ = ["withdrawn_reference"]


@rule("withdrawn-reference", "error")
def withdrawn_reference(checked: Checked) -> Iterator[Remark]:
    """A record that may still be used names no withdrawn record as something to use now.

    Whoever finds the mode would load a material that is not to be used any more. What tells of the past
    (events, runs, confirmations, complaints, trials, sources) may name what was withdrawn later.

    To mend: name the replacement, or withdraw this record as well.
    """
    for document in checked.of(*REVISED):
        if not document.live:
            continue
        for reference in references(document, current_only=True):
            named = checked.content(reference.kind, reference.id)
            if "withdrawn" in named:
                instead = at(named, "withdrawn", "instead")
                yield document.remark(
                    reference.pointer,
                    f"{reference.label} names {a_kind(reference.kind)} that is withdrawn",
                    f"name {shown(instead)}" if instead else "name another, or withdraw this record as well",
                    found=shown(reference.id),
                    allowed=f"{a_kind(reference.kind)} that is not withdrawn",
                )
