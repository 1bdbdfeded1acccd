"""Rule: what an application or a display demands can be judged."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed, meant, shown
from registry.derived import DERIVED
from registry.lit.quantities import QUANTITIES, quantity
from registry.model.fire import is_demand, standard_of, written_so
from registry.model.scales import SCALES, rank
from registry.model.shape import shape_of

__all__ = ["demand_unclear"]

_KINDS = {"substrate": "substrate", "mode": "print-mode"}
_NUMERIC = {"number", "integer"}
_FIRE = "fire"
"""The setting's scale; there is one for each standard."""


class _Asked(NamedTuple):
    """What a demanded setting can be compared with."""

    numeric: bool
    scale: str
    words: tuple[str, ...]


@rule("demand-unclear", "error")
def demand_unclear(checked: Checked) -> Iterator[Remark]:
    """Each demand of an application or a display names a setting that exists, and bounds it once.

    A demand that cannot be judged is never met, and nothing would be found for that use any more. A range
    suits a number, a grade a setting with a scale, and words are words that the setting can be. How a print
    looks lit (lit.contrast and the like) is demanded of the mode.

    To mend: correct the setting's path, and give at_least and at_most, or grade, or one_of.
    """
    for document in (*checked.of("application"), *checked.of("display")):
        for number, demand in enumerate(document.content.get("demands", [])):
            pointer = f"/demands/{number}"
            asked = _asked(demand["of"], demand["setting"])
            if asked is None:
                known = _paths(demand["of"])
                yield document.remark(
                    f"{pointer}/setting",
                    f"a {demand['of']} has no such setting",
                    meant(demand["setting"], known) or "write the path of a setting",
                    found=shown(demand["setting"]),
                    allowed=f"such as {listed(known[:3])}",
                )
                continue
            for member, message, found, allowed in _bounds(demand, asked):
                yield document.remark(
                    pointer + (f"/{member}" if member else ""),
                    message,
                    "give one bound that suits the setting",
                    found=found,
                    allowed=allowed,
                )


def _bounds(demand: dict[str, Any], asked: _Asked) -> Iterator[tuple[str, str, str, str]]:
    """Yield member, message, what was found and what is allowed for everything wrong with the bounds."""
    numbers = [member for member in ("at_least", "at_most") if member in demand]
    sorts = [*numbers[:1], *(member for member in ("grade", "one_of") if member in demand)]
    if len(sorts) != 1:
        allowed = "at_least and at_most, or grade, or one_of"
        yield "", "a demand has one bound", listed(sorts) if sorts else "none", allowed
    if numbers and not asked.numeric:
        yield numbers[0], "the setting is no number", shown(demand[numbers[0]]), "grade or one_of"
    if "grade" in demand and not _ranks(asked.scale, demand["grade"]):
        yield "grade", "the grade is not on the setting's scale", shown(demand["grade"]), _grades(asked.scale)
    for number, word in enumerate(demand.get("one_of", ())):
        if asked.words and word not in asked.words:
            yield f"one_of/{number}", "the setting can never be this word", shown(word), listed(asked.words)


def _ranks(scale: str, word: str) -> bool:
    standard = standard_of(scale)
    return is_demand(standard, word) if standard else rank(scale, word) is not None


def _grades(scale: str) -> str:
    if standard := standard_of(scale):
        return written_so(standard)
    if scale.startswith(_FIRE):
        return "the path of one standard, fire.en-13501-1.rating or the like"
    return listed(SCALES[scale]) if scale else "no grade: the setting has no scale"


def _asked(of: str, path: str) -> _Asked | None:
    setting = shape_of(_KINDS[of]).setting_at(path)
    if setting is not None:
        scale = setting.scale
        if scale == _FIRE and setting.path != path:
            scale = f"{_FIRE}.{path.split('.')[1]}"
        return _Asked(setting.numeric or setting.item_type in _NUMERIC, scale, setting.words)
    derived = next((each for each in DERIVED if of == "mode" and each.path == path), None)
    if derived is None:
        return _Asked(True, "", ()) if of == "mode" and quantity(path) else None
    return _Asked(bool(derived.unit), derived.scale, SCALES.get(derived.scale, ()))


def _paths(of: str) -> list[str]:
    computed = [each.path for each in DERIVED] + [each.path for each in QUANTITIES] if of == "mode" else []
    return [path for path, setting in shape_of(_KINDS[of]).settings.items() if not setting.aside] + computed
