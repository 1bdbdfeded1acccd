"""What to beware of: the records' own cautions, the advice that applies, and the usual ones, each said once.

Where one says all that another does, the fuller one is said in the place of the graver one.
"""

import re
from collections.abc import Collection, Sequence
from typing import NamedTuple

from registry.card.request import CardRequest
from registry.question.said_once import said_once

__all__ = ["cautions", "refusals", "usual"]

Said = dict[str, str]


class _Usual(NamedTuple):
    """A caution that every card carries, or every card of some finishing."""

    text: str
    said_by: str
    """What a caution that says it already looks like."""
    finishing: str = ""


# Common practice, no source.
_USUAL = (
    _Usual("Hot: heaters, platen and fresh prints burn.", r"(?=.*\bhot\b).*\bheaters?\b"),
    _Usual("Blades: cut away from the hand, and close the knife.", r".*\bcut away from the hand\b"),
    _Usual(
        "Liquid laminate: gloves, goggles, fresh air; read its safety data sheet.",
        r"(?=.*\bliquid laminates?\b)(?=.*\bgloves\b).*\bsafety data sheet\b",
        "liquid-laminate",
    ),
    _Usual(
        "Laminator: keep fingers, hair and sleeves out of the nip.",
        r"(?=.*\bfingers\b).*\bnip\b",
        "film-laminate",
    ),
)
_LOCAL = "Local codes and the safety data sheets stand above this card."

_RANK = ("refuse", "warn", "advise")


def cautions(request: CardRequest, told: Collection[str] = ()) -> list[Said]:
    """Return what to beware of, gravest first, each said once: `text` and `from`.

    What stands in large letters already (`told`) is left out.
    """
    refused = [{"text": text, "from": "refuse"} for text in refusals(request) if text not in told]
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
    return [*refused, *_once([*own, *advice])]  # a refusal keeps its own words


def refusals(request: CardRequest) -> list[str]:
    """Return why guidance refuses the mode."""
    return list(dict.fromkeys(text for level, text in request.guidance if level == "refuse"))


def usual(request: CardRequest, said: Sequence[Said]) -> list[dict[str, str | int | None]]:
    """Return the cautions that every card carries, and those of its finishing.

    `by` is the place among the cautions of one that says the same, so that the sheet leaves out what it does
    say and keeps what it does not; None where none says it.
    """
    finishing = request.mode.get("finishing", [])
    carried: list[dict[str, str | int | None]] = [
        {"text": each.text, "by": _said_at(each, said)}
        for each in _USUAL
        if not each.finishing or each.finishing in finishing
    ]
    return [*carried, {"text": _LOCAL, "by": None}]


def _said_at(caution: _Usual, said: Sequence[Said]) -> int | None:
    places = (at for at, each in enumerate(said) if re.match(caution.said_by, each["text"].lower()))
    return next(places, None)


def _rank(level: str) -> int:
    return _RANK.index(level) if level in _RANK else len(_RANK)


def _once(said: Sequence[Said]) -> list[Said]:
    """Return the cautions without those that another one says as well, which takes the graver one's place."""
    kept = said_once([each["text"] for each in said])
    return [{"text": said[at]["text"], "from": said[first]["from"]} for at, first in kept.items()]
