"""Rule: nothing foreign lies below records/."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.model.kinds import ATTACHMENTS, KINDS, ROOT

__all__ = ["foreign_path"]

_PLACES = "; ".join([*(kind.path for kind in KINDS.values()), *ATTACHMENTS.values()])


@rule("foreign-path", "error")
def foreign_path(checked: Checked) -> Iterator[Remark]:
    """Every file below records/ lies where a record or an attachment lives, under an id of a-z, 0-9 and -.

    The path is the record's identity. A file elsewhere is read by nobody, and its facts would be lost in
    plain sight; capitals and accents clash on some file systems.

    To mend: move the file to the place of its kind, or out of records/.
    """
    for path, place in checked.places.items():
        if place is None and checked.asked(path):
            yield Remark(
                path,
                "nothing may lie here",
                "move it to the place of its kind, or out of records/",
                found=path.removeprefix(ROOT),
                allowed=_PLACES,
            )
