"""Rule: a measured web temperature is one that the heaters can cause."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["web_above_heaters"]

# What a contact or infrared thermometer in the shop may be off by; common practice, no source.
_TOLERANCE_C = 3


@rule("web-above-heaters", "error")
def web_above_heaters(checked: Checked) -> Iterator[Remark]:
    """The measured web temperature is not above the curing set-point, within 3 °C.

    A web takes its heat from the heater and stays below it; 3 °C is what a thermometer in a shop may be off
    (common practice, no source). A hotter one means that the reading, the set-point or the heater's sensor
    is wrong.

    To mend: measure again, correct the value that is wrong, or have the heater's sensor looked at.
    """
    for case in checked.live_modes:
        set_point = at(case.mode, "heat", "cure_c")
        for member in ("web_centre_c", "web_edge_c", "web_edge_hot_c"):
            web = at(case.mode, "heat", member)
            if set_point is not None and web is not None and web > set_point + _TOLERANCE_C:
                yield case.document.remark(
                    f"/heat/{member}",
                    "the web is hotter than the curing set-point can make it",
                    "measure again, or correct the value that is wrong",
                    found=quantity(web, "°C"),
                    allowed=f"at most {quantity(set_point + _TOLERANCE_C, '°C')}",
                )
