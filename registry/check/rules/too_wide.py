"""Rule: the material fits into the printer."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["too_wide"]


@rule("too-wide", "error")
def too_wide(checked: Checked) -> Iterator[Remark]:
    """The substrate comes in at least one width that the printer takes.

    Otherwise nobody can ever load it, and the mode is a find that leads nowhere.

    To mend: choose another printer, or complete the substrate's widths.
    """
    for case in checked.live_modes:
        widths, widest = case.substrate.get("widths_mm"), case.printer.get("max_width_mm")
        if widths and widest is not None and min(widths) > widest:
            yield case.document.remark(
                "/printer",
                "the printer takes no width in which the substrate comes",
                "choose another printer, or complete the substrate's widths",
                found=f"{quantity(min(widths), 'mm')} and up ({case.mode['substrate']})",
                allowed=f"at most {quantity(widest, 'mm')} ({case.mode['printer']})",
            )
