"""Rule: attachments are of a size that every clone can carry."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["attachment_too_large"]

_MIB = 1 << 20
_LARGEST_MIB = {"profile": 16, "measurement": 2, "spectrum": 2}  # this registry's own limits


@rule("attachment-too-large", "error")
def attachment_too_large(checked: Checked) -> Iterator[Remark]:
    """A profile has at most 16 MiB, a measurement or spectrum at most 2 MiB.

    Nothing is ever deleted, so every shop carries every attachment for good.

    To mend: leave out raw data that is not needed, or make the profile with fewer grid points.
    """
    for path, kind in checked.attachments():
        size, limit = len(checked.bytes_of(path)), _LARGEST_MIB[kind]
        if size > limit * _MIB:
            yield Remark(
                path,
                f"the {kind} is too large",
                "leave out what is not needed",
                found=f"{size} bytes",
                allowed=f"at most {limit} MiB",
            )
