"""What the shipped schema says of each setting; read by every question, without pydantic.

A setting's path is what people type: `heat.cure_c`, `layers.colour.load_pct`. The items of a list that have
a key are named by it (a second one with the same key gets `#2`), so that order and form never show.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from registry.model.forms import first
from registry.model.schemas import schema_for

__all__ = ["ANY", "Found", "Setting", "Shape", "named_items", "shape_of"]

ANY = "*"


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting, as its one line in a model defines it."""

    path: str
    """Path with `*` where a list item's key or a mapping's key stands."""
    label: str
    group: str
    """Label of the top-level part that it belongs to; empty for those that stand alone."""
    meaning: str = ""
    unit: str = ""
    effect: str = "none"
    """Effect on colour: direct, indirect or none."""
    scope: str = "model"
    """Whose value it is: model, unit or roll."""
    type: str = "string"
    item_type: str = ""
    """Type of the items of an array."""
    words: tuple[str, ...] = ()
    scale: str = ""
    refers: str = ""
    aside: bool = False
    """Kept out of the settings digest: neither operator nor machine acts on it."""
    identity: bool = False
    safety: bool = False
    """Where a place demands it, what is unknown is not offered: it can hurt someone or break the law."""
    optional: bool = False
    """Given only where it applies: a record without it leaves nothing open."""
    retired: int = 0
    """The schema version since which it is no longer written; 0 for none."""
    format: str = ""
    """JSON Schema's format of a text: date or date-time."""
    minimum: float | None = None
    maximum: float | None = None
    usual: tuple[dict[str, Any], ...] = ()
    """How well it is known where nobody says better (registry/model/usual.py)."""

    @property
    def numeric(self) -> bool:
        """Whether its values are numbers."""
        return self.type in {"number", "integer"}

    @property
    def descriptive(self) -> bool:
        """Whether it says what a thing is like: no name, nothing said aside, nothing of a list's entry."""
        return not (self.aside or self.identity or self.retired or ANY in self.path)


@dataclass(frozen=True, slots=True)
class Found:
    """One value of a document, at its concrete path."""

    path: str
    label: str
    """The setting's label, with the key of the list item it belongs to."""
    setting: Setting
    value: Any
    place: tuple[str, ...]
    """Where it stands in the document: the parts of its JSON pointer."""


