"""Rule: the reference of a backlit mode holds the unprinted material."""

from collections.abc import Iterator

from registry.check.attaching import readings_of
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.measurement import conditions
from registry.measurement.channels import holds_unprinted
from registry.measurement.loads import ladder_table

__all__ = ["no_unprinted_patch"]


@rule("no-unprinted-patch", "warning")
def no_unprinted_patch(checked: Checked) -> Iterator[Remark]:
    """The reference measurement of a backlit mode holds a patch of the unprinted material.

    That patch is the white of the lit print. Without it nothing can be said of how bright and how colourful
    the print will look in a display, nor what of a density is the ink's.

    To mend: read the unprinted material too, as a patch whose device values are all 0, and attach that file.
    """
    for reading, measurement in readings_of(checked, "/evidence/measurement"):
        lit = [each for each in measurement.tables if conditions(each).kind == "transmission"]
        if reading.document.content["lighting"] != "backlit" or not lit or ladder_table(measurement):
            continue
        if not any(map(holds_unprinted, lit)):
            yield reading.document.remark(
                f"{reading.pointer}/file",
                "the reference measurement holds no unprinted patch",
                "read the unprinted material too, and attach that file",
                found=reading.file,
                allowed="a patch whose device values are all 0, such as CMYK 0 0 0 0",
            )
