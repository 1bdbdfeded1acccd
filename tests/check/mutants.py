"""Records with members lost, added, moved across their limits, or replaced by what readers disagree upon."""

import random
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import cache
from typing import Any

from registry import canonical
from registry.model.kinds import kind_at
from registry.model.shape import shape_of
from tests.check.small import small_registry

__all__ = ["mutant", "seeds"]

# By pattern or format: texts that fit, and texts that nearly do.
SAMPLES = {
    "date": "2026-03-01",
    "date-time": "2026-03-01T09:30:00+01:00",
    "^[a-z0-9][a-z0-9-]*$": "harbour-yard",
    "^[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*$": "mill-lane/wide-2",
    "^[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*$": "lumenfold/dayfilm-210/backlit-16",
    r"^[a-z0-9][a-z0-9-]*\.(txt|icc)$": "backlit-16.icc",
    "^[0-9a-f]{64}$": "0123456789abcdef" * 4,
    "^[1-9][0-9]{1,3}x[1-9][0-9]{1,3}$": "720x720",
    "^[a-z][a-z0-9_.-]*$": "light.transmittance_pct",
    r"^\^[A-Za-z0-9 ,./_-]{0,60}$": "^B-s1",
    "^/(substrate|mode|printer|application|display)(/[a-z0-9_-]{1,60}){1,8}$": "/substrate/coating",
}
NASTY: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    -0.0,
    1,
    1.0,
    16.0,
    16.5,
    -1,
    0.1,
    1e-7,
    5e-324,
    99.99999999999999,
    2**31,
    2**53 - 1,
    2**53,
    1e15,
    1e300,
    "",
    " ",
    "1",
    "true",
    "a",
    "Aa",
    "ä",
    "e\u0301",
    "\u00a0",
    "\u2009",
    "😀",
    "😀" * 80,
    "😀" * 81,
    "x" * 80,
    "x" * 81,
    "x" * 400,
    "x" * 401,
    "harbour-yard\n",
    "-harbour",
    "harbour--yard",
    "harbour_yard",
    "a/b",
    "a/b/c",
    "a//b",
    "A" * 64,
    "0" * 63,
    "２０２６-03-01",
    "2026-02-30",
    "2026-02-29",
    "2024-02-29",
    "2026-13-01",
    "2026-00-10",
    "1899-12-31",
    "2100-01-01",
    "20260301",
    "2026-3-1",
    "2026-W10-1",
    "2026-03-01T09:30:00",
    "2026-03-01T09:30:00Z",
    "2026-03-01T24:00:00Z",
    "2026-03-01T23:59:60Z",
    "2026-06-30T23:59:60Z",
    "2026-03-01T09:30:00.5Z",
    "2026-03-01t09:30:00z",
    "2026-02-30T09:30:00Z",
    "2026-03-01T09:30:00+14:59",
    "2026-03-01T09:30:00-00:00",
    "2026-03-01T09:30:00+15:00",
    "2026-03-01 09:30:00+01:00",
    "720x",
    "720x7200",
    "７２０x720",
    "B-s1,d0",
    ".icc",
    "a.ICC",
    "a.txt.icc",
    "^",
    "^" + "a" * 60,
    "^" + "a" * 61,
    "^(a+)+$",
    [],
    [[]],
    [1, 1],
    [""],
    ["film", "film"],
    [0.5] * 9,
    [1] * 3,
    {},
    {"": 1},
    {"what": "colour", "load_pct": 1},
    {"kind": "measured"},
    {"/substrate/coating": {"const": "none"}},
    {"/substrate/coating": {"not": {"not": {"enum": []}}}},
)


def full(schema: dict[str, Any], node: dict[str, Any], depth: int = 0) -> Any:
    """Return a value with every member that its schema knows."""
    if "$ref" in node:
        return full(schema, schema["$defs"][node["$ref"].removeprefix("#/$defs/")], depth + 1)
    if "enum" in node:
        return node["enum"][0]
    kind = node.get("type", "object")
    if kind == "object":
        others = node.get("additionalProperties")
        members = {
            name: full(schema, below, depth)
            for name, below in node.get("properties", {}).items()
            if depth < 4 or name in node.get("required", ())
        }
        if isinstance(others, dict):
            pattern = node.get("propertyNames", {}).get("pattern")
            members[SAMPLES[pattern] if pattern else "/title"] = full(schema, others, depth)
        return members
    if kind == "array":
        return [full(schema, node["items"], depth) for _ in range(max(1, node.get("minItems", 1)))]
    if kind in ("number", "integer"):
        return node.get("minimum", node.get("exclusiveMinimum", 0) + 1)
    return _text(node) if kind == "string" else True


def _text(node: dict[str, Any]) -> str:
    form = node.get("format", node.get("pattern"))
    return SAMPLES[form] if form else "text"


@cache
def seeds(kind: str) -> tuple[dict[str, Any], ...]:
    """Return valid records of a kind: those of the small registry, and one with every member."""
    schema = shape_of(kind).schema
    files = small_registry().files
    records = [canonical.read(data) for path, data in files.items() if kind_at(path) == kind]
    return (full(schema, schema), *records)


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every value below."""
    entries = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for name, below in entries:
        yield (*path, name)
        yield from places(below, (*path, name))


def mutant(chance: random.Random, seed: dict[str, Any]) -> dict[str, Any]:
    """Return a record with one to three changes."""
    document = deepcopy(seed)
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        paths = list(places(document))
        if not paths:
            break
        *above, name = chance.choice(paths)
        holder: Any = document
        for part in above:
            holder = holder[part]
        chance.choice(CHANGES)(chance, holder, name)
    return document


def replace(chance: random.Random, holder: Any, name: Any) -> None:
    holder[name] = deepcopy(chance.choice(NASTY))


def remove(_: random.Random, holder: Any, name: Any) -> None:
    del holder[name]


def add(chance: random.Random, holder: Any, name: Any) -> None:
    if isinstance(holder, list):
        holder.insert(name, deepcopy(chance.choice((*NASTY, holder[name]))))
    else:
        holder[chance.choice(("extra", "", "$ref", "not", f"{name} ", str(name).upper(), "é"))] = 1


def nudge(chance: random.Random, holder: Any, name: Any) -> None:
    """Move a number across whole, fractional and far values, and a text by a character at either end."""
    value = holder[name]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        factor, step = chance.choice((1, 1, 1, -1, 10, 1000)), chance.choice((-1, -1e-9, 0, 1e-9, 0.5, 1))
        holder[name] = chance.choice((float, lambda number: number))(value * factor + step)
    elif isinstance(value, str):
        extra = chance.choice((" ", "\n", "٣", "a", "-", "/", "\u200d", "."))
        holder[name] = chance.choice(
            (value + extra, extra + value, value[:-1], value[1:], value.upper(), value * 9)
        )
    elif isinstance(value, list):
        holder[name] = value * chance.choice((2, 9, 30))


CHANGES: tuple[Callable[[random.Random, Any, Any], None], ...] = (replace, replace, nudge, nudge, remove, add)
