"""Rule: values stand only where they are defined."""

from collections.abc import Iterator
from typing import Any

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["not_defined"]


@rule("not-defined", "error")
def not_defined(checked: Checked) -> Iterator[Remark]:
    """A substrate has only the values that are defined for such a material.

    ASTM D1003 calls a material above 30 % haze diffusing and defines no haze for it; a glass transition
    counts for polycarbonate, acrylic and rigid PVC; a weave for fabric, an adhesive for self-adhesive film,
    a wind for rolls. A number without a meaning is taken for a fact.

    To mend: remove the value, or correct the construction, base or scattering.
    """
    for document in checked.of("substrate"):
        content = document.content
        for parts, fits, needs in _conditions(content):
            if at(content, *parts) is not None and not fits:
                yield document.remark(
                    "/" + "/".join(parts),
                    "this value is not defined for such a material",
                    "remove it, or correct what the material is",
                    found=f"{shown(content['construction'])} of {shown(content['base'])}",
                    allowed=needs,
                )


def _conditions(content: dict[str, Any]) -> Iterator[tuple[tuple[str, ...], bool, str]]:
    construction, base = content["construction"], content["base"]
    rigid = base in {"polycarbonate", "acrylic"} or (base == "pvc" and construction == "sheet")
    clear = at(content, "light", "scattering") != "diffusing"
    yield ("light", "haze_pct"), clear, "with light.scattering other than diffusing"
    yield ("heat", "glass_transition_c"), rigid, "for polycarbonate, acrylic and PVC sheet"
    yield ("fabric",), construction == "fabric", "for fabric"
    yield ("adhesive",), construction == "adhesive-film", "for adhesive-film"
    yield ("roll",), construction != "sheet", "for what comes on a roll"
