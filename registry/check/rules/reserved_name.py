"""Rule: ids can be file names everywhere."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["reserved_name"]

# The device names of Windows, with any extension ("Naming Files, Paths, and Namespaces", Win32 documentation;
# from memory).
_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))]
)
_LONGEST = 60  # as in the model's ids


@rule("reserved-name", "error")
def reserved_name(checked: Checked) -> Iterator[Remark]:
    """An id is not a device name such as con or lpt1, and no longer than 60 characters.

    A checkout on some systems cannot hold such a file, so the whole registry could not be used there; a
    longer id could not be named by another record.

    To mend: choose another id before the record lands; afterwards no id can be changed.
    """
    for path, place in checked.places.items():
        if place is None or not checked.asked(path):
            continue
        for part in place.id.split("/"):
            if part in _DEVICES or len(part) > _LONGEST:
                yield Remark(
                    path,
                    "the id cannot be used as a file name everywhere",
                    "choose another id",
                    found=repr(part),
                    allowed=f"at most {_LONGEST} characters and no device name",
                )
