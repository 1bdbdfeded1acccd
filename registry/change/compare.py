"""Compare two documents of one kind, setting by setting: the one comparator of keyed fields.

What a setting is called, its unit, its effect on colour and whose value it is all come from the shipped
schema. Items of a list are told apart by their key, so neither the order of keys nor a file's form shows;
where the order of a list is itself a setting (layers, finishing), a new order is a change of its own.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from registry.derived import DERIVED, Case, derive
from registry.model.shape import ANY, Found, Setting, Shape, named_items
from registry.model.units import shown

__all__ = ["BOOKKEEPING", "COMPUTED", "SettingChange", "compare", "in_units", "matching"]

BOOKKEEPING = ("$schema", "revision", "reason", "recorded.date", "recorded.site")
"""What every new revision changes; never a setting."""

COMPUTED = "computed"
"""The group of the values that stand in no record."""


@dataclass(frozen=True, slots=True)
class SettingChange:
    """One value that differs."""

    path: str
    """Concrete path, such as `layers.colour.load_pct`."""
    setting: str
    """Path of the setting, with `*` where a list item's key stands."""
    name: str
    """The setting's label."""
    label: str
    """The same, with the name of the list item that it belongs to."""
    group: str
    """Label of the part that it belongs to; empty for a setting that stands alone."""
    unit: str
    before: Any
    """None where it is unknown."""
    after: Any
    """None where it is unknown."""
    effect: str
    """Effect on colour: direct, indirect or none."""
    scope: str
    """Whose value it is: model, unit or roll."""
    aside: bool = False
    """Not a setting: neither operator nor machine acts on it."""
    how: str = ""
    """How it was computed; empty where it stands in the record."""
    item: Literal["", "added", "removed"] = ""
    """Whether the whole list item that it belongs to was added or removed."""

    @property
    def item_name(self) -> str:
        """The name of the list item that it belongs to; empty outside of lists."""
        return self.label.removeprefix(self.name).removeprefix(", ")

    @property
    def is_setting(self) -> bool:
        """Whether an operator or a machine acts on it: it stands in the record and is not aside."""
        return not (self.aside or self.how)

    @property
    def change(self) -> float | None:
        """By how much a number rose, in its unit; None where that cannot be said."""
        if _is_number(self.before) and _is_number(self.after):
            difference = round(float(self.after - self.before), 9)
            return int(difference) if difference.is_integer() else difference
        return None

    @property
    def change_pct(self) -> float | None:
        """By how many percent of what it was a number rose; None where zero is no natural zero."""
        difference = self.change
        if difference is None or self.before <= 0 or _zero_is_a_convention(self.unit):
            return None
        return round(100 * difference / float(self.before), 2)

    @property
    def added(self) -> tuple[Any, ...]:
        """What a list holds now and did not before."""
        return _beyond(self.after, self.before)

    @property
    def removed(self) -> tuple[Any, ...]:
        """What a list held before and does not now."""
        return _beyond(self.before, self.after)

    @property
    def reordered(self) -> bool:
        """Whether only the order of a list changed."""
        lists = isinstance(self.before, list) and isinstance(self.after, list)
        return lists and not self.added and not self.removed


def compare(
    shape: Shape,
    before: dict[str, Any],
    after: dict[str, Any],
    *,
    case_before: Case | None = None,
    case_after: Case | None = None,
) -> list[SettingChange]:
    """Return every value that differs, in the model's order; then the computed ones that differ.

    Computed values are compared where the cases (the mode with its substrate and printer) are given.
    """
    old, new = shape.flatten(before), shape.flatten(after)
    changes = [
        _changed(old.get(path), new.get(path))
        for path in {**old, **new}
        if not (path in old and path in new and _same(old[path].value, new[path].value))
    ]
    changes = _with_whole_items(changes, old, new)
    changes += _orders(shape, shape.schema, before, after, ())
    changes.sort(key=_model_order(shape, old, new))
    return changes + list(_computed(case_before or {}, case_after or {}))


def in_units(change: SettingChange, system: str) -> SettingChange:
    """Return the change with its values in the units of `system`."""
    before, unit = _converted(change.before, change.unit, system)
    after, unit = _converted(change.after, change.unit, system)
    return replace(change, before=before, after=after, unit=unit)


def matching(change: SettingChange, field: str) -> bool:
    """Whether a change is of the field meant: its path, the beginning of it, its label, or its group's."""
    labels = {each.casefold() for each in (change.label, change.name, change.group)}
    paths = (change.path, change.setting)
    return field.casefold() in labels or any(path == field or path.startswith(f"{field}.") for path in paths)


def _changed(old: Found | None, new: Found | None) -> SettingChange:
    found = new or old
    assert found is not None  # noqa: S101 (a path comes from one of the two)
    return _of(found.setting, found.path, found.label, old.value if old else None, new.value if new else None)


