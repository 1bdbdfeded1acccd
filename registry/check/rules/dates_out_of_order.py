"""Rule: dates within a record are in order."""

from collections.abc import Iterator
from datetime import datetime

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["dates_out_of_order"]

_WHEN = {"event": "at", "run": "printed", "confirmation": "date"}


@rule("dates-out-of-order", "error")
def dates_out_of_order(checked: Checked) -> Iterator[Remark]:
    """Good print, refused print, complaint: in that order; nothing is written down before it happens.

    An audit lists what changed between two moments; with the two exchanged, or one of them mistyped, it
    would look at the wrong time.

    To mend: correct the date that is wrong.
    """
    for document in checked.of("complaint"):
        good, printed, received = (document.content[name] for name in ("good", "printed", "received"))
        if datetime.fromisoformat(good) >= datetime.fromisoformat(printed):
            yield document.remark(
                "/good",
                "the last good print is not older than the refused one",
                "correct the moment that is wrong",
                found=shown(good),
                allowed=f"before {printed}",
            )
        if received < printed[:10]:
            yield document.remark(
                "/received",
                "the complaint came in before the job was printed",
                "correct the day that is wrong",
                found=shown(received),
                allowed=f"{printed[:10]} or later",
            )
    for kind, member in _WHEN.items():
        for document in checked.of(kind):
            happened, recorded = document.content[member][:10], document.content["recorded"]["date"]
            if recorded < happened:
                yield document.remark(
                    "/recorded/date",
                    f"the {kind} was written down before it happened",
                    "correct the day that is wrong",
                    found=shown(recorded),
                    allowed=f"{happened} or later",
                )
