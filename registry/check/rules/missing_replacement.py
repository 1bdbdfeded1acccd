"""Rule: what is to be used instead can be used."""

from collections.abc import Iterator

from registry.check.checked import REVISED, Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import meant, shown

__all__ = ["missing_replacement"]


@rule("missing-replacement", "error")
def missing_replacement(checked: Checked) -> Iterator[Remark]:
    """What a withdrawn record names to be used instead is another record of its kind that exists.

    The operator who meets the withdrawn record goes straight to the one it names.

    To mend: name a record of the same kind by its id, or leave the replacement out.
    """
    for document in checked.of(*REVISED):
        instead = at(document.content, "withdrawn", "instead")
        if not instead:
            continue
        there = (*checked.every(document.kind), *checked.doubtful(document.kind))
        known = {each.id for each in there} - {document.id}
        if instead not in known:
            yield document.remark(
                "/withdrawn/instead",
                f"the replacement is no other {document.kind} of this registry",
                meant(instead, known) or "correct the id, or leave the replacement out",
                found=shown(instead),
                allowed=f"the id of another {document.kind}",
            )
