"""What is known of a thing that no record holds yet, as people type it: by what it is, not by its name."""

import json
from collections.abc import Iterable, Iterator
from typing import Any

from registry.canonical import split_pointer
from registry.check.checked import Document
from registry.contribute.assign import assigned, assignments
from registry.errors import RequestError
from registry.model.kinds import Place, a_kind
from registry.model.shape import ANY, Shape, shape_of
from registry.model.sound import is_sound

__all__ = ["described"]


def described(kind: str, texts: Iterable[str], example: str) -> dict[str, Any]:
    """Return PATH=VALUE texts as part of a record's document, held to the words and ranges of its schema.

    Raises
    ------
    RequestError
        What no record of this kind could hold, or what describes nothing, such as a name; every fault.
    """
    shape = shape_of(kind)
    document: dict[str, Any] = {}
    faults: list[str] = []
    for path, text in assignments(texts, example).items():
        try:
            _refuse_aside(shape, path)
            document = assigned(shape, document, {path: text})
        except RequestError as error:
            faults.append(str(error))
    faults += _unfit(kind, document)
    if faults:
        raise RequestError("\n  ".join([f"this describes no {kind}:", *faults] if faults[1:] else faults))
    return document


def _refuse_aside(shape: Shape, path: str) -> None:
    setting = shape.setting_at(path)
    if setting is None or setting.descriptive:
        return
    if ANY in setting.path:
        raise RequestError(f"{path} is of an entry of a list, and those play no part here: leave it out")
    raise RequestError(f"{path} says nothing of what {a_kind(shape.kind)} is like: leave it out")


def _unfit(kind: str, document: dict[str, Any]) -> Iterator[str]:
    if is_sound(kind, document, partial=True):
        return
    from registry.check.explaining import explained  # noqa: PLC0415 (only who is at fault pays for it)

    typed = Document("", Place(kind, ""), json.dumps(document).encode())
    for remark in explained(typed, partial=True):
        path = ".".join(part for part in split_pointer(remark.pointer) if not part.isdecimal())
        yield f"{path}: {remark.words}"
