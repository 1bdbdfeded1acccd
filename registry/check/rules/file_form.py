"""Rule: a record stands in its one form on disk."""

from collections.abc import Iterator
from itertools import zip_longest

from registry import canonical
from registry.check.checked import Checked, Document
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.model.kinds import KINDS
from registry.model.versions import NEWEST

__all__ = ["file_form"]


@rule("file-form", "error")
def file_form(checked: Checked) -> Iterator[Remark]:
    """A record is laid out in the file form: indented by two, in the model's order, with LF.

    With one form for one content (keys in order, under the names that settings have now, a final newline), a
    difference between two files is always a difference in what they say.

    To mend: run the check with --fix, which rewrites form only and changes no value.
    """
    for document in checked.documents():
        if document.tidy or not document.sound or not _may_be_rewritten(checked, document):
            continue
        wanted = canonical.file_form(document.content, document.shape.schema)
        if wanted != document.data:
            yield _first_difference(document.path, document.data, wanted)


def _may_be_rewritten(checked: Checked, document: Document) -> bool:
    """Whether an earlier name is against the form: not before the registry is of the newest version."""
    return not document.earlier or (checked.version == NEWEST and not KINDS[document.kind].once)


def _first_difference(path: str, data: bytes, wanted: bytes) -> Remark:
    pairs = zip_longest(data.decode().split("\n"), wanted.decode().split("\n"))
    line, (found, allowed) = next((n, pair) for n, pair in enumerate(pairs, 1) if pair[0] != pair[1])
    return Remark(
        path,
        "the record is not in the file form",
        "run the check with --fix",
        found=_line(found),
        allowed=_line(allowed),
        line=line,
        column=1,
    )


def _line(text: str | None) -> str:
    return "the end of the file" if text is None else repr(text)
