"""Rule: recorded dates do not run backwards."""

from collections.abc import Iterator

from registry.check.changing import content_changed
from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["recorded_backwards"]


@rule("recorded-backwards", "error", of_changes=True)
def recorded_backwards(checked: Checked) -> Iterator[Remark]:
    """A changed record was not written down before the revision that it changes.

    Whoever asks what was known on a day would get the later revision for the earlier day.

    To mend: set recorded.date to the day on which this revision was written.
    """
    for new, old in checked.changed:
        before = at(old.content, "recorded", "date") if old else None
        after = new.content["recorded"]["date"]
        if old and isinstance(before, str) and after < before and content_changed(new, old):
            yield new.remark(
                "/recorded/date",
                "the revision was written before the one that it changes",
                "set the day on which this revision was written",
                found=shown(after),
                allowed=f"{before} or later",
            )
