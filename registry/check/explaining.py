"""The careful explanation of a record that does not fit its schema; loaded only when there is one."""

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator, ValidationError

from registry.canonical import join_pointer
from registry.check.checked import Document
from registry.check.finding import Remark
from registry.check.pointing import node_at
from registry.check.saying import listed, meant, quantity, shown
from registry.model.shape import Setting, shape_of

__all__ = ["FORMS", "explained"]

FORMS: dict[str, str] = {
    "date": "a day of the calendar, such as 2026-03-01",
    "date-time": "a moment with its offset, such as 2026-03-01T09:30:00+01:00",
    "^[a-z0-9][a-z0-9-]*$": "an id of a-z, 0-9 and -, such as harbour-yard",
    "^[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*$": "two ids with / between, such as mill-lane/wide-2",
    "^[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*$": (
        "maker, grade and mode with / between, such as lumenfold/dayfilm-210/backlit-16"
    ),
    r"^[a-z0-9][a-z0-9-]*\.(txt|icc)$": "a file name of a-z, 0-9 and - that ends in .txt or .icc",
    "^[0-9a-f]{64}$": "64 digits 0-9 a-f, as sha256sum prints them",
    "^[1-9][0-9]{1,3}x[1-9][0-9]{1,3}$": "dots per inch across and along, such as 720x720",
    "^[a-z][a-z0-9_.-]*$": "the path of a setting, such as light.transmittance_pct",
    r"^\^[A-Za-z0-9 ,./_-]{0,60}$": "^ and up to 60 plain characters, such as ^B-s1",
    "^/(substrate|mode|printer|application|display)(/[a-z0-9_-]{1,60}){1,8}$": (
        "a pointer into substrate, mode, printer, application or display, such as /substrate/coating"
    ),
}
"""What a format or pattern means, in words."""

_TYPES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "array": "a list in [ ]",
    "object": "a group of members in { }",
}
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_BOOLEAN = re.compile("true|false")
_COUNTED = {
    "minLength": ("characters", "minLength", "maxLength"),
    "maxLength": ("characters", "minLength", "maxLength"),
    "minItems": ("entries", "minItems", "maxItems"),
    "maxItems": ("entries", "minItems", "maxItems"),
    "minProperties": ("members", "minProperties", "maxProperties"),
    "maxProperties": ("members", "minProperties", "maxProperties"),
}


def explained(document: Document, *, partial: bool = False) -> list[Remark]:
    """Explain every fault of a record that does not fit its schema; that a partial one lacks much is none."""
    told: dict[tuple[str, str], Remark] = {}
    for error in _validator(document.kind).iter_errors(document.content):
        if partial and error.validator == "required":
            continue
        # A day that does not exist is against its format and perhaps its pattern too: one fault.
        keyword = "form" if error.validator in {"format", "pattern"} else str(error.validator)
        for remark in _Fault(document, error).remarks():
            told.setdefault((remark.pointer, keyword), remark)
    if not told:
        raise RuntimeError(f"{document.path}: one schema reader refuses what another accepts")
    return list(told.values())


