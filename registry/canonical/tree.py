"""Documents as trees: JSON pointers (RFC 6901) and merge patches (RFC 7396)."""

import copy
import re
from collections.abc import Iterable
from typing import Any, TypeAlias

__all__ = ["Json", "join_pointer", "lookup", "merge_patch", "split_pointer"]

Json: TypeAlias = Any
"""A JSON value: what kind it is, the schema says."""

_STRAY_TILDE = re.compile(r"~(?![01])")
_INDEX = re.compile(r"0|[1-9][0-9]{0,9}")


def split_pointer(pointer: str) -> tuple[str, ...]:
    """Take a JSON pointer apart.

    >>> split_pointer("/layers/0/load~1pass")
    ('layers', '0', 'load/pass')
    """
    if not pointer:
        return ()
    if not pointer.startswith("/"):
        raise ValueError(f"{pointer!r} is no JSON pointer: it must be empty or begin with '/'")
    if "~" not in pointer:
        return tuple(pointer[1:].split("/"))
    if _STRAY_TILDE.search(pointer):
        raise ValueError(f"{pointer!r} is no JSON pointer: '~' must be written '~0' and '/' in a key '~1'")
    return tuple(part.replace("~1", "/").replace("~0", "~") for part in pointer[1:].split("/"))


def join_pointer(parts: Iterable[str]) -> str:
    """Put a JSON pointer together.

    >>> join_pointer(["layers", "0", "load/pass"])
    '/layers/0/load~1pass'
    """
    return "".join("/" + part.replace("~", "~0").replace("/", "~1") for part in parts)


def lookup(document: Json, pointer: str) -> Json:
    """Find the value that a JSON pointer names; `KeyError` when it points to nothing."""
    value = document
    for part in split_pointer(pointer):
        if isinstance(value, dict) and part in value:
            value = value[part]
        elif isinstance(value, list) and _INDEX.fullmatch(part) and int(part) < len(value):
            value = value[int(part)]
        else:
            raise KeyError(pointer)
    return value


def merge_patch(target: Json, patch: Json) -> Json:
    """Apply an RFC 7396 merge patch and return a new document that shares nothing with either."""
    if not isinstance(patch, dict):
        return copy.deepcopy(patch)
    before = target if isinstance(target, dict) else {}
    after = {}
    for key in before | patch:
        if key not in patch:
            after[key] = copy.deepcopy(before[key])
        elif patch[key] is not None:
            after[key] = merge_patch(before.get(key), patch[key])
    return after
