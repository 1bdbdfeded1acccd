"""Rule: what a record attaches is there."""

from collections.abc import Iterator

from registry.check.attaching import attached
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["attachment_missing"]


@rule("attachment-missing", "error")
def attachment_missing(checked: Checked) -> Iterator[Remark]:
    """Every profile, measurement and lamp spectrum that a record names lies in its folder.

    A mode without its profile cannot be used; a measurement that nobody can look at proves nothing.

    To mend: add the file to the folder, or correct its name.
    """
    for each in attached(checked):
        if not any(path in checked.places for path in each.places):
            yield each.document.remark(
                each.pointer,
                f"the {each.kind} is not there",
                "add the file, or correct its name",
                found=shown(each.file),
                allowed=" or ".join(each.places) or "a file in the spectra folder of a site",
            )
