"""What a card says, as plain data: the template typesets it, and it answers as JSON too."""

from dataclasses import asdict
from typing import Any

from registry.card.cautions import cautions, usual
from registry.card.code import SHORT, code_text, slug_text
from registry.card.own import own_values
from registry.card.request import CardRequest
from registry.card.solids import measured
from registry.card.standing import banner, foot, good, notice, suit, withdrawal
from registry.card.stops import stops
from registry.card.values import UNKNOWN, Entry, entry, groups, quantity, said
from registry.derived import DERIVED, derive
from registry.model.shape import shape_of

__all__ = ["drawing", "facts", "placed_at", "record"]

_HEAD = frozenset({"substrate", "printer", "ink_set", "lighting", "print_side", "mirrored"})
"""Settings that stand at the head of the card, with what to load."""

_WINDOW = "a cut of the real print goes here"
_JUDGE = {"backlit": "judge it lit", "dual": "judge it lit, and again with the lamps off"}
"""How the sample is looked at; by reflected light there is nothing to say."""

FITTER = "Cautions of lamp and hanging: litstock card --for-fitter"

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
    banner : words, lines and stop (whether nothing is to be printed with it), where the card is not of a
        known-good revision or guidance refuses it; else None.
    good : that it is known good and which shops say so; empty where the banner says something else.
    suit : words, lines and more (the command that says more), where the place demands what the settings do
        not meet, or are not known to meet (then without words); else None.
    foot : until when the card may hang, or that it may not.
    notice : what else has to be known of the record, or empty.
    place : what it is printed for, kind, id and title; else None.
    load : title, line, tiles, called (what the machine calls it), known, print and with (each label and
        text), drawing (what it shows).
    job : label and text of what the planned job takes, if the card is for one.
    settings : groups in entry order, each label, entries, items, unrecorded, computed (label, text, how).
    unit : id, revision, entries and unrecorded of the named machine; else None.
    stops : sign, what, trial, how, seen.
    finishing : label and text: how these settings finish the print, what the material needs and takes.
    cautions : text and from, gravest first; usual, those that every card carries; fitter, where to read
        those of lamp and hanging.
    measured : see `registry.card.solids`.
    window : what goes into the window for a sample; sample, where the approved one is kept.
    boxes : label, text and whether it is wide, of what is filled in by hand; none on a withdrawn card.
    paper, units : as asked for.
    """
    own, large = _own(request), banner(request)
    return {
        "record": record(request),
        "banner": large,
        "good": good(request),
        "suit": suit(request),
        "foot": foot(request),
        "notice": notice(request),
        "place": placed_at(request),
        "load": _load(request, own),
        "job": [{"label": label, "text": text} for label, text in request.job],
        "settings": _settings(request, own),
        "unit": _unit(request, own),
        "stops": stops(request),
        "finishing": _finishing(request),
        "cautions": cautions(request, told=large["lines"] if large else ()),
        "usual": usual(request),
        "fitter": FITTER if request.places else "",
        "measured": measured(
            request.mode.get("evidence", {}).get("measurement", {}).get("file", ""), request.readings
        ),
        "window": "; ".join(word for word in (_WINDOW, _JUDGE.get(request.mode["lighting"])) if word),
        "sample": request.mode.get("evidence", {}).get("sample", UNKNOWN),
        "boxes": _boxes(request),
        "paper": request.paper,
        "units": request.units,
    }


def record(request: CardRequest) -> dict[str, Any]:
    """Return what any sheet says of the record that it is made from."""
    name = f"r{request.revision}"
    if request.is_draft:
        name = "draft" if request.draft_on is None else f"draft, on r{request.draft_on}"
    at = request.mode_id if request.is_draft else f"{request.mode_id}@r{request.revision}"
    identity = (request.mode_id, request.code_revision, request.digest)
    unit, number, draft = request.unit_id, request.unit_revision, request.is_draft
    return {
        "id": request.mode_id,
        "title": request.mode["title"],
        "name": name,
        "standing": request.standing,
        "digest": request.digest,
        "short": request.digest[:SHORT],
        "code": code_text(*identity, unit=unit, unit_revision=number, draft=draft),
        "slug": slug_text(*identity, unit=unit, unit_revision=number, draft=draft),
        "date": request.date.isoformat(),
        "verify_by": None if withdrawal(request) else request.verify_by.isoformat(),
        "commit": request.commit[:SHORT],
        "show": f"litstock show {at}" + (f" --for {request.place_id}" if request.place_id else ""),
    }


def placed_at(request: CardRequest) -> dict[str, str] | None:
    """Return what the sheet is made for, if it is for a place."""
    if not request.places:
        return None
    kind, document = request.places[0]
    return {"kind": kind, "id": request.place_id, "title": document["title"]}


def _load(request: CardRequest, own: list[Entry]) -> dict[str, Any]:
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
        (material["roll.wind"].label, wind) if wound else (material["construction"].label, "sheet"),
    ]
    presets = [each for each in own if each.path.endswith(".preset")]
    rest = ("maker", "product_code", "thickness_um", "storage.acclimatise_h")
    return {
        "title": substrate["title"],
        "line": [substrate[word] for word in ("construction", "base", "finish") if word in substrate]
        + [f"{material['coating'].label} {substrate['coating']}"],
        "tiles": [{"label": label, "text": text} for label, text in tiles],
        "called": [
            {"label": "print mode", "text": request.mode["title"]},
            {"label": mode["printer"].label, "text": request.printer["title"]},
            *([{"label": presets[0].label, "text": presets[0].text}] if presets else []),
        ],
        "known": [
            {"label": material[path].label, "text": said("substrate", substrate, path, units)}
            for path in rest
        ],
        "mirror": mode["mirrored"].label,
        "print": [
            {"label": mode["ink_set"].label, "text": request.mode.get("ink_set", UNKNOWN)},
            {"label": mode["lighting"].label, "text": request.mode["lighting"]},
        ],
        "with": [
            *([{"label": "for", "text": request.places[0][1]["title"]}] if request.places else []),
            *([{"label": "unit", "text": request.unit_id}] if request.unit_id else []),
        ],
        "drawing": drawing(request),
    }


def drawing(request: CardRequest) -> dict[str, Any]:
    """Return what the drawing shows: how it is wound, where it is printed, what is before and behind it."""
    substrate, side = request.substrate, request.mode["print_side"]
    wound = substrate["construction"] != "sheet"
    return {
        "wind": substrate.get("roll", {}).get("wind", "") if wound else "sheet",
        "face": substrate.get("surface", {}).get("printable", ""),
        "second": side == "second-surface",
        "mirrored": request.mode["mirrored"],
        "layers": [each["what"] for each in request.mode["layers"]],
        "lit": request.mode["lighting"] != "frontlit",
        "seen": _SEEN.get(side, ""),
        "panel": _panel(request),
    }


def _panel(request: CardRequest) -> str:
    """Return where the panel is that the print is mounted to; the display's own, else its application's."""
    panels = (document["panel"]["position"] for _, document in request.places if "panel" in document)
    if found := next(panels, ""):
        return str(found)
    return "front" if "acrylic-face" in request.mode.get("finishing", ()) else ""


def _settings(request: CardRequest, own: list[Entry]) -> list[dict[str, Any]]:
    # What the machine enters instead stands beside the mode's value; a day of its own replaces nothing.
    entered = (each for each in own if isinstance(each.value, (int, float)))
    mine = {each.path.rpartition(".")[2]: each for each in entered}
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
    """Return the named machine's own values for this mode."""
    return [entry(each, request.units) for each in own_values(request.unit or {}, request.mode_id)]


def _unit(request: CardRequest, own: list[Entry]) -> dict[str, Any] | None:
    if request.unit is None:
        return None
    recorded = {each.path.rpartition(".")[2] for each in own}
    return {
        "id": request.unit_id,
        "revision": request.unit_revision,
        "title": request.unit["title"],
        "entries": [asdict(each) for each in own],
        "unrecorded": [
            setting.label
            for path, setting in shape_of("unit").settings.items()
            if setting.scope == "unit" and not setting.optional and path.rpartition(".")[2] not in recorded
        ],
    }


def _finishing(request: CardRequest) -> list[dict[str, str]]:
    parts = (
        ("finish with", "print-mode", request.mode, "finishing"),
        ("the material needs", "substrate", request.substrate, "finishing.needed"),
        ("and takes", "substrate", request.substrate, "finishing.allowed"),
    )
    return [
        {"label": label, "text": said(kind, document, path, request.units)}
        for label, kind, document, path in parts
    ]


def _boxes(request: CardRequest) -> list[dict[str, Any]]:
    if withdrawal(request):
        return []
    names = ("unit", "strip reading", "roll lot", "date", "initials")
    return [
        {"label": name, "text": request.unit_id if name == "unit" else "", "wide": name in names[:2]}
        for name in names
    ]
