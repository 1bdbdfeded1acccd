"""Every setting that can be asked for by path: of mode, substrate or printer; computed ones too."""

from collections.abc import Iterator
from functools import cache
from typing import Any, NamedTuple

from registry.derived import DERIVED
from registry.errors import RequestError
from registry.lit.quantities import quantity
from registry.model.fire import standard_of
from registry.model.forms import now_called
from registry.model.scales import SCALES
from registry.model.shape import ANY, Setting, Shape, shape_of

__all__ = ["SIDES", "Known", "UnknownSetting", "askable", "known", "known_of", "spelled"]

SIDES = {"mode": "print-mode", "substrate": "substrate", "printer": "printer"}
"""The records of a pair, by the word for each; where a path fits several, in this order."""

_UNASKED = ("$schema", "sources.")
_YES_NO = ("yes", "no")


class UnknownSetting(RequestError):
    """No setting is called so."""


class Known(NamedTuple):
    """What is known of one setting that can be asked for."""

    of: str
    """mode, substrate or printer."""
    path: str
    label: str
    unit: str = ""
    sort: str = "text"
    """number, scale, word, day or text."""
    scale: str = ""
    words: tuple[str, ...] = ()
    """What it may say; of a scale, worst first."""
    safety: bool = False
    """Where a place demands it, what is unknown is not offered."""

    @property
    def fire(self) -> str:
        """The standard of which it is a fire class; empty where it is none."""
        return standard_of(self.scale)


def known(text: str) -> Known:
    """Return the setting that a path means; it may name its side, as `substrate:finishing.needed` does."""
    side, colon, path = text.partition(":")
    if not colon:
        side, path = "", text
    elif side not in SIDES:
        raise UnknownSetting(
            f"{text!r} begins with {side!r}: write {', '.join(f'{each}:' for each in SIDES)}"
        )
    for of in (side,) if side else SIDES:
        if found := known_of(of, path):
            return found
    raise UnknownSetting(_unknown(side, path))


def known_of(of: str, path: str) -> Known | None:
    """Return the setting at a path of one side, or None where there is none."""
    if of == "mode":
        for derived in DERIVED:
            if derived.path == path:
                sort = "scale" if derived.scale else "number" if derived.unit else "text"
                return Known(
                    of, path, derived.label, derived.unit, sort, derived.scale, SCALES.get(derived.scale, ())
                )
        if lit := quantity(path):
            return Known(of, path, f"{lit.label}, computed", lit.unit, "number")
    shape = shape_of(SIDES[of])
    setting = None if path.startswith(_UNASKED) else shape.setting_at(path)
    return _known(of, path, shape, setting) if setting else None


def askable(of: str) -> Iterator[str]:
    """Yield every path of one side that can be asked for."""
    if of == "mode":
        yield from (derived.path for derived in DERIVED)
    yield from (path for path in spelled(SIDES[of]) if not path.startswith(_UNASKED))


def spelled(kind: str) -> Iterator[str]:
    """Yield every path of a record kind as people type it; `*` stands where any name of an item may."""
    shape = shape_of(kind)
    for path in shape.settings:
        before, star, after = path.partition(ANY)
        names = _item_names(shape, before) if star else ()
        yield from (f"{before}{name}{after}" for name in names) if names else (path,)


def _known(of: str, path: str, shape: Shape, setting: Setting) -> Known | None:
    before, star, _ = setting.path.partition(ANY)
    name = path.removeprefix(before).partition(".")[0] if star else ""
    names = _item_names(shape, before) if star else ()
    if names and name != ANY and name.partition("#")[0] not in names:
        return None
    label = (
        setting.label if len(setting.label) > 4 or not setting.group else f"{setting.group}: {setting.label}"
    )
    label = f"{label}, {name}" if name.strip(ANY) else label
    scale = f"{setting.scale}.{name}" if setting.scale == "fire" else setting.scale
    if scale and scale not in SCALES:
        raise UnknownSetting(
            f"{path} must name the standard, such as {before}{names[0]}.rating: classes of "
            "different standards do not stand for each other"
        )
    words = SCALES.get(scale, ()) or (_YES_NO if setting.type == "boolean" else setting.words)
    sort = _sort(shape, setting, words, scale)
    return Known(of, path, label, setting.unit, sort, scale, words, safety=setting.safety)


def _sort(shape: Shape, setting: Setting, words: tuple[str, ...], scale: str) -> str:
    if scale:
        return "scale"
    if setting.numeric or setting.item_type in {"number", "integer"}:
        return "number"
    if words:
        return "word"
    return "day" if _node(shape, setting.path).get("format") == "date" else "text"


@cache
def _item_names(shape: Shape, before: str) -> tuple[str, ...]:
    """Return the names that items of the list at `before` (`layers.`) may have; nothing where any may be."""
    key = _node(shape, before.rstrip(".")).get("x-key", "")
    setting = shape.settings.get(f"{before}{ANY}.{key}")
    return setting.words if setting else ()


def _node(shape: Shape, path: str) -> dict[str, Any]:
    """Return the schema of what stands at a path."""
    node = shape.schema
    for part in path.split("."):
        node = shape.resolve(node)
        node = (shape.item(node) or {}) if part == ANY else node.get("properties", {}).get(part, {})
    return shape.resolve(node)


def _unknown(side: str, path: str) -> str:
    others = [of for of in SIDES if of != side and known_of(of, path)] if side else []
    if others:
        return f"no {side} has a setting {path!r}: it is the {others[0]}'s, write {others[0]}:{path}"
    for of in (side,) if side else SIDES:
        if (now := now_called(SIDES[of], path)) != path:
            return f"the {of}'s setting {path!r} is called {now} now"
    import difflib  # noqa: PLC0415 (only who has mistyped something pays for it)

    paths = [each for of in ((side,) if side else SIDES) for each in askable(of)]
    tail = path.rpartition(".")[2]
    near = difflib.get_close_matches(path, paths, n=3, cutoff=0.6)
    near = near or [each for each in paths if tail and tail in each.rpartition(".")[2]][:3]
    hint = f"; did you mean {', '.join(near)}" if near else "; press Tab after --where for what there is"
    return f"no {side or 'mode, substrate or printer'} has a setting {path!r}{hint}"
