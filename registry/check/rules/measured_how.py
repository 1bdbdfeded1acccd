"""Rule: what is measured says how, and when."""

from collections.abc import Iterator

from registry.canonical import join_pointer
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.model.sourced import lacking_of_measured

__all__ = ["measured_how"]

_CALLED = {"date": "date", "method": "method or instrument"}


@rule("measured-how", "error", of_changes=True)
def measured_how(checked: Checked) -> Iterator[Remark]:
    """A source that is given now and says `measured` gives the day, and the method or the instrument.

    "Measured" makes a number trusted more than any other. Without how and when nobody can judge whether it
    still holds, or measure it again.

    To mend: give the source's date, and its method or instrument; or say what kind of source it is instead.
    """
    for new, old in checked.changed:
        held = old.content.get("sources") if old else None
        before = list(held.values()) if isinstance(held, dict) else []  # it may not have been sound
        for pointer, source in new.content.get("sources", {}).items():
            if source in before:  # landed so, and at most moved within a group or a list
                continue
            if lacking := lacking_of_measured(source):
                yield new.remark(
                    join_pointer(["sources", pointer]),
                    "what is measured says how and when",
                    "give the source's date, and its method or instrument",
                    found=f"no {' and no '.join(_CALLED[each] for each in lacking)}",
                    allowed="a date, and a method or an instrument",
                )
