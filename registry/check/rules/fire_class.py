"""Rule: a fire class is one of its standard's."""

import re
from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["fire_class"]

# EN 13501-1: the classes as two certifying bodies publish them, the expression is ours; floorings (fl) and
# linear pipe insulation (L) are no materials of this registry. ASTM E84: the classes of the International
# Building Code, section 803.1. NFPA 701 knows a pass or a failure (from memory).
_GRAMMAR: dict[str, tuple[str, str]] = {
    "en-13501-1": (
        r"A1|(A2|B|C|D)-s[123],d[012]|E(-d2)?|F",
        "A1, A2 to D with smoke and droplets such as B-s1,d0, E, E-d2 or F",
    ),
    "astm-e84": ("[ABC]", "A, B or C"),
    "nfpa-701": ("pass|fail", "pass or fail"),
}


@rule("fire-class", "error")
def fire_class(checked: Checked) -> Iterator[Remark]:
    """A fire rating is written as its own standard writes it.

    B-s1,d0 (EN 13501-1), A (ASTM E84) and pass (NFPA 701) do not stand for each other, and a class without
    smoke and droplets says less than a building's owner must know. Local code decides what is accepted.

    To mend: copy the class exactly from the certificate, and give each standard its own entry.
    """
    for document in checked.of("substrate"):
        for number, entry in enumerate(document.content.get("fire", [])):
            expression, allowed = _GRAMMAR[entry["standard"]]
            if not re.fullmatch(expression, entry["rating"]):
                yield document.remark(
                    f"/fire/{number}/rating",
                    f"{entry['standard']} has no such class",
                    "copy the class from the certificate",
                    found=shown(entry["rating"]),
                    allowed=allowed,
                )
