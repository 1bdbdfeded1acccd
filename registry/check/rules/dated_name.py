"""Rule: what happened is filed by its date."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["dated_name"]

_DAY = len("2026-03-01")
_WHEN = {"event": "at", "run": "printed", "confirmation": "date"}


@rule("dated-name", "error")
def dated_name(checked: Checked) -> Iterator[Remark]:
    """The file name of an event, a run or a confirmation begins with the day on which it happened.

    People look for what happened by date in the folder itself, and two sites never choose the same name by
    chance.

    To mend: name the file by its day, such as 2026-03-01-head-replaced.json, or correct the day.
    """
    for kind, member in _WHEN.items():
        for document in checked.of(kind):
            day, name = document.content[member][:_DAY], document.id.rpartition("/")[2]
            if not name.startswith(f"{day}-"):
                yield document.remark(
                    f"/{member}",
                    f"the {kind} is filed under another day than it happened on",
                    "name the file by its day, or correct the day",
                    found=shown(f"{name}.json"),
                    allowed=f"a name that begins with {day}-",
                )