@cache
def _validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(shape_of(kind).schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


class _Fault:
    """One error of the schema reader, on its way to being understood."""

    def __init__(self, document: Document, error: ValidationError) -> None:
        self.document = document
        self.parts = tuple(str(part) for part in error.absolute_path)
        self.value: Any = error.instance
        self.keyword = str(error.validator)
        self.node: dict[str, Any] = dict(error.schema) if isinstance(error.schema, dict) else {}
        self.in_key = "propertyNames" in error.absolute_schema_path

    def remarks(self) -> Iterator[Remark]:
        """Say what is wrong."""
        if self.keyword == "additionalProperties":
            yield from self._unknown()
        elif self.keyword == "required":
            yield from self._missing()
        else:
            say = _SAYINGS.get(self.keyword) or _Fault._counted
            yield say(self)

    def _unknown(self) -> Iterator[Remark]:
        known = list(self.node.get("properties", ()))
        for name in self.value:
            if name not in known:
                yield self._remark(
                    f"{shown(name)} is no member of {self._holder()}",
                    meant(name, known) or "remove it, or use one of the members allowed",
                    allowed=listed(known),
                    parts=(*self.parts, name),
                )

    def _missing(self) -> Iterator[Remark]:
        for name in self.node["required"]:
            if name not in self.value:
                node = self.document.shape.resolve(self.node["properties"][name])
                label = node.get("title", name)
                yield self._remark(
                    f"{label!r} is missing from {self._holder()}",
                    f"add {shown(name)}",
                    found="nothing",
                    allowed=_allowed(node, self._unit(node)),
                    parts=(*self.parts, name),
                )

    def _type(self) -> Remark:
        return self._remark(
            f"{self._label()} is of the wrong type",
            "write it without quotes" if self._quoted() else "write a value of that type",
            found=shown(self.value),
            allowed=_allowed(self.node, self._unit(self.node)),
        )

    def _quoted(self) -> bool:
        """Whether the value is of the right type but for the quotes around it."""
        plain = {"number": _NUMBER, "integer": _NUMBER, "boolean": _BOOLEAN}.get(str(self.node.get("type")))
        return isinstance(self.value, str) and plain is not None and bool(plain.fullmatch(self.value))

    def _words(self) -> Remark:
        words = self.node.get("enum", [self.node.get("const")])
        return self._remark(
            f"{self._label()} is none of its words",
            meant(self.value, map(str, words)) or "choose one of them",
            found=shown(self.value),
            allowed=listed(words),
        )

    def _range(self) -> Remark:
        unit = self._unit(self.node)
        remedy = f"give the value in {unit}, within the range" if unit else "give a value within the range"
        return self._remark(
            f"{self._label()} is out of range",
            remedy,
            found=shown(self.value, unit),
            allowed=_range(self.node, unit),
        )

    def _form(self) -> Remark:
        what = f"the key {shown(self.value)}" if self.in_key else self._label()
        parts = (*self.parts, str(self.value)) if self.in_key else self.parts
        return self._remark(
            f"{what} is not written as it must be",
            "write it in that form",
            found=shown(self.value),
            allowed=_form(self.node),
            parts=parts,
        )

    def _counted(self) -> Remark:
        noun, low, high = _COUNTED[self.keyword]
        least, most = self.node.get(low, 0), self.node.get(high)
        size = len(self.value)
        allowed = (
            f"{least}" if least == most else f"at least {least}" if most is None else f"{least} to {most}"
        )
        return self._remark(
            f"{self._label()} is too {'short' if size < least else 'long'}",
            "put something there, or remove the member" if size < least else "shorten it",
            found=f"{size} {noun}",
            allowed=f"{allowed} {noun}",
        )

    def _remark(
        self,
        message: str,
        remedy: str,
        *,
        found: str = "",
        allowed: str,
        parts: tuple[str, ...] | None = None,
    ) -> Remark:
        pointer = join_pointer(self.parts if parts is None else parts)
        return self.document.remark(pointer, message, remedy, found=found, allowed=allowed)

    def _setting(self) -> Setting | None:
        shape = self.document.shape
        path = ".".join(self.parts)
        # An entry of a list of plain values has no setting of its own; its list has.
        return shape.setting_at(path) or shape.setting_at(path.rpartition(".")[0])

    def _label(self) -> str:
        if setting := self._setting():
            return repr(setting.label)
        node = node_at(self.document.shape, self.parts) or {}
        return repr(node.get("title", ".".join(self.parts)))

    def _unit(self, node: dict[str, Any]) -> str:
        setting = self._setting()
        return str(node.get("x-unit") or (setting.unit if setting else ""))

    def _holder(self) -> str:
        return f"{'.'.join(self.parts)!r}" if self.parts else f"the {self.document.kind}"


_SAYINGS: dict[str, Callable[[_Fault], Remark]] = {
    "type": _Fault._type,  # noqa: SLF001 (its own module)
    "enum": _Fault._words,  # noqa: SLF001
    "const": _Fault._words,  # noqa: SLF001
    "minimum": _Fault._range,  # noqa: SLF001
    "maximum": _Fault._range,  # noqa: SLF001
    "exclusiveMinimum": _Fault._range,  # noqa: SLF001
    "exclusiveMaximum": _Fault._range,  # noqa: SLF001
    "pattern": _Fault._form,  # noqa: SLF001
    "format": _Fault._form,  # noqa: SLF001
}


def _allowed(node: dict[str, Any], unit: str) -> str:
    """Say what a value of this schema may be."""
    if "enum" in node or "const" in node:
        return listed(node.get("enum", [node.get("const")]))
    kinds = node.get("type", "object")
    if kinds in ("number", "integer"):
        bounds = _range(node, unit)
        return f"{_TYPES[kinds]}, {bounds}" if bounds else f"{_TYPES[kinds]} {unit and f'in {unit}'}".rstrip()
    if kinds == "string" and ("pattern" in node or "format" in node):
        return _form(node)
    return _TYPES[kinds] if isinstance(kinds, str) else " or ".join(_TYPES[kind] for kind in kinds)


def _range(node: dict[str, Any], unit: str) -> str:
    low, above = node.get("minimum"), node.get("exclusiveMinimum")
    high, below = node.get("maximum"), node.get("exclusiveMaximum")
    if low is not None and high is not None:
        return f"from {quantity(low)} to {quantity(high, unit)}"
    ends = (("at least", low), ("above", above), ("at most", high), ("below", below))
    return " and ".join(f"{word} {quantity(end, unit)}" for word, end in ends if end is not None)


def _form(node: dict[str, Any]) -> str:
    key = node.get("format", node.get("pattern", ""))
    return FORMS.get(key, f"text that matches {key}")
