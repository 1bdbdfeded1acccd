"""Rule: a mode has the finishing that its material needs."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed, shown

__all__ = ["finishing_missing"]


@rule("finishing-missing", "error")
def finishing_missing(checked: Checked) -> Iterator[Remark]:
    """A mode's finishing includes the one without which its substrate is not to be used.

    An unprotected coating scratches at the first touch, and the card would not tell the operator.

    To mend: add the finishing to the mode, or correct what the substrate needs.
    """
    for case in checked.live_modes:
        needed = at(case.substrate, "finishing", "needed")
        finishing = case.mode.get("finishing", [])
        if needed not in (None, "none") and needed not in finishing:
            yield case.document.remark(
                "/finishing",
                "the substrate needs a finishing that the mode leaves out",
                f"add {shown(needed)} to the mode's finishing",
                found=listed(finishing) if finishing else "nothing",
                allowed=f"{shown(needed)} among them ({case.mode['substrate']})",
            )
