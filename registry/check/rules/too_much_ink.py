"""Rule: the heaviest ink stays below the coverage limit."""

from collections.abc import Iterator

from registry.check.checked import Checked, ModeCase, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity
from registry.derived import heaviest_load_pct, laid_volume_ml_m2

__all__ = ["too_much_ink"]


@rule("too-much-ink", "error")
def too_much_ink(checked: Checked) -> Iterator[Remark]:
    """Load × the profile's heaviest sum of channels stays at or below the mode's total area coverage limit.

    More ink than the limit does not dry: it runs, stays tacky and sticks on the roll.

    To mend: lower the load, make a profile with a lower maximum, or prove a higher limit by re-wet trials.
    """
    for case in checked.live_modes:
        load = heaviest_load_pct({"mode": case.mode})
        heaviest, limit = at(case.mode, "ink", "profile_max_pct"), at(case.mode, "ink", "coverage_limit_pct")
        if load is None or heaviest is None or limit is None:
            continue
        coverage = load * heaviest / 100
        if coverage > limit:
            yield case.document.remark(
                "/ink/profile_max_pct",
                "the heaviest ink is above the coverage limit",
                "lower the load or the profile's maximum",
                found=f"{quantity(load, '%')} × {quantity(heaviest, '%')} = {_amount(case, coverage)}",
                allowed=f"at most {_amount(case, limit)}",
            )


def _amount(case: ModeCase, coverage_pct: float) -> str:
    volume = laid_volume_ml_m2({"mode": case.mode, "printer": case.printer}, coverage_pct)
    return quantity(coverage_pct, "%") + ("" if volume is None else f", {quantity(volume, 'mL/m²')}")
