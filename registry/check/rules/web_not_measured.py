"""Rule: a set-point above the material's limit is backed by a measured web temperature."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["web_not_measured"]


@rule("web-not-measured", "warning")
def web_not_measured(checked: Checked) -> Iterator[Remark]:
    """Where a set-point lies above what the substrate bears, the web temperature is measured at its centre.

    The web stays cooler than the heater, but how much cooler is known only from a measurement. Unknown never
    counts as safe.

    To mend: measure the web on the heaviest solid and record heat.web_centre_c, or lower the set-point.
    """
    for case in checked.live_modes:
        limit = at(case.substrate, "heat", "max_web_c")
        if limit is None or at(case.mode, "heat", "web_centre_c") is not None:
            continue
        for member in ("dry_c", "cure_c"):
            set_point = at(case.mode, "heat", member)
            if set_point is not None and set_point > limit:
                yield case.document.remark(
                    f"/heat/{member}",
                    "the set-point is above what the substrate bears, and no web temperature was measured",
                    "measure the web and record heat.web_centre_c, or lower the set-point",
                    found=quantity(set_point, "°C"),
                    allowed=f"at most {quantity(limit, '°C')} while the web is not measured",
                )
