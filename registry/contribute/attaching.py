"""Putting a measurement or a profile beside a mode, and naming it there."""

from dataclasses import dataclass
from typing import Any

from registry.contribute.prepare import Contribution, Tree, attach
from registry.errors import RequestError

__all__ = ["Attachment", "attachment"]


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file to be put beside a mode, and the patch by which the mode names it."""

    contribution: Contribution
    patch: dict[str, Any]


def attachment(tree: Tree, mode_path: str, name: str, data: bytes) -> Attachment:
    """Prepare a file to be attached to the mode at `mode_path`."""
    parts = mode_path.split("/")
    if len(parts) != 6 or parts[4] != "modes":
        raise RequestError(f"only a print mode takes attachments, not {mode_path}")
    name = name.lower().replace("_", "-").replace(" ", "-")
    ending = name.rpartition(".")[2]
    places = {"txt": ("measurements", "evidence", "measurement"), "icc": ("profiles", "colour", "profile")}
    if ending not in places:
        raise RequestError(
            f"{name!r} is neither a measurement (.txt) nor a profile (.icc): rename it if it is one"
        )
    folder, group, member = places[ending]
    contribution = attach(tree, "/".join([*parts[:4], folder, name]), data)
    return Attachment(contribution, {group: {member: {"file": name}}})
