"""What a card says, as plain data: the template typesets it, and it answers as JSON too."""

from dataclasses import asdict
from typing import Any

from registry.card.advice import cautions, stops, usual
from registry.card.code import SHORT, code_text, slug_text
from registry.card.request import CardRequest
from registry.card.solids import measured
from registry.card.values import UNKNOWN, Entry, entry, groups, quantity, said
from registry.derived import DERIVED, derive
from registry.model.shape import shape_of

__all__ = ["facts"]

_HEAD = frozenset({"substrate", "printer", "ink_set", "lighting", "print_side", "mirrored"})
"""Settings that stand at the head of the card, with what to load."""

_SEEN = {
    "first-surface": "seen from its printed face",
    "second-surface": "seen through the material",
}


def facts(request: CardRequest) -> dict[str, Any]:
    """Return everything the card says.

    Keys
    ----
    record : id, title, name (of the revision), standing, digest and short, code, slug, date, verify_by,
        commit, show (the command that says more).
    banner : words and lines, where the card is not of a known-good revision; else None.
    notice : what else has to be known of the record, or empty.
    load : title, line, tiles (label, text), print (label, text), drawing (what it shows).
    settings : groups in entry order, each label, entries, items, unrecorded, computed (label, text, how).
    unit : id, entries and unrecorded of the named machine; else None.
    stops : sign, what, trial, how, seen.
    finishing : what the material asks for afterwards.
    cautions : text and from, gravest first; usual, those that every card carries; notes, how many there are.
    measured : see `registry.card.solids`.
    boxes : label, text and whether it is wide, of what is filled in by hand; none on a withdrawn card.
    paper, units : as asked for.
    """
    own = _own(request)
    return {
        "record": _record(request),
        "banner": _banner(request),
        "notice": _notice(request),
        "load": _load(request),
        "settings": _settings(request, own),
        "unit": _unit(request, own),
        "stops": stops(request),
        "finishing": _finishing(request),
        "cautions": cautions(request),
        "usual": usual(request),
        "notes": len(request.mode.get("notes", [])) + len(request.substrate.get("notes", [])),
        "measured": measured(
            request.mode.get("evidence", {}).get("measurement", {}).get("file", ""), request.readings
        ),
        "sample": request.mode.get("evidence", {}).get("sample", UNKNOWN),
        "boxes": _boxes(request),
        "paper": request.paper,
        "units": request.units,
    }


def _record(request: CardRequest) -> dict[str, Any]:
    name = f"r{request.revision}"
    if request.is_draft:
        name = "draft" if request.draft_on is None else f"draft, on r{request.draft_on}"
    at = request.mode_id if request.is_draft else f"{request.mode_id}@r{request.revision}"
    code = (request.mode_id, request.code_revision, request.digest)
    return {
        "id": request.mode_id,
        "title": request.mode["title"],
        "name": name,
        "standing": request.standing,
        "digest": request.digest,
        "short": request.digest[:SHORT],
        "code": code_text(*code, draft=request.is_draft),
        "slug": slug_text(*code, unit=request.unit_id, draft=request.is_draft),
        "date": request.date.isoformat(),
        "verify_by": request.verify_by.isoformat(),
        "commit": request.commit[:SHORT],
        "show": f"litstock show {at}",
    }


def _withdrawal(request: CardRequest) -> list[str]:
    """Return why nothing is to be printed with these settings; empty where that is allowed."""
    for kind, document in (("print mode", request.mode), ("substrate", request.substrate)):
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


def _banner(request: CardRequest) -> dict[str, Any] | None:
    """Return the large words on a card whose settings are not simply to be used."""
    if why := _withdrawal(request):
        return {"words": "DO NOT USE", "lines": why}
    match request.standing:
        case "draft":
            on = "" if request.draft_on is None else f", on r{request.draft_on}"
            landed = "These settings have not landed: no other site has them."
            return {"words": f"DRAFT{on}", "lines": [landed, _known_good(request)]}
        case "trial":
            waiting = f"r{request.revision} has not been confirmed."
            return {"words": "ON TRIAL", "lines": [waiting, _known_good(request)]}
        case _:
            return None


def _notice(request: CardRequest) -> str:
    if request.on_trial is None or request.on_trial == request.revision:
        return ""
    return f"r{request.on_trial} is on trial; this card stands until it is confirmed"


