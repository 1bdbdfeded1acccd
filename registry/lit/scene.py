"""Where a print hangs, as numbers: the lamp, the box as it was measured, the panel, ambient light."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from registry.light.box import Array, Box, Unevenness, unevenness
from registry.light.sources import Source, source
from registry.light.stack import Layer
from registry.lit.panel import Mounted, Panel, recorded, tried

__all__ = ["Scene", "WhatIf", "scene_of"]

_INHERITED = ("lamp", "luminance", "panel", "box_reflectance_pct", "ambient_lx")
"""What a display leaves to its application where it does not say it itself."""
_MOST_PCT = 99.9
"""A box that threw all light back would never let its lamps' light out."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What to try instead of what is recorded; None keeps the record's."""

    lamp: str | None = None
    """A CIE illuminant."""
    ambient_lx: float | None = None
    luminance_cd_m2: float | None = None
    """Of the bare box, nothing before it but its own diffuser."""
    panel: Panel | None = None
    dark_pct: float | None = None
    """Share of the image that is as dark as its darkest patch; the rest is white."""


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
    ambient_lx: float | None
    dark_share: float
    """Of the image, as dark as its darkest patch: what it does not throw back the box does not get."""
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
    panel = tried(asked.panel) if asked.panel else recorded(facts["panel"])
    notes.assumed += panel.assumed
    stood = facts["panel"] if "luminance" in document else application.get("panel", facts["panel"])
    box, face = _box(facts, panel, recorded(stood), asked, notes)
    ambient = facts["ambient_lx"] if asked.ambient_lx is None else asked.ambient_lx
    if ambient is None:
        notes.unknown.append("ambient light on the face (ambient_lx): try --ambient")
    if ambient and panel.front and not panel.spreads:
        notes.assumed.append("the surroundings are evenly bright: the clear panel mirrors no lamp or window")
    if asked.dark_pct:
        notes.assumed.append(
            f"{asked.dark_pct:g} % of the image is as dark as its darkest patch, the rest white"
        )
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
        panel.front,
        panel.words,
        panel.diffuser,
        None if ambient is None else float(ambient),
        (asked.dark_pct or 0.0) / 100,
        tuple(dict.fromkeys(notes.assumed)),
        tuple(dict.fromkeys(notes.unknown)),
    )


def _lamp(
    lamp: Mapping[str, Any], measured: Source | None, asked: WhatIf, notes: _Notes
) -> tuple[Source | None, str]:
    if asked.lamp is not None:
        return source(asked.lamp), f"{asked.lamp}, to try"
    if measured is not None:
        return measured, f"measured: {lamp['spectrum']}"
    unread = f"the measured lamp {lamp['spectrum']} could not be read" if "spectrum" in lamp else ""
    if "illuminant" in lamp:
        if unread:
            notes.assumed.append(f"{unread}: CIE illuminant taken")
        return source(lamp["illuminant"]), f"CIE {lamp['illuminant']}, the illuminant nearest to the lamps"
    wanted = "try --lamp"
    notes.unknown.append(f"{unread or 'the lamp (lamp.illuminant, or a measured spectrum)'}: {wanted}")
    return None, "unknown"


def _box(
    facts: Mapping[str, Any], panel: Mounted, stood: Mounted, asked: WhatIf, notes: _Notes
) -> tuple[Box | None, Unevenness | None]:
    """Return the box as the print sees it, and how even its open face is.

    `stood` is the panel that was there when the face was read.
    """
    share = _box_share(facts["box_reflectance_pct"], asked, notes)
    if share is None:
        return None, None
    if asked.luminance_cd_m2 is not None:
        opened = Box(asked.luminance_cd_m2, share)
        return _seen(opened, panel, notes), Unevenness(*[asked.luminance_cd_m2] * 3)
    luminance = facts["luminance"]
    if luminance is None or "points_cd_m2" not in luminance:
        notes.unknown.append("the face's luminance (luminance.points_cd_m2, nine points): try --luminance")
        return None, None
    points: Array = np.array(luminance["points_cd_m2"], dtype=np.float64)
    through = luminance.get("through", "nothing" if stood.position == "none" else None)
    if through is None:
        notes.unknown.append("what stood before the box when it was read (luminance.through)")
        return None, None
    read = Box(float(points.mean()), share)
    if through == "panel":
        return _without_panel(read, panel, stood, notes), unevenness(points)
    return _seen(read, panel, notes), unevenness(points)


def _box_share(reflectance_pct: float | None, asked: WhatIf, notes: _Notes) -> float | None:
    if reflectance_pct is None and asked.luminance_cd_m2 is not None:
        notes.assumed.append("what is behind throws nothing back: box_reflectance_pct is not recorded")
        return 0.0
    if reflectance_pct is None:
        notes.unknown.append("the box's reflectance (box_reflectance_pct)")
        return None
    if reflectance_pct > _MOST_PCT:
        notes.assumed.append(f"a box_reflectance_pct of {reflectance_pct:g} is taken as {_MOST_PCT:g}")
    return min(reflectance_pct, _MOST_PCT) / 100


def _without_panel(read: Box, panel: Mounted, stood: Mounted, notes: _Notes) -> Box | None:
    """Return the box where it was read through its panel: that panel must not count twice."""
    if stood.position == "none":
        notes.unknown.append("the face was read through a panel and none is recorded (panel)")
        return None
    if stood.whole is not None:
        opened = Box.measured(read.luminance_cd_m2, read.reflectance, stood.whole)
        return _seen(opened, panel, notes)
    if stood.position == "behind" and stood == panel:  # it stays where it was: the two were read as one
        notes.assumed.append("box and panel throw back what box_reflectance_pct says, as one")
        return read
    notes.unknown.append(f"the luminance without the panel that it was read through: {stood.untold}")
    return None


def _seen(opened: Box, panel: Mounted, notes: _Notes) -> Box | None:
    """Return the box as the print sees it; None where a panel is not known."""
    if panel.untold:
        notes.unknown.append(panel.untold)
        return None
    return opened.behind(panel.behind) if panel.behind else opened


def _read_words(luminance: Mapping[str, Any], asked: WhatIf) -> str:
    if asked.luminance_cd_m2 is not None:
        return "the bare box, to try"
    through = {"nothing": ", nothing before it", "panel": ", through the panel"}
    when = luminance.get("measured", "a day not recorded")
    return f"read on {when}{through.get(luminance.get('through', ''), '')}"
