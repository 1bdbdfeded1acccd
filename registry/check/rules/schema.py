"""Rule: a record fits its schema."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["schema"]


@rule("schema", "error")
def schema(checked: Checked) -> Iterator[Remark]:
    """Every member is known, every required one is there, every value is of its type and range.

    What no reader knows is never acted upon: a mistyped name would be a setting that nobody uses. The
    installed program's own schema decides, never one that the record names.

    To mend: follow each finding; it says what was found and what is allowed, with unit and the nearest word.
    """
    for document in checked.documents():
        if not document.faults and not document.sound:
            from registry.check.explaining import explained  # noqa: PLC0415 (only a faulty record pays for it)

            yield from explained(document)