def _load(request: CardRequest) -> dict[str, Any]:
    substrate, units = request.substrate, request.units
    material = shape_of("substrate").settings
    mode = shape_of("print-mode").settings
    wound = substrate["construction"] != "sheet"
    wind = said("substrate", substrate, "roll.wind", units) if wound else "sheet"
    side, face = request.mode["print_side"], said("substrate", substrate, "surface.printable", units)
    tiles = [
        (mode["print_side"].label, side),
        (mode["mirrored"].label, "yes" if request.mode["mirrored"] else "no"),
        (material["surface.printable"].label, face),
        (material["roll.wind"].label, wind),
    ]
    rest = ("maker", "product_code", "thickness_um", "storage.acclimatise_h")
    return {
        "title": substrate["title"],
        "line": [substrate[word] for word in ("construction", "base", "finish") if word in substrate]
        + [f"{material['coating'].label} {substrate['coating']}"],
        "tiles": [{"label": label, "text": text} for label, text in tiles],
        "known": [
            {"label": material[path].label, "text": said("substrate", substrate, path, units)}
            for path in rest
        ],
        "mirror": mode["mirrored"].label,
        "print": [
            {"label": "print mode", "text": request.mode["title"]},
            {"label": mode["printer"].label, "text": request.printer["title"]},
            {"label": mode["ink_set"].label, "text": request.mode.get("ink_set", UNKNOWN)},
            {"label": mode["lighting"].label, "text": request.mode["lighting"]},
            *([{"label": "unit", "text": request.unit_id}] if request.unit_id else []),
        ],
        "drawing": {
            "wind": (substrate.get("roll", {}).get("wind", "") if wound else "sheet"),
            "face": substrate.get("surface", {}).get("printable", ""),
            "second": side == "second-surface",
            "mirrored": request.mode["mirrored"],
            "lit": request.mode["lighting"] != "frontlit",
            "seen": _SEEN.get(side, ""),
        },
    }


def _settings(request: CardRequest, own: list[Entry]) -> list[dict[str, Any]]:
    mine = {each.path.rpartition(".")[2]: each for each in own}
    case = {"mode": request.mode, "substrate": request.substrate, "printer": request.printer}
    values = derive(case)
    computed: dict[str, list[dict[str, str]]] = {}
    for each in DERIVED:
        if each.path in values and each.unit:
            text = quantity(values[each.path], each.unit, request.units)
            top = each.path.partition(".")[0]
            computed.setdefault(top, []).append({"label": each.label, "text": text, "how": each.how})
    return [
        {**group, "computed": computed.get(group["path"], [])}
        for group in groups("print-mode", request.mode, request.units, skip=_HEAD, own=mine)
    ]


def _own(request: CardRequest) -> list[Entry]:
    """Return the named machine's own values for this mode; those of other modes are not its business."""
    held = (request.unit or {}).get("own", [])
    mine = [each for each in held if each["mode"] == request.mode_id]
    found = shape_of("unit").flatten({"own": mine}).values()
    return [entry(each, request.units) for each in found if each.setting.scope == "unit"]


def _unit(request: CardRequest, own: list[Entry]) -> dict[str, Any] | None:
    if request.unit is None:
        return None
    recorded = {each.path.rpartition(".")[2] for each in own}
    return {
        "id": request.unit_id,
        "title": request.unit["title"],
        "entries": [asdict(each) for each in own],
        "unrecorded": [
            setting.label
            for path, setting in shape_of("unit").settings.items()
            if setting.scope == "unit" and path.rpartition(".")[2] not in recorded
        ],
    }


def _finishing(request: CardRequest) -> list[dict[str, str]]:
    settings = shape_of("substrate").settings
    return [
        {"label": settings[path].label, "text": said("substrate", request.substrate, path, request.units)}
        for path in ("finishing.needed", "finishing.allowed")
    ]


def _boxes(request: CardRequest) -> list[dict[str, Any]]:
    if _withdrawal(request):
        return []
    names = ("unit", "strip reading", "roll lot", "date", "initials")
    return [
        {"label": name, "text": request.unit_id if name == "unit" else "", "wide": name in names[:2]}
        for name in names
    ]
