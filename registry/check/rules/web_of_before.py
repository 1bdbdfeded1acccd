"""Rule: a hotter set-point above what the material bears has a web temperature of its own."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["web_of_before"]

_WEB = ("web_centre_c", "web_edge_c", "web_edge_hot_c")


@rule("web-of-before", "error", of_changes=True)
def web_of_before(checked: Checked) -> Iterator[Remark]:
    """Where a set-point rises above what the substrate bears, the web temperature is measured anew.

    What was measured at a cooler set-point says nothing of a hotter one, and a number typed in another unit
    looks just like this: 140 °F is 60 °C.

    To mend: see that the set-point is in °C; measure the web at the new one and record heat.web_centre_c.
    """
    for new, old in checked.changed:
        if new.kind != "print-mode" or old is None or not old.sound or not new.live:
            continue
        limit = at(checked.content("substrate", new.content["substrate"]), "heat", "max_web_c")
        if limit is None or any(at(new.content, "heat", web) != at(old.content, "heat", web) for web in _WEB):
            continue
        for member in ("dry_c", "cure_c"):
            before, now = at(old.content, "heat", member), at(new.content, "heat", member)
            if now is not None and now > limit and (before is None or now > before):
                yield new.remark(
                    f"/heat/{member}",
                    "the set-point rises above what the substrate bears; the web was measured when cooler",
                    "see that it is in °C, measure the web at it and record heat.web_centre_c, or lower it",
                    found=quantity(now, "°C"),
                    allowed=f"at most {quantity(limit, '°C')} until the web is measured anew",
                )
