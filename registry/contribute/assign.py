"""Assign settings by path, as people type them: `heat.cure_c=98`, `layers.colour.load_pct=210`."""

import copy
import difflib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from registry.errors import RequestError
from registry.model.forms import now_called
from registry.model.kinds import a_kind
from registry.model.shape import ANY, Setting, Shape, named_items
from registry.model.typed import NoNumber, typed_number

__all__ = ["added", "assigned", "assignments", "parse_assignment", "timed"]

_YES = {"yes": True, "true": True, "no": False, "false": False}
_FILLED_IN = frozenset(["$schema", "revision", "reason", "recorded"])
"""What every contribution has filled in for it."""
_SENTENCES = frozenset(["cautions", "notes"])
"""Lists of sentences, which hold commas: a text given for one is one entry."""
_FEW = 6
_EXAMPLE = "heat.cure_c=98"


def assignments(texts: Iterable[str], example: str = _EXAMPLE) -> dict[str, str]:
    """Return what was typed as PATH=VALUE, by path."""
    given: dict[str, str] = {}
    for path, value in (parse_assignment(text, example) for text in texts):
        if path in given:
            raise RequestError(f"{path} is given twice: leave one of them out")
        given[path] = value
    return given


def parse_assignment(text: str, example: str = _EXAMPLE) -> tuple[str, str]:
    """Return path and value of `PATH=VALUE`; `example` is one to tell who writes no such thing.

    >>> parse_assignment("heat.cure_c = 98")
    ('heat.cure_c', '98')
    """
    path, equals, value = text.partition("=")
    if not equals or not path.strip() or not value.strip():
        raise RequestError(f"{text!r} is no assignment: write PATH=VALUE, such as {example}")
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
    """Return the document with `values` assigned by path, and the paths in `gone` taken out.

    A path of what is to be gone may also be that of a whole group, or of one entry of a list or a mapping.
    """
    result = copy.deepcopy(document)
    for path, text in values.items():
        _put(shape, result, path, _value(_setting(shape, path), path, text))
    for path in gone:
        _take_out(shape, result, path)
    return result


def added(shape: Shape, document: dict[str, Any], text: str) -> dict[str, Any]:
    """Return the document with an item added to a list: `LIST:NAME=VALUE,NAME=VALUE`, or `LIST:TEXT`."""
    name, colon, given = text.partition(":")
    members = {path.removeprefix(f"{name}.*.") for path in shape.written if path.startswith(f"{name}.*.")}
    is_list = shape.resolve(shape.schema["properties"].get(name, {})).get("type") == "array"
    if not colon or not given or not is_list:
        raise RequestError(_no_list(shape, text))
    result = copy.deepcopy(document)
    if not members:
        setting = _setting(shape, name)
        result.setdefault(name, []).append(_scalar(setting.item_type, setting, name, given.strip()))
        return result
    item: dict[str, Any] = {}
    # A comma parts two members only where the next one begins: a text may hold commas.
    for member in re.split(rf",(?= *(?:{'|'.join(map(re.escape, sorted(members)))}) *=)", given):
        path, value = parse_assignment(member)
        item[path] = _value(_setting(shape, f"{name}.*.{path}"), f"{name}.{path}", value)
    result.setdefault(name, []).append(item)
    return result


def _no_list(shape: Shape, text: str) -> str:
    tops = shape.schema["properties"].items()
    lists = [name for name, node in tops if shape.resolve(node).get("type") == "array"]
    return f"{text!r} adds to no list: write LIST:NAME=VALUE,… or LIST:TEXT with one of {', '.join(lists)}"


def _setting(shape: Shape, path: str) -> Setting:
    if path.partition(".")[0] in _FILLED_IN:
        raise RequestError(f"{path} is not for you to set: litstock fills in revision, reason and recorded")
    setting = shape.setting_at(path)
    if setting is None:
        raise RequestError(f"{a_kind(shape.kind)} has no setting {path!r}{_meant(shape, path)}")
    if setting.retired:
        raise RequestError(f"{path} is not written any more: {setting.meaning}")
    return setting


def _meant(shape: Shape, path: str) -> str:
    """Return which settings may have been meant; of a group or a list, those that are in it."""
    if (now := now_called(shape.kind, path)) != path:
        return f": it is called {now} now"
    within = [each for each in shape.written if each.startswith(f"{path}.")]
    if within:
        more = ", …" if len(within) > _FEW else ""
        named = ", ".join(each.replace(ANY, "NAME") for each in within[:_FEW])
        return f" of its own: it holds {named}{more}"
    near = difflib.get_close_matches(path, shape.written, n=3)
    return f"; did you mean {', '.join(near)}" if near else ""


def _value(setting: Setting, path: str, text: str) -> Any:
    if setting.type == "boolean":
        if text.lower() not in _YES:
            raise RequestError(f"{path} is yes or no, not {text!r}")
        return _YES[text.lower()]
    if setting.path in _SENTENCES:
        return [text]
    if setting.type == "array":
        return [_scalar(setting.item_type, setting, path, part.strip()) for part in text.split(",")]
    return _scalar(setting.type, setting, path, text)


def _scalar(kind: str, setting: Setting, path: str, text: str) -> str | int | float:
    if kind not in {"number", "integer"}:
        return next((word for word in setting.words if word.casefold() == text.casefold()), text)
    try:
        return typed_number(text)
    except NoNumber as error:
        raise RequestError(error.words(path, setting.unit)) from None


def _put(shape: Shape, document: dict[str, Any], path: str, value: Any) -> None:
    *above, name = path.split(".")
    _reach(shape, document, above, make=True)[0][name] = value


def _take_out(shape: Shape, document: dict[str, Any], path: str) -> None:
    *above, name = path.split(".")
    if not any(_begins(template, (*above, name)) for template in shape.settings):
        _setting(shape, path)  # says why not
    holder, key = _reach(shape, document, above, make=False)
    if isinstance(holder, list):
        holder.remove(_named(holder, key, name, path))
    else:
        holder.pop(name, None)


def _begins(template: str, parts: Sequence[str]) -> bool:
    """Whether a setting is, or lies within, what these parts name; what is filled in is nobody's to name."""
    wanted = template.split(".")[: len(parts)]
    fits = len(wanted) == len(parts) and all(w in (ANY, p) for w, p in zip(wanted, parts, strict=True))
    return fits and parts[0] not in _FILLED_IN


def _reach(shape: Shape, document: dict[str, Any], parts: Sequence[str], *, make: bool) -> tuple[Any, str]:
    """Return the group, mapping or list at the end of the parts, and the key that tells a list's items apart.

    What is missing on the way is made, or taken for empty.
    """
    value: Any = document
    node = shape.resolve(shape.schema)
    for part in parts:
        if isinstance(value, list):
            value = _named(value, node.get("x-key", ""), part, ".".join(parts))
            node = shape.resolve(node["items"])
            continue
        below = node.get("properties", {}).get(part) or node.get("additionalProperties") or {}
        node = shape.resolve(below)
        empty: Any = [] if node.get("type") == "array" else {}
        value = value.setdefault(part, empty) if make else value.get(part, empty)
    return value, node.get("x-key", "")


def _named(held: list[Any], key: str, name: str, path: str) -> Any:
    for each_name, each in named_items(held, key):
        if each_name == name:
            return each
    add = f" with --add {path.partition('.')[0]}:{key}={name},…" if key else ""
    raise RequestError(f"there is no {name!r} in {path}: add one first{add}")
