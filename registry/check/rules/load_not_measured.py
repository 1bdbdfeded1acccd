"""Rule: an unusual backlit load has a measurement behind it."""

from collections.abc import Iterator

from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity
from registry.derived import heaviest_load_pct

__all__ = ["load_not_measured"]


@rule("load-not-measured", "warning")
def load_not_measured(checked: Checked) -> Iterator[Remark]:
    """A backlit load outside the range that is usual on its printer has a reference measurement behind it.

    Below the range a lit print is usually pale, above it the ink usually does not dry. A trial may try it;
    what is known good has been measured anyhow.

    To mend: attach the measurement under evidence.measurement, or choose a load within the usual range.
    """
    for case in checked.live_modes:
        usual = case.printer.get("backlit_load_pct")
        load = heaviest_load_pct({"mode": case.mode})
        if case.mode["lighting"] != "backlit" or usual is None or load is None:
            continue
        measured = at(case.mode, "evidence", "measurement") is not None
        if not measured and not usual["low_pct"] <= load <= usual["high_pct"]:
            loads = [
                layer["load_pct"] if layer["what"] == "colour" else None for layer in case.mode["layers"]
            ]
            yield case.document.remark(
                f"/layers/{loads.index(load)}/load_pct",
                "the backlit load is unusual for this printer, and no measurement is behind it",
                "attach a measurement, or choose a usual load",
                found=quantity(load, "%"),
                allowed=f"{quantity(usual['low_pct'])} to {quantity(usual['high_pct'], '%')} unmeasured",
            )
