"""Rule: who calls a backlit print good says where it was seen lit, and when."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.confirming import is_lit_from_behind
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["not_seen_lit"]


@rule("not-seen-lit", "error", of_changes=True)
def not_seen_lit(checked: Checked) -> Iterator[Remark]:
    """A good or usable word on a print that is to be lit says where it was seen lit, and when.

    On the table a backlit print looks too dark and hides what light from behind shows; fresh from the printer
    its ink is not dry (common practice, no source). What is said to be not lit is kept, and makes no mode
    known good.

    To mend: add seen ("in-display", "on-light-table" or "not-lit") and hours; a display says where by itself.
    """
    for new in checked.newly_happened:
        if new.kind != "confirmation" or new.content["outcome"] == "failed":
            continue
        mode = checked.content("print-mode", new.content["mode"])
        unsaid = [
            member
            for member, said in (
                ("seen", "seen" in new.content or "display" in new.content),
                ("hours", "hours" in new.content),
            )
            if not said
        ]
        if is_lit_from_behind(mode) and unsaid:
            yield new.remark(
                f"/{unsaid[0]}",
                "a word on a print that is to be lit says where it was seen lit, and when",
                "add seen and hours",
                found=f"no {' and no '.join(unsaid)}",
                allowed='seen: "in-display", "on-light-table" or "not-lit"; hours after printing',
            )
