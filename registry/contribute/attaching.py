"""Putting a measurement or a profile beside a mode, and naming it there."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from registry import canonical
from registry.contribute.given import Tree
from registry.contribute.prepare import Contribution, Overlay, Writer, attach, combined, completed, rewrite
from registry.errors import RequestError
from registry.measurement import MeasurementError, read_cgats
from registry.measurement.loads import COLUMNS, ladder_table
from registry.measurement.reading import as_cgats
from registry.model.kinds import place_at

__all__ = ["Attachment", "attachment", "measured", "naming", "with_attachments"]


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file to be put beside a mode, and the patch by which the mode names it."""

    contribution: Contribution
    patch: dict[str, Any]


def attachment(tree: Tree, mode_path: str, name: str, data: bytes) -> Attachment:
    """Prepare a file to be attached to the mode at `mode_path`; its ending says what it is."""
    stem, _, ending = name.rpartition(".")
    match ending.lower():
        case "txt" | "cxf":
            return measured(tree, mode_path, name, data)
        case "icc":
            place = f"{_folder(mode_path)}/profiles/{_tidy(stem)}.icc"
            return Attachment(
                attach(tree, place, data), {"colour": {"profile": {"file": f"{_tidy(stem)}.icc"}}}
            )
    raise RequestError(
        f"{name!r} is neither a measurement (.txt, .cxf) nor a profile (.icc): rename it if it is one"
    )


def measured(
    tree: Tree, mode_path: str, name: str, data: bytes, role: Literal["measurement", "ladder"] = "measurement"
) -> Attachment:
    """Prepare a measurement in any form as evidence of the mode at `mode_path`, kept as CGATS.17 text.

    Raises
    ------
    RequestError
        It is a ladder of loads where the mode's reference is wanted, or the other way round.
    MeasurementError
        What is to be converted is no measurement.
    """
    kept = as_cgats(data, name)
    _refuse_other_role(mode_path, name, kept, role)
    file = f"{_tidy(name.rpartition('.')[0] or name)}.txt"
    place = f"{_folder(mode_path)}/measurements/{file}"
    return Attachment(attach(tree, place, kept), {"evidence": {role: {"file": file}}})


def _refuse_other_role(mode_path: str, name: str, data: bytes, role: str) -> None:
    try:
        is_ladder = ladder_table(read_cgats(data)) is not None
    except MeasurementError:  # the check tells what is wrong with it, line by line
        return
    if is_ladder and role == "measurement":
        place = place_at(mode_path)
        raise RequestError(
            f"{name} is a ladder of loads, and a reference shows what one load prints: keep it as the mode's "
            f"ladder with litstock measure FILE --mode {place.id if place else 'MODE'} --attach --as ladder "
            "--reason TEXT"
        )
    if role == "ladder" and not is_ladder:
        raise RequestError(f"{name} is no ladder of loads: one holds {', '.join(COLUMNS)} beside the spectra")


def with_attachments(
    tree: Tree,
    path: str,
    document: dict[str, Any],
    attached: Sequence[Attachment],
    *,
    writer: Writer,
    reason: str,
    landed: Tree | None = None,
) -> Contribution:
    """Prepare the next revision of a record, with files beside it that it names from now on."""
    beside, document = _beside(tree, attached), naming(tree, path, document, attached)
    revised = rewrite(beside, path, document, writer=writer, reason=reason, landed=landed)
    return combined(*(each.contribution for each in attached), revised, message=revised.message)


def naming(
    tree: Tree, path: str, document: dict[str, Any], attached: Sequence[Attachment] = ()
) -> dict[str, Any]:
    """Return a record that names the files that are put beside it, with the check sum of every one."""
    for each in attached:
        document = canonical.merge_patch(document, each.patch)
    return completed(_beside(tree, attached), path, document)


def _beside(tree: Tree, attached: Sequence[Attachment]) -> Overlay:
    return Overlay(tree, {path: data for each in attached for path, data in each.contribution.files.items()})


def _folder(mode_path: str) -> str:
    parts = mode_path.split("/")
    if len(parts) != 6 or parts[4] != "modes":
        raise RequestError(f"only a print mode takes attachments, not {mode_path}")
    return "/".join(parts[:4])


def _tidy(stem: str) -> str:
    """Return a file's name as the registry allows it.

    >>> _tidy("Second reading_2")
    'second-reading-2'
    """
    return re.sub(r"[^a-z0-9]+", "-", stem.lower()).strip("-")
