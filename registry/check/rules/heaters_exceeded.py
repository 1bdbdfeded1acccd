"""Rule: set-points are within the heaters' range."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["heaters_exceeded"]


@rule("heaters-exceeded", "error")
def heaters_exceeded(checked: Checked) -> Iterator[Remark]:
    """Drying and curing set-points are ones that the printer's heaters can be set to.

    An operator cannot enter any other; the printer would clip it silently and print with another setting
    than the record says.

    To mend: choose a set-point within the printer's range, or correct that range in the printer's record.
    """
    for case in checked.live_modes:
        for zone in ("dry", "cure"):
            set_point = at(case.mode, "heat", f"{zone}_c")
            low = at(case.printer, "heaters", f"{zone}_min_c")
            high = at(case.printer, "heaters", f"{zone}_max_c")
            too_low = low is not None and set_point is not None and set_point < low
            too_high = high is not None and set_point is not None and set_point > high
            if not too_low and not too_high:
                continue
            ends = [] if low is None else [f"from {quantity(low, '°C')}"]
            ends += [] if high is None else [f"to {quantity(high, '°C')}"]
            yield case.document.remark(
                f"/heat/{zone}_c",
                "the heaters cannot be set to this",
                "choose a set-point within the printer's range",
                found=quantity(set_point, "°C"),
                allowed=f"{' '.join(ends)} ({case.mode['printer']})",
            )
