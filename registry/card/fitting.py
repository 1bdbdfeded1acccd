"""What the fitter's sheet says, as plain data: what is hung, how and where, and what to beware of there.

Common practice, no source: what is looked at once the face is lit.
"""

from typing import Any

from registry.card.cautions import LOCAL, fitting_cautions
from registry.card.facts import drawing, placed_at, record
from registry.card.request import CardRequest
from registry.card.standing import banner, foot, notice, suit
from registry.card.values import UNKNOWN, quantity, said
from registry.errors import RequestError
from registry.model.shape import shape_of

__all__ = ["NoPlace", "fitting"]

_FACES = {
    ("first-surface", True): "back of the print to the lamp, printed face to the viewer",
    ("second-surface", True): "printed face to the lamp; it is seen through the material",
    ("first-surface", False): "printed face to the viewer",
    ("second-surface", False): "printed face to the wall; it is seen through the material",
}
_LAMP = ("lamp.description", "lamp.illuminant", "lamp.pitch_mm", "lamp_distance_mm", "depth_mm", "inside_c")
_PANEL = ("panel.position", "panel.material", "panel.scattering", "panel.gloss")
_CHECKS = (
    "The slug in the bleed is that of this sheet; note it before it is trimmed or covered.",
    "It reads the right way round, and panels stand in their order.",
)
_LIT_CHECKS = (
    "After a quarter of an hour, the room lit as usual: no lamp shows through the print, no corner is dark.",
    "No light comes past the edges, and no dark patch drifts where two faces touch.",
    "Colour and white as on the approved sample, from where readers stand.",
    "Closed up: nothing hangs on the wiring, air passes, the face is held on all sides.",
)
_BOXES = ("hung on", "fitter", "face read, cd/m²", "initials")


class NoPlace(RequestError):
    """A fitter's sheet is asked for without a place."""

    def __str__(self) -> str:
        return "a fitter's sheet is for a place: say which, --for DISPLAY or --for APPLICATION"


def fitting(request: CardRequest) -> dict[str, Any]:
    """Return everything the fitter's sheet says.

    Keys
    ----
    record, banner, suit, foot, notice, place, paper, units : as on the card (`registry.card.facts`).
    load : title and line of the material, and drawing.
    hang, where, lamp, panel : label and text of what is hung, of its place, of lamp and panel.
    cautions : text and from; usual.
    checks : what is looked at once it hangs.
    boxes : label and text of what is filled in by hand.
    """
    if not request.places:
        raise NoPlace
    lit = request.mode["lighting"] != "frontlit"
    return {
        "record": record(request),
        "banner": banner(request),
        "suit": suit(request),
        "foot": foot(request),
        "notice": notice(request),
        "place": placed_at(request),
        "load": {
            "title": request.substrate["title"],
            "line": [request.substrate["construction"]],
            "drawing": drawing(request),
        },
        "hang": _hang(request, lit=lit),
        "where": _where(request),
        "lamp": _recorded(request, _LAMP) if lit else [],
        "panel": _recorded(request, _PANEL),
        "cautions": fitting_cautions(request),
        "usual": [LOCAL],
        "checks": [*_CHECKS, *(_LIT_CHECKS if lit else ())],
        "boxes": [{"label": name, "text": "", "wide": False} for name in _BOXES],
        "paper": request.paper,
        "units": request.units,
    }


def _hang(request: CardRequest, *, lit: bool) -> list[dict[str, str]]:
    mode = request.mode
    side, mirrored = mode["print_side"], "mirrored" if mode["mirrored"] else "not mirrored"
    pieces = [{"label": label, "text": text} for label, text in request.job if label == "pieces"]
    return [
        {"label": "print", "text": f"{mode['title']}, on {request.substrate['title']}"},
        {"label": "finished with", "text": said("print-mode", mode, "finishing", request.units)},
        {"label": "which face", "text": _FACES[side, lit]},
        {"label": "way round", "text": f"{mirrored}; it reads right {drawing(request)['seen']}"},
        {"label": "size", "text": _size(request)},
        *pieces,
        {"label": "weight", "text": _weight(request)},
    ]


def _display(request: CardRequest) -> dict[str, Any]:
    return next((document for kind, document in request.places if kind == "display"), {})


def _size(request: CardRequest) -> str:
    size = _display(request).get("size")
    if not size:
        return UNKNOWN
    sides = [quantity(size[name], "mm", request.units) for name in ("width_mm", "height_mm")]
    return f"{sides[0]} wide, {sides[1]} high, visible"


def _weight(request: CardRequest) -> str:
    """Return what the material weighs, of the visible size where both are known."""
    mass, size = request.substrate.get("mass_g_m2"), _display(request).get("size")
    if mass is None:
        return UNKNOWN
    unit = shape_of("substrate").settings["mass_g_m2"].unit
    bare = f"{quantity(mass, unit, request.units)}, bare"
    if not size:
        return bare
    kilograms = mass * size["width_mm"] * size["height_mm"] / 1e9
    return f"{kilograms:.2g} kg for the visible size ({bare}); panel and frame come on top"


def _where(request: CardRequest) -> list[dict[str, str]]:
    titles = [{"label": kind, "text": document["title"]} for kind, document in request.places]
    return [*titles, *_recorded(request, ("location", "place", "viewing_distance_m"))]


def _recorded(request: CardRequest, paths: tuple[str, ...]) -> list[dict[str, str]]:
    """Return label and text of settings of the place: the display's own, else its application's."""
    rows = []
    for path in paths:
        kinds = [each for each in request.places if path in shape_of(each[0]).settings]
        texts = [said(kind, document, path, request.units) for kind, document in kinds]
        text = next((text for text in texts if text != UNKNOWN), UNKNOWN)
        if kinds:
            rows.append({"label": shape_of(kinds[0][0]).settings[path].label, "text": text})
    return rows
