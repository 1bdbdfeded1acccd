"""Rule: a source is the source of something."""

from collections.abc import Iterator

from registry import canonical
from registry.check.checked import REVISED, Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["source_of_nothing"]


@rule("source-of-nothing", "warning")
def source_of_nothing(checked: Checked) -> Iterator[Remark]:
    """Every entry of sources points to a value or group that the record holds.

    A source that points to nothing is a slip of the pointer, and the value that it was meant for has none;
    or the value is gone, and its source would later be taken for that of another.

    To mend: correct the pointer, or remove the entry with its value.
    """
    for document in checked.of(*REVISED):
        for pointer in document.content.get("sources", ()):
            try:
                canonical.lookup(document.content, pointer)
            except (KeyError, ValueError):
                yield document.remark(
                    canonical.join_pointer(["sources", pointer]),
                    "the source points to nothing",
                    "correct the pointer, or remove the entry",
                    found=shown(pointer),
                    allowed="a JSON pointer to a value of this record, such as '/heat'",
                )
