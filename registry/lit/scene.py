"""Where a print hangs, as numbers: the lamp, the box as it was measured, the panel, the hall's light."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from registry.light.box import Array, Box, Unevenness, clear_panel, unevenness
from registry.light.sources import Source, source
from registry.light.stack import Layer

__all__ = ["Panel", "Scene", "WhatIf", "scene_of"]

_INHERITED = ("lamp", "luminance", "panel", "box_reflectance_pct", "ambient_lx")
"""What a display leaves to its application where it does not say it itself."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel to try instead of the recorded one; none where it lets everything through."""

    position: str
    """front, behind or none."""
    transmittance: float = 1.0
    reflectance: float | None = None


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What to try instead of what is recorded; None keeps the record's."""

    lamp: str | None = None
    """A CIE illuminant."""
    ambient_lx: float | None = None
    luminance_cd_m2: float | None = None
    """Of the bare box, nothing before it but its own diffuser."""
    panel: Panel | None = None


@dataclass(frozen=True, slots=True)
class Scene:
    """One place, ready to be computed with."""

    kind: str
    rid: str
    title: str
    lighting: str
    place: str
    lamp: Source | None
    lamp_words: str
    box: Box | None
    """As what hangs before it sees it, a panel behind the print counted in."""
    face: Unevenness | None
    """The open face's darkest, mean and brightest place, in cd/m²."""
    read_words: str
    """How its luminance became known."""
    front: Layer | None
    """The panel between print and viewer."""
    panel_words: str
    diffuse: bool
    """Something known to spread light stands behind the print."""
    hall_lx: float | None
    assumed: tuple[str, ...]
    unknown: tuple[str, ...]
    """What is missing, and what to record."""


class _Notes:
    def __init__(self) -> None:
        self.assumed: list[str] = []
        self.unknown: list[str] = []


def scene_of(
    kind: str,
    rid: str,
    document: Mapping[str, Any],
    application: Mapping[str, Any],
    *,
    measured_lamp: Source | None = None,
    what_if: WhatIf | None = None,
) -> Scene:
    """Return a display (or an application) as a scene.

    Parameters
    ----------
    kind, rid : str
        display or application, and its id.
    document, application : mapping
        Its record, and that of its application; the same one where it is an application.
    measured_lamp : Source, optional
        The spectrum that the record names, where it was read.
    what_if : WhatIf, optional
        What to try instead.
    """
    asked, notes = what_if or WhatIf(), _Notes()
    facts = {name: document.get(name, application.get(name)) for name in _INHERITED}
    lamp, lamp_words = _lamp(facts["lamp"] or {}, measured_lamp, asked, notes)
    panel = _panel(facts["panel"], asked, notes)
    box, face = _box(facts, panel, asked, notes)
    hall = facts["ambient_lx"] if asked.ambient_lx is None else asked.ambient_lx
    if hall is None:
        notes.unknown.append("the hall's light on the face: record ambient_lx, or give --ambient")
    return Scene(
        kind,
        rid,
        str(document["title"]),
        str(document["lighting"]),
        str(document["place"]),
        lamp,
        lamp_words,
        box,
        face,
        _read_words(facts["luminance"] or {}, asked),
        panel.layer if panel.position in {"front", "both"} else None,
        _panel_words(panel),
        panel.diffusing and panel.position in {"behind", "both"},
        None if hall is None else float(hall),
        tuple(notes.assumed),
        tuple(notes.unknown),
    )


def _lamp(
    lamp: Mapping[str, Any], measured: Source | None, asked: WhatIf, notes: _Notes
) -> tuple[Source | None, str]:
    if asked.lamp is not None:
        return source(asked.lamp), f"{asked.lamp}, to try"
    if measured is not None:
        return measured, f"measured: {lamp['spectrum']}"
    if "illuminant" in lamp:
        if "spectrum" in lamp:
            notes.assumed.append(
                f"the measured lamp {lamp['spectrum']} could not be read: CIE illuminant taken"
            )
        return source(lamp["illuminant"]), f"CIE {lamp['illuminant']}, the illuminant nearest to the lamps"
    notes.unknown.append("the lamp: record lamp.illuminant or a measured spectrum, or give --lamp")
    return None, "unknown"


@dataclass(frozen=True, slots=True)
class _Mounted:
    position: str
    layer: Layer | None
    diffusing: bool
    tried: bool


