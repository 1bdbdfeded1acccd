"""Rule: the web stays as cool as the material needs it."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["web_too_hot"]


@rule("web-too-hot", "error")
def web_too_hot(checked: Checked) -> Iterator[Remark]:
    """The web temperature measured in the curing zone is not above what the substrate bears.

    A film that gets hotter than that shrinks and cockles, may strike the head, and sheet may soften.

    To mend: lower the curing set-point or the dwell and measure again, or correct the substrate's limit by
    its data sheet.
    """
    for case in checked.live_modes:
        limit = at(case.substrate, "heat", "max_web_c")
        for member in ("web_centre_c", "web_edge_c", "web_edge_hot_c"):
            web = at(case.mode, "heat", member)
            if limit is not None and web is not None and web > limit:
                yield case.document.remark(
                    f"/heat/{member}",
                    "the web gets hotter than the substrate bears",
                    "lower the curing set-point and measure again, or correct the substrate's limit",
                    found=quantity(web, "°C"),
                    allowed=f"at most {quantity(limit, '°C')} ({case.mode['substrate']})",
                )
