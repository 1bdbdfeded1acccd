"""Rule: a record says of itself what its path says."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["path_identity"]

# By kind: the members that repeat the start of the id.
_REPEATED: dict[str, tuple[str, ...]] = {
    "substrate": ("maker", "grade"),
    "print-mode": ("substrate",),
    **dict.fromkeys(("unit", "display", "complaint", "event", "run", "confirmation"), ("site",)),
}


@rule("path-identity", "error")
def path_identity(checked: Checked) -> Iterator[Remark]:
    """Maker, grade, substrate and site in a record are those of the folder that it lies in.

    The path is the record's identity. Where the two disagree, half of the readers take one and half the
    other.

    To mend: correct the member, or move the file to the folder it belongs to before it lands.
    """
    for kind, members in _REPEATED.items():
        for document in checked.of(kind):
            parts = document.id.split("/")
            for member in members:
                size = document.content[member].count("/") + 1
                wanted, parts = "/".join(parts[:size]), parts[size:]
                if document.content[member] != wanted:
                    yield document.remark(
                        f"/{member}",
                        f"the {kind} names another {member} than its path",
                        "correct the member, or move the file",
                        found=shown(document.content[member]),
                        allowed=shown(wanted),
                    )
