"""Rule: nothing is deleted."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["deleted"]


@rule("deleted", "error", of_changes=True)
def deleted(checked: Checked) -> Iterator[Remark]:
    """Every record and attachment of the base is still there.

    A card on a printer, a run or a complaint may name it for years. An id is never used again, so a gap
    would stay.

    To mend: bring the file back; to keep a record from being used, withdraw it with a reason.
    """
    for path, place in (checked.base.places if checked.base else {}).items():
        if place is not None and path not in checked.places and checked.asked(path):
            yield Remark(
                path,
                "what has landed is never deleted",
                "bring the file back" + ("" if place.attachment else ", and withdraw the record"),
                found="nothing",
                allowed=f"the {place.kind} as it has landed, or a later revision",
            )
