"""Rule: the heaviest ink stays below the coverage limit."""

from collections.abc import Iterator

from registry.check.checked import Checked, ModeCase, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity
from registry.derived import heaviest_layers_pct, laid_volume_ml_m2

__all__ = ["too_much_ink"]


@rule("too-much-ink", "error")
def too_much_ink(checked: Checked) -> Iterator[Remark]:
    """All layers together lay no more than the mode's total area coverage limit, each no more than its own.

    Colour counts at its load × the profile's heaviest sum of channels, white, clear and block-out at their
    load: all of it has to dry. More ink than the limit does not: it runs, stays tacky and sticks on the roll.

    To mend: lower a load, make a profile with a lower maximum, or prove a higher limit by re-wet trials.
    """
    for case in checked.live_modes:
        layers, limit = heaviest_layers_pct({"mode": case.mode}), at(case.mode, "ink", "coverage_limit_pct")
        if layers is None:
            continue
        for number, (layer, (what, laid)) in enumerate(zip(case.mode["layers"], layers, strict=True)):
            own = layer.get("limit_pct")
            if own is not None and laid > own:
                yield case.document.remark(
                    f"/layers/{number}/limit_pct",
                    "a layer lays more ink than its own limit",
                    "lower its load or the profile's maximum",
                    found=f"{what} {_amount(case, laid)}",
                    allowed=f"at most {_amount(case, own)}",
                )
        if limit is None:
            continue
        coverage = sum(laid for _, laid in layers)
        if coverage > limit:
            each = " + ".join(f"{what} {quantity(laid, '%')}" for what, laid in layers)
            yield case.document.remark(
                "/ink/coverage_limit_pct",
                "all layers together lay more ink than the coverage limit",
                "lower a load or the profile's maximum",
                found=f"{each} = {_amount(case, coverage)}",
                allowed=f"at most {_amount(case, limit)}",
            )


def _amount(case: ModeCase, coverage_pct: float) -> str:
    volume = laid_volume_ml_m2({"mode": case.mode, "printer": case.printer}, coverage_pct)
    return quantity(coverage_pct, "%") + ("" if volume is None else f", {quantity(volume, 'mL/m²')}")
