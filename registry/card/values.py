"""A record's values as a card says them: label, text and unit, from the one line that defines the setting."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from registry.derived import laid_upwards
from registry.model.shape import Found, Setting, shape_of
from registry.model.units import shown

__all__ = ["FULLER", "UNKNOWN", "Entry", "entry", "groups", "quantity", "said"]

UNKNOWN = "not recorded"

_HASH = re.compile(r"[0-9a-f]{64}")
_EXPECTED = frozenset({"heat.web_centre_c", "heat.web_edge_c", "heat.web_edge_hot_c"})
"""What the operator measures, not enters; so is whatever neither operator nor machine acts on."""
FULLER = {"layers.*.load_pct": "ink {}", "colour.linearised": "profile: {}"}
"""Labels that need a word more on a card: there a roll is loaded too, and a machine linearised for itself."""

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


@dataclass(frozen=True, slots=True)
class Entry:
    """One value on the card."""

    path: str
    label: str
    text: str
    """The value without its unit, as printed."""
    unit: str
    value: Any
    """The value as recorded, or as converted where US units are asked for."""
    expected: bool = False
    """To be seen on the machine, not entered."""
    own: str = ""
    """What the named machine uses instead."""
    checksum: bool = False
    """Whether it is compared by a program, and not read by anyone."""


def entry(found: Found, units: str, *, own: str = "") -> Entry:
    """Return one value as the card says it."""
    setting = found.setting
    value, unit = _converted(found.value, setting.unit, units)
    return Entry(
        path=found.path,
        label=FULLER.get(setting.path, "{}").format(setting.label),
        text=_text(value, unit, converted=unit != setting.unit),
        unit=unit,
        value=value,
        expected=setting.aside or setting.path in _EXPECTED,
        own=own,
        checksum=isinstance(value, str) and _HASH.fullmatch(value) is not None,
    )


def quantity(value: float, unit: str, units: str) -> str:
    """Return a number with its unit, in the units asked for."""
    converted, into = shown(value, unit, units)
    return f"{_text(converted, into, converted=into != unit)} {into}".strip()


def said(kind: str, document: dict[str, Any], path: str, units: str) -> str:
    """Return what a record says at a path, with its unit, or that it is not recorded."""
    found = shape_of(kind).flatten(document).get(path)
    if found is None:
        return UNKNOWN
    value = entry(found, units)
    return f"{value.text} {value.unit}".strip()


def groups(
    kind: str, document: dict[str, Any], units: str, *, skip: frozenset[str], own: dict[str, Entry]
) -> list[dict[str, Any]]:
    """Return every group of settings in the model's order, which is the order of entry.

    A group holds `path`, `label`, `entries`, `items` (of a list, such as the layers: `name` and `entries`)
    and `unrecorded` (labels). Layers stand as they are laid, which depends on the side that is printed. A
    group of which neither operator nor machine acts on any member, or that nobody misses, is left out.
    """
    shape = shape_of(kind)
    by_top: dict[str, list[Setting]] = {}
    for setting in shape.written.values():
        by_top.setdefault(setting.path.partition(".")[0], []).append(setting)
    found = shape.flatten(document)
    laid = laid_upwards(document) if kind == "print-mode" else []
    told = (
        _group(top, settings, found, units, own=own, laid=laid if top == "layers" else ())
        for top, settings in by_top.items()
        if top not in skip and not all(setting.aside for setting in settings)
    )
    return [group for group in told if group["entries"] or group["items"] or group["unrecorded"]]


def _group(
    top: str,
    settings: list[Setting],
    found: dict[str, Found],
    units: str,
    *,
    own: dict[str, Entry],
    laid: Sequence[int],
) -> dict[str, Any]:
    mine = [value for path, value in found.items() if path.partition(".")[0] == top]
    items: dict[str, list[Found]] = {}
    entries: list[dict[str, Any]] = []
    for value in mine:
        if name := _item_name(value):
            items.setdefault(name, []).append(value)
        else:
            instead = own.get(value.setting.path.rpartition(".")[2])
            text = f"{instead.text} {instead.unit}".strip() if instead else ""
            entries.append(asdict(entry(value, units, own=text)))
    ordered = [list(items.items())[place] for place in laid or range(len(items))]
    names = {key: _called(key, number, of_layers=len(laid)) for number, (key, _) in enumerate(ordered, 1)}
    return {
        "path": top,
        "label": settings[0].group or settings[0].label,
        "entries": [each for each in entries if not each["expected"]]
        + [each for each in entries if each["expected"]],
        "items": [
            {"name": names[key], "entries": [asdict(entry(f, units)) for f in held[1:]]}
            for key, held in ordered
        ],
        "unrecorded": list(_unrecorded(settings, mine, dict(ordered), names)),
    }


def _called(key: str, number: int, *, of_layers: int) -> str:
    """Return what an item of a list is called: of several layers, when it is laid."""
    what = key.partition("#")[0]
    return f"{what}, laid {_ORDINALS[number - 1]}" if of_layers > 1 else f"{number} {what}"


def _item_name(found: Found) -> str:
    """Return the name of the list item that a value belongs to, or nothing where it belongs to none."""
    before, star, after = found.setting.path.partition("*")
    return found.path[len(before) : len(found.path) - len(after)] if star else ""


def _unrecorded(
    settings: list[Setting], mine: list[Found], items: dict[str, list[Found]], names: Mapping[str, str]
) -> Iterator[str]:
    held = [value.setting.path for value in mine]
    for setting in settings:
        if setting.optional:
            continue
        if "*" not in setting.path:
            if setting.path not in held:
                yield setting.label
            continue
        lacking = [
            names[key]
            for key, values in items.items()
            if setting.path not in [value.setting.path for value in values]
        ]
        if not items or len(lacking) == len(items):
            yield setting.label
        elif lacking:
            yield f"{setting.label} ({', '.join(lacking)})"


def _converted(value: Any, unit: str, units: str) -> tuple[Any, str]:
    if isinstance(value, list):
        converted = [_converted(each, unit, units) for each in value]
        return [each for each, _ in converted], converted[0][1] if converted else unit
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value, unit
    return shown(value, unit, units)


def _text(value: Any, unit: str, *, converted: bool) -> str:
    if isinstance(value, list):
        return ", ".join(_text(each, unit, converted=converted) for each in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return _number(value, unit, converted=converted)
    text = str(value)
    if _HASH.fullmatch(text):
        return f"{text[:12]}…"
    return text.replace("x", "×") if unit == "dpi" else text


def _number(value: float, unit: str, *, converted: bool) -> str:
    """Return a number without an exponent: as recorded, or converted to whole °F or three digits."""
    if converted:
        value = round(value) if unit == "°F" else float(f"{value:.3g}")
    return f"{value:.9f}".rstrip("0").rstrip(".").replace("-", "−")
