"""Rule: clocks of landings do not fall back, nor run ahead."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["landing_clock"]

_PATH = "records/registry.json"


@rule("landing-clock", "warning")
def landing_clock(checked: Checked) -> Iterator[Remark]:
    """A landing is dated no earlier than the one before it and than its records say, and not in the future.

    What landed when is told by the committers' clocks. Where one falls back, the landing counts as of the
    latest date before it; where one runs ahead, so do all that follow. Where it was recorded after it landed,
    one of the two dates is wrong.

    To mend: set the clock of the machine right. What has landed keeps its dates; say in a note what is so.
    """
    for odd in checked.history.oddities() if checked.history and checked.asked(_PATH) else ():
        if odd.of == "clock":
            yield Remark(_PATH, odd.words, "set the clock of that machine right", line=1, column=1)
