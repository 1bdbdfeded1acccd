"""Rule: a known-good mode lays an ink that the material takes."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed, shown

__all__ = ["foreign_ink"]


@rule("foreign-ink", "error")
def foreign_ink(checked: Checked) -> Iterator[Remark]:
    """A known-good mode's printer lays an ink that the substrate takes.

    A coating made for another ink often looks right, dries to the touch, and sticks together on the roll
    (common practice, no source). A trial may try it; only known-good modes are looked at.

    To mend: withdraw the mode; or, where trials prove that the ink holds, add the chemistry to the
    substrate.
    """
    for case in checked.live_modes:
        ink, taken = case.printer.get("ink_chemistry"), case.substrate.get("ink_chemistries")
        if case.mode["status"] == "known-good" and ink and taken and ink not in taken:
            yield case.document.remark(
                "/printer",
                "the substrate is not known to take this printer's ink",
                "withdraw the mode, or add the chemistry to the substrate where trials prove it",
                found=f"{shown(ink)} ({case.mode['printer']})",
                allowed=f"{listed(taken)} ({case.mode['substrate']})",
            )
