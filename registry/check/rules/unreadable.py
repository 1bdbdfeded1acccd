"""Rule: a record can be read."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["unreadable"]


@rule("unreadable", "error")
def unreadable(checked: Checked) -> Iterator[Remark]:
    """A record is UTF-8 text that holds one JSON object, in which every program reads the same.

    Duplicate keys, numbers that no double holds, null, invisible and reordering characters and very deep or
    large texts are where programs and people begin to see different records.

    To mend: do at the line shown what the finding says; every fault of the text is listed, not only the
    first.
    """
    for document in checked.documents():
        for fault in document.faults:
            yield Remark(
                document.path,
                fault.message,
                fault.remedy,
                fault.pointer,
                found=fault.code,
                line=fault.line,
                column=fault.column,
            )