class Shape:
    """The settings of one record kind, in the model's order."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self.schema = schema
        self.kind: str = schema["title"]
        self._resolved: dict[int, dict[str, Any]] = {}  # by identity: the schema keeps its nodes alive

    @cached_property
    def settings(self) -> dict[str, Setting]:
        """Every setting by its path; where a part may hold itself, one level of it."""
        return {setting.path: setting for setting in self._settings(self.schema, (), None, ())}

    @cached_property
    def written(self) -> dict[str, Setting]:
        """Every setting that a record may still be given, by its path."""
        return {path: setting for path, setting in self.settings.items() if not setting.retired}

    def flatten(self, document: dict[str, Any]) -> dict[str, Found]:
        """Return every value that the document holds, by concrete path, in the model's order."""
        return {found.path: found for found in self._values(self.schema, document, (), (), None)}

    def setting_at(self, path: str) -> Setting | None:
        """Return the setting of a concrete path or of a path with `*`, or None where there is none."""
        if path in self.settings:
            return self.settings[path]
        parts = path.split(".")
        for template, setting in self.settings.items():
            wanted = template.split(".")
            if len(wanted) == len(parts) and all(w in (ANY, p) for w, p in zip(wanted, parts, strict=True)):
                return setting
        return None

    def settings_only(self, document: dict[str, Any]) -> dict[str, Any]:
        """Return the part of the document that operator and machine act on: the digest form's content."""
        result: dict[str, Any] = self._kept(self.schema, document)
        return result

    def digest(self, document: dict[str, Any]) -> str:
        """Return the SHA-256 that identifies the document's settings, whatever they are called by now."""
        from registry import canonical  # noqa: PLC0415 (only who needs digests pays for it)

        return canonical.digest(first(self.kind, self.settings_only(document)))

    def resolve(self, node: dict[str, Any]) -> dict[str, Any]:
        """Return the node with its reference, if it has one, followed."""
        if "$ref" not in node:
            return node
        if id(node) not in self._resolved:
            target = self.schema["$defs"][node["$ref"].removeprefix("#/$defs/")]
            self._resolved[id(node)] = {**target, **node}
        return self._resolved[id(node)]

    def _settings(
        self, node: dict[str, Any], parts: tuple[str, ...], parent: Setting | None, within: tuple[str, ...]
    ) -> Iterator[Setting]:
        reference = node.get("$ref", "")
        if reference and reference in within:
            return
        node = self.resolve(node)
        within = (*within, reference) if reference else within
        for name, below in node.get("properties", {}).items():
            setting = self._setting(below, (*parts, name), parent)
            inner = self.resolve(below)
            if _is_group(inner):
                yield from self._settings(below, (*parts, name), setting, within)
            elif item := self.item(inner):
                yield from self._settings(item, (*parts, name, ANY), setting, within)
            else:
                yield setting

    def item(self, node: dict[str, Any]) -> dict[str, Any] | None:
        """Return the schema of a list's or mapping's items where they are groups of settings."""
        item = node.get("items") if node.get("type") == "array" else node.get("additionalProperties")
        return item if isinstance(item, dict) and _is_group(self.resolve(item)) else None

    def _setting(self, node: dict[str, Any], parts: tuple[str, ...], parent: Setting | None) -> Setting:
        inner = self.resolve(node)
        item = inner.get("items", {})
        bounds = item | inner  # of a list, those of its items
        kind = inner.get("type", "string")
        return Setting(
            path=".".join(parts),
            label=inner.get("title", parts[-1]),
            group=(parent.group or parent.label) if parent else "",
            meaning=inner.get("description", ""),
            unit=inner.get("x-unit", ""),
            effect=inner.get("x-effect", "none"),
            scope=inner.get("x-scope", "model"),
            type=kind if isinstance(kind, str) else "scalar",
            item_type=item.get("type", "") if isinstance(item.get("type", ""), str) else "scalar",
            words=_words(inner) or _words(item),
            scale=inner.get("x-scale", ""),
            refers=inner.get("x-refers", ""),
            aside=inner.get("x-aside", False) or bool(parent and parent.aside),
            identity=inner.get("x-identity", False),
            safety=inner.get("x-safety", False),
            optional=inner.get("x-optional", False) or bool(parent and parent.optional),
            retired=inner.get("x-retired", 0) or (parent.retired if parent else 0),
            format=inner.get("format", ""),
            minimum=bounds.get("minimum", bounds.get("exclusiveMinimum")),
            maximum=bounds.get("maximum", bounds.get("exclusiveMaximum")),
            usual=tuple(inner.get("x-usual", ())),
        )

    def _values(
        self,
        node: dict[str, Any],
        value: dict[str, Any],
        path: tuple[tuple[str, str, str], ...],
        keys: tuple[str, ...],
        parent: Setting | None,
    ) -> Iterator[Found]:
        """Yield the values; each part of a path as people, settings and pointers name it."""
        for name, below in self.resolve(node).get("properties", {}).items():
            if name not in value:
                continue
            here = (*path, (name, name, name))
            held = value[name]
            setting = self._setting(below, tuple(part for _, part, _ in here), parent)
            inner = self.resolve(below)
            if _is_group(inner) and isinstance(held, dict):
                yield from self._values(below, held, here, keys, setting)
            elif (item := self.item(inner)) and isinstance(held, (list, dict)):
                for number, (key, each) in enumerate(named_items(held, inner.get("x-key", ""))):
                    if isinstance(each, dict):
                        part = key if isinstance(held, dict) else str(number)
                        yield from self._values(item, each, (*here, (key, ANY, part)), (*keys, key), setting)
            else:
                label = ", ".join(filter(None, (setting.label, *keys)))  # the whole record has an empty key
                names, place = ".".join(part for part, _, _ in here), tuple(part for _, _, part in here)
                yield Found(names, label, setting, held, place)

    def _kept(self, node: dict[str, Any], value: Any) -> Any:
        node = self.resolve(node)
        if isinstance(value, list):
            return [self._kept(node.get("items", {}), each) for each in value]
        if not isinstance(value, dict):
            return value
        properties = node.get("properties", {})
        other = node.get("additionalProperties")
        other = other if isinstance(other, dict) else {}
        kept = {}
        for name, each in value.items():
            below = self.resolve(properties.get(name, other))
            if not below.get("x-aside"):
                kept[name] = self._kept(below, each) if isinstance(each, (dict, list)) else each
        return kept


def named_items(held: list[Any] | dict[str, Any], key: str) -> Iterator[tuple[str, Any]]:
    """Yield the items with their names: the key, with `#2` for the second of that key, or 1, 2, 3."""
    if isinstance(held, dict):
        yield from held.items()
        return
    seen: dict[str, int] = {}
    for number, each in enumerate(held, 1):
        name = str(each.get(key, number)) if key and isinstance(each, dict) else str(number)
        seen[name] = seen.get(name, 0) + 1
        yield (name if seen[name] == 1 else f"{name}#{seen[name]}"), each


def _is_group(node: dict[str, Any]) -> bool:
    return "properties" in node


def _words(node: dict[str, Any]) -> tuple[str, ...]:
    return tuple(node.get("enum", ())) or ((node["const"],) if "const" in node else ())


@cache
def shape_of(kind: str) -> Shape:
    """Return the settings of a record kind, from the shipped schema."""
    return Shape(schema_for(kind))
