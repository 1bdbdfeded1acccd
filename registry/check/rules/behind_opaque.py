"""Rule: what is seen through a material needs a clear one."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["behind_opaque"]


@rule("behind-opaque", "error")
def behind_opaque(checked: Checked) -> Iterator[Remark]:
    """A second-surface print is on a substrate that is known to be clear.

    It is seen through the material, which blurs or hides it unless it is clear. Unknown does not count as
    clear.

    To mend: choose a clear substrate, print on the first surface, or record the substrate's
    light.scattering.
    """
    for case in checked.live_modes:
        scattering = at(case.substrate, "light", "scattering")
        if case.mode["print_side"] == "second-surface" and case.substrate and scattering != "clear":
            yield case.document.remark(
                "/print_side",
                "the print would be seen through a material that is not known to be clear",
                "choose a clear substrate, or record that this one is clear",
                found=f"light.scattering {shown(scattering) if scattering else 'unknown'}",
                allowed='"clear"',
            )
