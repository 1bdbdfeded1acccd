"""What to beware of: the records' own cautions, the advice that applies, and the usual ones.

Only what stands there twice letter by letter is said once: whether two texts mean the same is for people.
"""

from collections.abc import Collection
from typing import NamedTuple

from registry.card.request import CardRequest

__all__ = ["cautions", "refusals", "usual"]

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
_LOCAL = "Local codes and the safety data sheets stand above this card."

_RANK = ("refuse", "warn", "advise")


def cautions(request: CardRequest, told: Collection[str] = ()) -> list[Said]:
    """Return what to beware of, gravest first: `text` and `from`, of the same text the gravest.

    What stands in large letters already (`told`) is left out, and what every such card carries.
    """
    carried = {*told, *usual(request)}
    refused = [{"text": text, "from": "refuse"} for text in refusals(request)]
    own = [
        {"text": text, "from": name}
        for name, document in (
            ("mode", request.mode),
            ("substrate", request.substrate),
            ("printer", request.printer),
            *request.places,
        )
        for text in document.get("cautions", [])
    ]
    advice = [
        {"text": text, "from": level}
        for level, text in sorted(request.guidance, key=lambda each: _rank(each[0]))
        if level != "refuse"
    ]
    said: dict[str, Said] = {}
    for each in [*refused, *own, *advice]:
        said.setdefault(each["text"], each)
    return [each for text, each in said.items() if text not in carried]


def refusals(request: CardRequest) -> list[str]:
    """Return why guidance refuses the mode."""
    return list(dict.fromkeys(text for level, text in request.guidance if level == "refuse"))


def usual(request: CardRequest) -> list[str]:
    """Return the cautions that every card carries, and those of its finishing."""
    finishing = request.mode.get("finishing", [])
    carried = [each.text for each in _USUAL if not each.finishing or each.finishing in finishing]
    return [*carried, _LOCAL]


def _rank(level: str) -> int:
    return _RANK.index(level) if level in _RANK else len(_RANK)
