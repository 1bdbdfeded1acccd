"""What find says of a card's mode in the place that the card is for, in words."""

from dataclasses import replace

from registry.card.request import CardRequest
from registry.cli.find_words import bound_words
from registry.find.demands import use_of
from registry.find.suiting import suiting
from registry.find.wanted import UNKNOWN, UNMET, UNSURE
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["placed", "unsuited"]


def placed(registry: Registry, request: CardRequest, mode: Version) -> CardRequest:
    """Return the request with what its place demands and the settings do not meet, or may not meet."""
    use = use_of(registry, f"{request.places[0][0]}:{request.place_id}")
    gone = [f"the {use.kind} is withdrawn: {use.withdrawn}"] if use.withdrawn else []
    judged = suiting(registry, use, mode)
    unmet, untold = (
        [bound_words(each, request.units, brief=True) for each in judged if each.answer in answers]
        for answers in ({UNMET}, {UNKNOWN, UNSURE})
    )
    return replace(request, unmet=(*gone, *unmet), untold=tuple(untold))


def unsuited(request: CardRequest) -> str:
    """Return in a line that the mode is not known to suit its place; empty where it is."""
    title = request.places[0][1]["title"] if request.places else ""
    more = f"litstock find --for {request.place_id} --why {request.mode_id} says more"
    untold = "; ".join(request.untold)
    if request.unmet:
        also = f" Cannot tell: {untold}." if untold else ""
        return f"not known to suit {title}: {'; '.join(request.unmet)}.{also} {more}"
    return f"cannot tell whether it suits {title}: {untold}. {more}" if untold else ""
