"""Rule: a mode is run on a machine of its own printer model."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["foreign_printer"]


@rule("foreign-printer", "error")
def foreign_printer(checked: Checked) -> Iterator[Remark]:
    """The unit that ran, adopted or confirmed a mode is of the printer model that the mode is for.

    Loads, passes and heats mean something on one model only. A confirmation from another model would make a
    mode known good that nobody has seen.

    To mend: name the unit that printed it, or the mode for that unit's printer.
    """
    for document in checked.of("event", "run", "confirmation", "complaint"):
        mode, unit = document.content.get("mode"), document.content.get("unit")
        if not mode or not unit:
            continue
        wanted = checked.content("print-mode", mode).get("printer")
        model = checked.content("unit", unit).get("printer")
        if wanted and model and wanted != model:
            yield document.remark(
                "/unit",
                "the unit is of another printer model than the mode",
                "name the unit that printed it, or a mode for this unit's printer",
                found=f"{shown(unit)}, a {model}",
                allowed=f"a {wanted}",
            )
