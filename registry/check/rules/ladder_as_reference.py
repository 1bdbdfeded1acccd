"""Rule: a ladder of loads is no reference measurement."""

from collections.abc import Iterator

from registry.check.attaching import readings_of
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.measurement.loads import ladder_table

__all__ = ["ladder_as_reference"]


@rule("ladder-as-reference", "error")
def ladder_as_reference(checked: Checked) -> Iterator[Remark]:
    """A mode's reference measurement is no ladder of loads.

    A reference shows what the mode prints at its own load. From a ladder of many loads neither can the lit
    print be computed, nor can a later reading be held against it; and it proves nothing of the mode.

    To mend: name the ladder under evidence.ladder, and attach a reading of the mode's own print.
    """
    for reading, measurement in readings_of(checked, "/evidence/measurement"):
        if ladder_table(measurement):
            yield reading.document.remark(
                f"{reading.pointer}/file",
                "the reference measurement is a ladder of loads",
                "name it under evidence.ladder, and attach a reading of the mode's own print",
                found=reading.file,
                allowed="patches that were printed with the mode's own load",
            )
