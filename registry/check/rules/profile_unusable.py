"""Rule: a profile is an ICC output profile."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.light.icc import Fault, faults

__all__ = ["profile_unusable"]

# ISO 15076-1, 7.2.7: the class of profiles for printers.
_OUTPUT = b"prtr"


@rule("profile-unusable", "error")
def profile_unusable(checked: Checked) -> Iterator[Remark]:
    """A profile is an ICC output profile (ISO 15076-1), and its parts lie within the file.

    A cut-off or foreign file is refused by one program and misread by the next. Looked at are size,
    signature, version, class, connection space and the tag table.

    To mend: export the profile again, as an output profile, and attach it unchanged.
    """
    for path, kind in checked.attachments():
        if kind == "profile":
            for message, found, allowed in _faults(checked.bytes_of(path)):
                yield Remark(path, message, "export the profile again", found=found, allowed=allowed)


def _faults(data: bytes) -> Iterator[Fault]:
    yield from faults(data)
    if data[36:40] == b"acsp" and data[12:16] != _OUTPUT:
        yield Fault("the profile is no output profile", f"class {data[12:16]!r}", f"class {_OUTPUT!r}")
