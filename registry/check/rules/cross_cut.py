"""Rule: cross-cut adhesion is tried only where it is defined."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["cross_cut"]


@rule("cross-cut", "error")
def cross_cut(checked: Checked) -> Iterator[Remark]:
    """A cross-cut class is given only for prints on a smooth face that is no fabric.

    ISO 2409 counts squares that come off a smooth coat; on a weave or a textured face the count means
    nothing.

    To mend: take the class out and say in words what was seen, or correct the substrate's texture.
    """
    for case in checked.live_modes:
        woven = case.substrate.get("construction") == "fabric"
        texture = at(case.substrate, "surface", "texture")
        if not woven and texture in (None, "smooth"):
            continue
        for number, trial in enumerate(case.mode.get("trials", [])):
            if "cross_cut" in trial:
                yield case.document.remark(
                    f"/trials/{number}/cross_cut",
                    "a cross-cut class is not defined on this face",
                    "take it out and say in words what was seen",
                    found="fabric" if woven else f"a {texture} face",
                    allowed="a smooth face that is no fabric (ISO 2409)",
                )
