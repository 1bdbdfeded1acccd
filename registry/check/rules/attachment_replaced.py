"""Rule: an attachment is never replaced in place."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["attachment_replaced"]


@rule("attachment-replaced", "error", of_changes=True)
def attachment_replaced(checked: Checked) -> Iterator[Remark]:
    """An attachment that has landed keeps its bytes.

    Earlier revisions name it by its check sum, and cards were printed from it.

    To mend: bring the old file back, and attach the new one under another name.
    """
    base = checked.base
    for path, kind in checked.attachments() if base else ():
        if base and path in base.places and base.bytes_of(path) != checked.bytes_of(path):
            yield Remark(
                path,
                f"the {kind} has landed, and its bytes never change",
                "bring the old file back, and attach the new one under another name",
                found="other bytes than have landed",
                allowed="the same bytes",
            )
