"""Records of a wrong shape: a good one, in which a value, a section or the whole is made something else."""

import copy
import json
import random
from collections.abc import Iterator
from typing import Any

from registry.model.kinds import KINDS
from registry.model.shape import shape_of

__all__ = ["broken"]


def _deep(levels: int) -> Any:
    value: Any = "x"
    for level in range(levels):
        value = [value] if level % 2 else {"x": value}
    return value


_JUNK: tuple[Any, ...] = (
    *("", "x", "7", "2026-01-01", "a/b/c", "known-good", "withdrawn", "720x720", "../../x", "x.txt", "x.icc"),
    *("x" * 100_000, "=cmd|x", "µm ΔE", "%s' OR 1 --"),
    *(0, -1, 7, 0.5, -2.5, 2**53 - 1, -(2**53) + 1, 1e-300, True, False),
    *([], [[]], [{}], ["x"], [7], ["x", "x"], [{"what": "colour"}], [1, "a", {"b": []}], ["x"] * 3000),
    *({}, {"": {}}, {"x": "y"}, {"x": 7}, {"a.b": {"*": 1}, "~/": [1]}, {"file": "x.txt"}, {"date": 7}),
    *({"/heat": "data sheet"}, {"kind": "measured"}, {"x" * 5000: "y"}, _deep(6), _deep(28)),
)
"""Something of every type that JSON has, and of the forms that records have, where another is due."""

_NO_DOCUMENTS = (
    *(b"", b"[]", b'"x"', b"7", b"{", b"{} {}", b"\xff{}", b"[" * 5000, b'{"title": null}'),
    b'{"title": "a", "title": "b"}',
    b"\xef\xbb\xbf{}",
    b'{"title": "' + b"x" * 300_000 + b'"}',
)

_NAMES = sorted({name for kind in KINDS for path in shape_of(kind).settings for name in path.split(".")})
"""The members that records of any kind have."""


def broken(rng: random.Random, kind: str, good: dict[str, Any]) -> bytes:
    """Return what lies at the place of a good record of a kind instead of it."""
    if rng.random() < 0.04:
        return rng.choice(_NO_DOCUMENTS)
    document = copy.deepcopy(good)
    required: list[str] = shape_of(kind).schema["required"]
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        what = rng.random()
        if what < 0.4:  # a section, whatever it holds
            document[rng.choice(list(document) or ["title"])] = _junk(rng)
        elif what < 0.5:
            document[rng.choice(list(shape_of(kind).schema["properties"]))] = _junk(rng)
        elif what < 0.6:
            document.pop(rng.choice(required), None)
        else:
            _within(rng, document)
    if rng.random() < 0.04:
        document["$schema"] = rng.choice(("../../schema/site.json", "http://127.0.0.1:9/", "x" * 90, ""))
    text = json.dumps(document, indent=rng.choice((None, 2)))
    if rng.random() < 0.03:  # one member twice
        member = json.dumps(rng.choice(list(document) or ["title"]))
        text = f"{{{member}: 7, {text.lstrip()[1:]}"
    return text.encode() + b"\n"


def _junk(rng: random.Random) -> Any:
    return copy.deepcopy(rng.choice(_JUNK))


def _within(rng: random.Random, document: Any) -> None:
    """Change something somewhere within."""
    holders = list(_holders(document))
    if not holders:
        return
    holder = rng.choice(holders)
    key = rng.choice(list(holder) if isinstance(holder, dict) else range(len(holder)))
    match rng.randrange(6):
        case 0 | 1 | 2:
            holder[key] = _junk(rng)
        case 3:
            del holder[key]
        case 4 if isinstance(holder, dict):
            holder[rng.choice(_NAMES)] = _junk(rng)
        case 5:
            holder[key] = [copy.deepcopy(holder[key]), _junk(rng)]
        case _:
            holder.append(copy.deepcopy(holder[key]))


def _holders(value: Any) -> Iterator[Any]:
    """Yield every group, mapping and list that holds something."""
    if isinstance(value, (dict, list)) and value:
        yield value
        for each in value.values() if isinstance(value, dict) else value:
            yield from _holders(each)
