"""Rule: each revision says why it was made."""

from collections.abc import Iterator

from registry.check.changing import content_changed
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["reason_not_new"]


@rule("reason-not-new", "error", of_changes=True)
def reason_not_new(checked: Checked) -> Iterator[Remark]:
    """A new or changed record gives a reason, and not the one of the revision before.

    Months later the reason is all that tells a wanted change from a slip; a repeated one explains the change
    before this one.

    To mend: say in the reason why this change was made.
    """
    for new, old in checked.changed:
        reason = " ".join(new.content["reason"].split()).casefold()
        last = "" if old is None else " ".join(str(old.content.get("reason", "")).split()).casefold()
        if (not reason or reason == last) and (old is None or content_changed(new, old)):
            yield new.remark(
                "/reason",
                "the reason is that of the revision before" if reason else "the reason is blank",
                "say why this change was made",
                found=shown(new.content["reason"]),
                allowed="a reason of its own",
            )
