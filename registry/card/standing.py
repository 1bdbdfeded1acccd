"""Whether a card may be used: the large words at its head, and until when it may hang."""

from typing import Any

from registry.card.cautions import refusals
from registry.card.request import CardRequest

__all__ = ["banner", "foot", "good", "notice", "suit", "withdrawal"]


def withdrawal(request: CardRequest) -> list[str]:
    """Return why nothing is to be printed with these settings, and what to use; empty where it is allowed."""
    for kind, document in (
        ("print mode", request.mode),
        ("substrate", request.substrate),
        ("unit", request.unit or {}),
    ):
        if withdrawal := document.get("withdrawn"):
            instead = withdrawal.get("instead")
            return [
                f"The {kind} is withdrawn since {withdrawal['date']}: {withdrawal['reason']}",
                f"Use instead: {instead}" if instead else "No replacement is named.",
            ]
    return ["This revision is withdrawn.", _known_good(request)] if request.standing == "withdrawn" else []


def _known_good(request: CardRequest) -> str:
    if request.known_good is None:
        return "No revision is known-good yet."
    return f"Known-good is r{request.known_good}: litstock card {request.mode_id}@r{request.known_good}"


def _replaced(request: CardRequest) -> str:
    now = f"r{request.replaced_by}"
    return f"{now} has replaced r{request.revision}: litstock card {request.mode_id}@{now}"


def banner(request: CardRequest) -> dict[str, Any] | None:
    """Return the large words on a card whose settings are not simply to be used."""
    if why := withdrawal(request):
        return {"words": "DO NOT USE", "lines": why, "stop": True}
    words, lines = _unproved(request)
    if refused := refusals(request):
        words, lines = ["REFUSED", *words], [refused[0], *lines]
    return {"words": ", ".join(words), "lines": lines, "stop": bool(refused)} if words else None


def _unproved(request: CardRequest) -> tuple[list[str], list[str]]:
    """Return the large words and the lines on a card of what is not known good."""
    match request.standing:
        case "draft":
            on = "" if request.draft_on is None else f", on r{request.draft_on}"
            landed = "These settings have not landed: no other site has them."
            trial = [f"It is on trial: {request.trial_why}."] if request.trial_why else []
            return [f"DRAFT{on}"], [*trial, landed, _known_good(request)]
        case "trial":
            because = f": {request.trial_why}" if request.trial_why else ""
            return ["ON TRIAL"], [f"r{request.revision} is on trial{because}.", _known_good(request)]
        case _ if request.replaced_by is not None:
            return ["OLDER REVISION"], [_replaced(request)]
        case _:
            return [], []


def good(request: CardRequest) -> str:
    """Return that the settings are known good and who says so; empty where the banner says something else."""
    if banner(request):
        return ""
    return (
        f"Known good: confirmed by {request.confirmed}"
        if request.confirmed
        else ("Known good, as its record says; no shop's confirmation is recorded")
    )


def suit(request: CardRequest) -> dict[str, Any] | None:
    """Return what the place demands and the settings are not known to meet; None where there is nothing."""
    if not request.unmet and not request.untold:
        return None
    untold = [f"Cannot tell whether it suits: {'; '.join(request.untold)}"] if request.untold else []
    return {
        "words": "not known to suit this place" if request.unmet else "",
        "lines": [*request.unmet, *untold],
        "more": f"litstock find --for {request.place_id} --why {request.mode_id}",
    }


def foot(request: CardRequest) -> str:
    """Return until when the card may hang, or that it may not."""
    if why := withdrawal(request):
        return f"withdrawn: do not print with this card. {why[-1]}"
    if refusals(request):
        return "refused: do not print with this card" + (" for this use" if request.places else "")
    return f"verify again after {request.verify_by.isoformat()}"


def notice(request: CardRequest) -> str:
    """Return what else has to be known of the record; empty where there is nothing."""
    if request.on_trial is None or request.on_trial == request.revision:
        return ""
    return f"r{request.on_trial} is on trial; this card stands until it is confirmed"
