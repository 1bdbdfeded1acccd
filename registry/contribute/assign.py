"""Assign settings by path, as people type them: `heat.cure_c=98`, `layers.colour.load_pct=210`."""

import copy
import difflib
import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from registry.errors import RequestError
from registry.model.shape import Setting, Shape, named_items

__all__ = ["added", "assigned", "parse_assignment", "timed"]

_YES = {"yes": True, "true": True, "no": False, "false": False}


def parse_assignment(text: str) -> tuple[str, str]:
    """Return path and value of `PATH=VALUE`.

    >>> parse_assignment("heat.cure_c = 98")
    ('heat.cure_c', '98')
    """
    path, equals, value = text.partition("=")
    if not equals or not path.strip() or not value.strip():
        raise RequestError(f"{text!r} is no assignment: write PATH=VALUE, such as heat.cure_c=98")
    return path.strip(), value.strip()


def timed(shape: Shape, values: Mapping[str, str], clock: Callable[[str], str]) -> dict[str, str]:
    """Return the values with moments as records hold them; `clock` completes what a person writes."""
    moments = {
        path for path in values if (setting := shape.setting_at(path)) and setting.format == "date-time"
    }
    return {path: clock(text) if path in moments else text for path, text in values.items()}


def assigned(
    shape: Shape, document: dict[str, Any], values: Mapping[str, str], gone: Iterable[str] = ()
) -> dict[str, Any]:
    """Return the document with `values` assigned by path, and the paths in `gone` taken out."""
    result = copy.deepcopy(document)
    for path, text in values.items():
        _put(shape, result, path, _value(_setting(shape, path), path, text))
    for path in gone:
        _setting(shape, path)
        holder, name = _holder(shape, result, path, make=False)
        holder.pop(name, None)
    return result


def added(shape: Shape, document: dict[str, Any], text: str) -> dict[str, Any]:
    """Return the document with an item added to a list: `LIST:NAME=VALUE,NAME=VALUE`."""
    name, colon, members = text.partition(":")
    if not colon or not any(path.startswith(f"{name}.*.") for path in shape.settings):
        lists = sorted({path.partition(".*.")[0] for path in shape.settings if ".*." in path})
        raise RequestError(
            f"{text!r} adds to no list: write LIST:NAME=VALUE,… with one of {', '.join(lists)}"
        )
    item: dict[str, Any] = {}
    for member in members.split(","):
        path, value = parse_assignment(member)
        item[path] = _value(_setting(shape, f"{name}.*.{path}"), f"{name}.{path}", value)
    result = copy.deepcopy(document)
    result.setdefault(name, []).append(item)
    return result


def _setting(shape: Shape, path: str) -> Setting:
    setting = shape.setting_at(path)
    if setting is None:
        near = difflib.get_close_matches(path, shape.settings, n=3)
        hint = f"; did you mean {', '.join(near)}" if near else ""
        raise RequestError(f"a {shape.kind} has no setting {path!r}{hint}")
    return setting


def _value(setting: Setting, path: str, text: str) -> Any:
    if setting.type == "boolean":
        if text.lower() not in _YES:
            raise RequestError(f"{path} is yes or no, not {text!r}")
        return _YES[text.lower()]
    if setting.type == "array":
        return [_scalar(setting.item_type, setting, path, part.strip()) for part in text.split(",")]
    return _scalar(setting.type, setting, path, text)


def _scalar(kind: str, setting: Setting, path: str, text: str) -> str | int | float:
    if kind not in {"number", "integer"}:
        return text
    try:
        number = float(text)
        finite = math.isfinite(number)
    except ValueError:
        finite = False
    if not finite:
        unit = f" in {setting.unit}" if setting.unit else ""
        raise RequestError(f"{path} is a number{unit}, not {text!r}")
    return int(number) if number.is_integer() else number


def _put(shape: Shape, document: dict[str, Any], path: str, value: Any) -> None:
    holder, name = _holder(shape, document, path, make=True)
    holder[name] = value


def _holder(shape: Shape, document: dict[str, Any], path: str, *, make: bool) -> tuple[dict[str, Any], str]:
    """Return the object that holds the setting, made where it is missing, and the setting's name in it."""
    node: dict[str, Any] = shape.schema
    value: dict[str, Any] = document
    parts = path.split(".")
    while len(parts) > 1:
        name = parts.pop(0)
        node = shape.resolve(node).get("properties", {}).get(name, {})
        item = shape.item(shape.resolve(node))
        if item is None:
            value = value.setdefault(name, {}) if make else value.get(name, {})
            continue
        key = shape.resolve(node).get("x-key", "")
        held = value.get(name, [])
        wanted = parts.pop(0)
        node = item
        for each_name, each in named_items(held, key):
            if each_name == wanted:
                value = each
                break
        else:
            raise RequestError(f"{name} has no {wanted!r} to set in {path}: edit the record to add one")
    return value, parts[0]
