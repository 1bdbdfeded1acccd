"""Rule: a fire class is one of its standard's."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown
from registry.model.fire import STANDARDS, is_class, written_so

__all__ = ["fire_class"]


@rule("fire-class", "error")
def fire_class(checked: Checked) -> Iterator[Remark]:
    """A fire rating is written as its own standard writes it.

    B-s1,d0 (EN 13501-1), A (ASTM E84) and pass (NFPA 701) do not stand for each other, and a class without
    smoke and droplets says less than a building's owner must know. Local code decides what is accepted.

    To mend: copy the class exactly from the certificate, and give each standard its own entry.
    """
    for document in checked.of("substrate"):
        for number, entry in enumerate(document.content.get("fire", [])):
            if not is_class(entry["standard"], entry["rating"]):
                yield document.remark(
                    f"/fire/{number}/rating",
                    f"{STANDARDS[entry['standard']]} has no such class",
                    "copy the class from the certificate",
                    found=shown(entry["rating"]),
                    allowed=written_so(entry["standard"]),
                )