def _of(setting: Setting, path: str, label: str, before: Any, after: Any) -> SettingChange:
    return SettingChange(
        path=path,
        setting=setting.path,
        name=setting.label,
        label=label,
        group=setting.group,
        unit=setting.unit,
        before=before,
        after=after,
        effect=setting.effect,
        scope=setting.scope,
        aside=setting.aside,
    )


def _with_whole_items(
    changes: list[SettingChange], old: Mapping[str, Found], new: Mapping[str, Found]
) -> list[SettingChange]:
    """Mark the values of list items that were added or removed as a whole."""
    were, are = _items(old.values()), _items(new.values())
    return [
        replace(change, item="added" if item in are else "removed")
        if (item := _item(change.path, change.setting)) and (item in were) != (item in are)
        else change
        for change in changes
    ]


def _items(found: Iterable[Found]) -> set[str]:
    return {_item(each.path, each.setting.path) for each in found} - {""}


def _item(path: str, setting: str) -> str:
    """Return the concrete path of the list item that a value belongs to; empty where it belongs to none."""
    _, star, after = setting.partition(f".{ANY}")
    return path[: len(path) - len(after)] if star else ""


def _orders(
    shape: Shape, node: dict[str, Any], before: Any, after: Any, parts: tuple[str, ...]
) -> Iterator[SettingChange]:
    """Yield the keyed lists whose remaining items stand in another order."""
    for name, below in shape.resolve(node).get("properties", {}).items():
        if not (isinstance(before, dict) and isinstance(after, dict) and name in before and name in after):
            continue
        inner = shape.resolve(below)
        if "properties" in inner:
            yield from _orders(shape, below, before[name], after[name], (*parts, name))
        elif (key := inner.get("x-key")) and isinstance(before[name], list) and isinstance(after[name], list):
            old = [each for each, _ in named_items(before[name], key)]
            new = [each for each, _ in named_items(after[name], key)]
            if [each for each in old if each in new] != [each for each in new if each in old]:
                path = ".".join((*parts, name))
                yield SettingChange(
                    path=path,
                    setting=path,
                    name=f"order of {inner.get('title', name)}",
                    label=f"order of {inner.get('title', name)}",
                    group=inner.get("title", name),
                    unit="",
                    before=old,
                    after=new,
                    effect=inner.get("x-effect", "none"),
                    scope=inner.get("x-scope", "model"),
                    aside=inner.get("x-aside", False),
                )


def _model_order(
    shape: Shape, old: Mapping[str, Found], new: Mapping[str, Found]
) -> Callable[[SettingChange], tuple[int, int, int]]:
    """Return a sort key: the model's order of settings, list item by list item."""
    place = {template: number for number, template in enumerate(shape.settings)}
    start: dict[str, int] = {}
    for template, number in place.items():
        head, star, _ = template.partition(f".{ANY}")
        if star:
            start.setdefault(head, number)
    rank: dict[str, int] = {}
    for found in (*new.values(), *old.values()):
        rank.setdefault(_item(found.path, found.setting.path), len(rank))

    def key(change: SettingChange) -> tuple[int, int, int]:
        head = change.setting.partition(f".{ANY}")[0]
        own = place.get(change.setting, len(place) if head not in start else start[head])
        item = _item(change.path, change.setting)
        return start.get(head, own), rank.get(item, -1) if item else -1, own

    return key


def _computed(before: Case, after: Case) -> Iterator[SettingChange]:
    old, new = derive(before), derive(after)
    for derived in DERIVED:
        values = old.get(derived.path), new.get(derived.path)
        if not _same(*values):
            yield SettingChange(
                path=derived.path,
                setting=derived.path,
                name=derived.label,
                label=derived.label,
                group=COMPUTED,
                unit=derived.unit,
                before=values[0],
                after=values[1],
                effect=derived.effect,
                scope="model",
                how=derived.how,
            )


def _same(one: Any, other: Any) -> bool:
    """Whether two values are the same in a document: 16 is 16.0, and `true` is not 1."""
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and bool(one == other)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _zero_is_a_convention(unit: str) -> bool:
    return unit in {"°C", "°F"}


def _beyond(one: Any, other: Any) -> tuple[Any, ...]:
    """Return the members of one list that the other lacks, each as often as it is too many."""
    if not isinstance(one, list):
        return ()
    left = Counter(map(str, other)) if isinstance(other, list) else Counter()
    beyond = []
    for member in one:
        left[str(member)] -= 1
        if left[str(member)] < 0:
            beyond.append(member)
    return tuple(beyond)


def _converted(value: Any, unit: str, system: str) -> tuple[Any, str]:
    if isinstance(value, list):
        converted = [_converted(each, unit, system)[0] for each in value]
        return converted, shown(0, unit, system)[1]
    if _is_number(value):
        return shown(value, unit, system)
    return value, shown(0, unit, system)[1]
