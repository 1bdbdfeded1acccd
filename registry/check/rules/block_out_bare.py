"""Rule: no colour is laid on a bare block-out."""

from collections.abc import Iterator
from itertools import pairwise

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["block_out_bare"]


@rule("block-out-bare", "error")
def block_out_bare(checked: Checked) -> Iterator[Remark]:
    """Between a layer of colour and a block-out lies a layer of white.

    Printing inks are transparent: colour upon a dark core is not seen. White between them throws light back
    through the colour (common practice, no source).

    To mend: lay white between the two, or take the block-out away.
    """
    for case in checked.live_modes:
        # Clear hides nothing, so it counts as no layer here.
        layers = [
            (number, layer["what"])
            for number, layer in enumerate(case.mode["layers"])
            if layer["what"] != "clear"
        ]
        for (_, above), (number, below) in pairwise(layers):
            if {above, below} == {"colour", "block-out"}:
                yield case.document.remark(
                    f"/layers/{number}",
                    "colour and block-out lie on one another",
                    "lay white between the two",
                    found=f"{above} on {below}",
                    allowed="white between colour and block-out",
                )