def _panel(panel: Mapping[str, Any] | None, asked: WhatIf, notes: _Notes) -> _Mounted:
    if asked.panel is not None:
        tried = asked.panel
        layer = None if tried.position == "none" else clear_panel(tried.transmittance, tried.reflectance)
        return _Mounted(tried.position, layer, diffusing=False, tried=True)
    if panel is None:
        notes.assumed.append("no panel is recorded: none taken")
        return _Mounted("none", None, diffusing=False, tried=False)
    position = str(panel["position"])
    diffusing = panel.get("scattering") == "diffusing"
    if position == "none":
        return _Mounted(position, None, diffusing, tried=False)
    if "transmittance_pct" not in panel:
        notes.unknown.append("the panel's transmittance: record panel.transmittance_pct")
        return _Mounted(position, None, diffusing, tried=False)
    through = panel["transmittance_pct"] / 100
    back = panel["reflectance_pct"] / 100 if "reflectance_pct" in panel else None
    if back is None and diffusing:
        notes.assumed.append(
            "the panel absorbs nothing: record panel.reflectance_pct of a panel that spreads light"
        )
    return _Mounted(position, clear_panel(through, back), diffusing, tried=False)


def _box(
    facts: Mapping[str, Any], panel: _Mounted, asked: WhatIf, notes: _Notes
) -> tuple[Box | None, Unevenness | None]:
    """Return the box as the print sees it, and how even its open face is."""
    luminance = facts["luminance"]
    reflectance = facts["box_reflectance_pct"]
    if reflectance is None and asked.luminance_cd_m2 is not None:
        notes.assumed.append("what is behind throws nothing back: box_reflectance_pct is not recorded")
        reflectance = 0.0
    if reflectance is None:
        notes.unknown.append("the box's reflectance: record box_reflectance_pct")
        return None, None
    share = min(reflectance / 100, 0.999)
    if asked.luminance_cd_m2 is not None:
        opened = Box(asked.luminance_cd_m2, share)
        return _seen(opened, panel), Unevenness(*[asked.luminance_cd_m2] * 3)
    if luminance is None or "points_cd_m2" not in luminance:
        notes.unknown.append("the face's luminance: record luminance.points_cd_m2, or give --luminance")
        return None, None
    points: Array = np.array(luminance["points_cd_m2"], dtype=np.float64)
    through = luminance.get("through", "nothing" if panel.position == "none" and not panel.tried else None)
    if through is None:
        notes.unknown.append("what stood before the box when it was read: record luminance.through")
        return None, None
    recorded = facts["panel"] or {}
    if through == "nothing":
        return _seen(Box(float(points.mean()), share), panel), unevenness(points)
    return _through_panel(points, share, recorded, panel, notes)


def _through_panel(
    points: Array, share: float, recorded: Mapping[str, Any], panel: _Mounted, notes: _Notes
) -> tuple[Box | None, Unevenness | None]:
    """Return the box where it was read through its panel: that panel must not count twice."""
    known = "transmittance_pct" in recorded
    if not known and (panel.tried or recorded.get("position") == "front"):
        notes.unknown.append("the luminance without the panel: record panel.transmittance_pct")
        return None, None
    mean = float(points.mean())
    if not known:  # the panel behind stays where it was: box and panel were read as one
        notes.assumed.append("box and panel throw back what box_reflectance_pct says, as one")
        return Box(mean, share), unevenness(points)
    own = clear_panel(
        recorded["transmittance_pct"] / 100,
        recorded["reflectance_pct"] / 100 if "reflectance_pct" in recorded else None,
    )
    return _seen(Box.measured(mean, share, own), panel), unevenness(points)


def _seen(opened: Box, panel: _Mounted) -> Box:
    return opened.behind(panel.layer) if panel.layer and panel.position in {"behind", "both"} else opened


def _read_words(luminance: Mapping[str, Any], asked: WhatIf) -> str:
    if asked.luminance_cd_m2 is not None:
        return "the bare box, to try"
    through = {"nothing": ", nothing before it", "panel": ", through the panel"}
    when = luminance.get("measured", "a day not recorded")
    return f"read on {when}{through.get(luminance.get('through', ''), '')}"


def _panel_words(panel: _Mounted) -> str:
    tried = ", to try" if panel.tried else ""
    if panel.layer is None:
        return f"none{tried}" if panel.position == "none" else f"{panel.position}, of unknown transmittance"
    where = {"front": "in front of the print", "behind": "behind the print"}.get(
        panel.position, "in front of the print and behind it"
    )
    through, back = 100 * float(panel.layer.transmittance), 100 * float(panel.layer.front_reflectance)
    return f"{where}: lets {through:.3g} % through, throws {back:.3g} % back{tried}"
