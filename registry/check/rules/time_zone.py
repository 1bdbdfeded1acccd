"""Rule: the registry's time zone is one."""

import re
from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["time_zone"]

_OFFSET = re.compile(r"Z|[+-](0[0-9]|1[0-4]):[0-5][0-9]")


@rule("time-zone", "error")
def time_zone(checked: Checked) -> Iterator[Remark]:
    """The registry's time zone is a name of the IANA time zone database, or an offset such as +01:00.

    A date such as @2026-03-01 means the end of that day in this zone; without it, no such question can be
    answered.

    To mend: write a zone's name, or its offset from UTC.
    """
    for document in checked.of("registry"):
        zone = document.content["time_zone"]
        if not _OFFSET.fullmatch(zone) and not _known(zone):
            yield document.remark(
                "/time_zone",
                "the time zone is not known",
                "write a zone's name, or its offset from UTC",
                found=shown(zone),
                allowed='an IANA name such as "Etc/UTC", or an offset such as "+01:00"',
            )


def _known(zone: str) -> bool:
    from zoneinfo import ZoneInfo  # noqa: PLC0415 (a fixed offset needs no database)

    try:
        ZoneInfo(zone)
    except (KeyError, ValueError, OSError):  # no such zone, no name of one, or a folder of zones
        return False
    return True
