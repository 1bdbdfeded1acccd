"""What to beware of: the records' own cautions, the advice that applies, and the usual ones.

Each is on one of two sheets. A rule says itself whose it is; the cautions of a display or an application are
of who mounts or opens it, all others of who prints.

Only what stands there twice letter by letter is said once: whether two texts mean the same is for people.
"""

from collections.abc import Collection, Iterable
from typing import Any, NamedTuple

from registry.card.request import CardRequest

__all__ = ["LOCAL", "cautions", "fitting_cautions", "refusals", "usual"]

Said = dict[str, str]


class _Usual(NamedTuple):
    """A caution that every card carries, or every card of some finishing."""

    text: str
    finishing: str = ""


# Common practice, no source.
_USUAL = (
    _Usual("Hot: heaters, platen and fresh prints burn."),
    _Usual("Blades: cut away from the hand, and close the knife."),
    _Usual("Liquid laminate: gloves, goggles, fresh air; read its safety data sheet.", "liquid-laminate"),
    _Usual("Laminator: keep fingers, hair and sleeves out of the nip.", "film-laminate"),
)
LOCAL = "Local codes and the safety data sheets stand above this card."


def cautions(request: CardRequest, told: Collection[str] = ()) -> list[Said]:
    """Return what the printer is to know: `text` and `from`, what can hurt or spoil before what only helps.

    What stands in large letters already (`told`) is left out, and what every such card carries. Refusals come
    first, then the records' own cautions, warnings, what the specialist noted, and last general advice.
    """
    refused = [{"text": text, "from": "refuse"} for text in refusals(request)]
    records = (("mode", request.mode), ("substrate", request.substrate), ("printer", request.printer))
    noted = [
        {"text": text, "from": "note"} for _, document in records[:2] for text in document.get("notes", [])
    ]
    warned, advised = (_told(request.guidance, level) for level in ("warn", "advise"))
    return _once([*refused, *_own(records), *warned, *noted, *advised], {*told, *usual(request)})


def fitting_cautions(request: CardRequest) -> list[Said]:
    """Return what whoever hangs the print is to know: the place's cautions and those marked for fitting."""
    warned, advised = (_told(request.fitting, level) for level in ("warn", "advise"))
    return _once([*_own(request.places), *warned, *advised], {LOCAL})


def _own(records: Iterable[tuple[str, dict[str, Any]]]) -> list[Said]:
    return [
        {"text": text, "from": name} for name, document in records for text in document.get("cautions", [])
    ]


def _told(guidance: Iterable[tuple[str, str]], wanted: str) -> list[Said]:
    return [{"text": text, "from": level} for level, text in guidance if level == wanted]


def _once(texts: Iterable[Said], carried: Collection[str]) -> list[Said]:
    """Return each text once, as the gravest of those that say the same."""
    said: dict[str, Said] = {}
    for each in texts:
        said.setdefault(each["text"], each)
    return [each for text, each in said.items() if text not in carried]


def refusals(request: CardRequest) -> list[str]:
    """Return why guidance refuses the mode."""
    return list(dict.fromkeys(text for level, text in request.guidance if level == "refuse"))


def usual(request: CardRequest) -> list[str]:
    """Return the cautions that every card carries, and those of its finishing."""
    finishing = request.mode.get("finishing", [])
    carried = [each.text for each in _USUAL if not each.finishing or each.finishing in finishing]
    return [*carried, LOCAL]
