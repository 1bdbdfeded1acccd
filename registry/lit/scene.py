"""Where a print hangs, as numbers: the lamp, the box as it was measured, the panel, ambient light."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from registry.light.box import Array, Box, Unevenness, unevenness
from registry.light.sources import Source, source
from registry.light.stack import Layer
from registry.lit.grounds import is_grounded
from registry.lit.panel import Mounted, Panel, recorded, tried
from registry.lit.reading import MOST, FaceRead, FilmOn
from registry.model.usual import Usual, usuals

__all__ = ["Scene", "WhatIf", "scene_of"]

_INHERITED = ("lamp", "luminance", "panel", "box_reflectance_pct", "ambient_lx")
"""What a display leaves to its application where it does not say it itself."""


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

    @property
    def tried(self) -> frozenset[str]:
        """The facts of a place that are given to try: they are known for sure."""
        said = {"ambient_lx": self.ambient_lx, "luminance": self.luminance_cd_m2, "panel": self.panel}
        return frozenset(name for name, value in said.items() if value is not None)


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
    ambient_lx: float | Array | None
    dark_share: float
    """Of the image, as dark as its darkest patch: what it does not throw back the box does not get."""
    assumed: tuple[str, ...]
    unknown: tuple[str, ...]
    """What is missing, and what to record."""
    read: FaceRead | None = None
    """What the box was reckoned from."""
    grounded: frozenset[str] = frozenset()
    """Which of its facts have a source that is no guess."""
    tried: frozenset[str] = frozenset()
    """Which are given to try, and so are known for sure."""
    usual: Mapping[str, Usual] = field(default_factory=dict)
    """How well each input is known where nobody says better."""
    years: float = 1.0
    """Since the face was read, one at the least."""


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
    usual: Mapping[str, Usual] | None = None,
    film: Mapping[str, Any] | None = None,
    years: float = 0.0,
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
    usual : mapping, optional
        How well each input is known where no record says better.
    film : mapping, optional
        The substrate that was on when the face was read with a film on.
    years : float
        Since the face was read: what lamps may have faded grows with them, from that of one year on.
    """
    asked, notes, usual = what_if or WhatIf(), _Notes(), usuals({}) if usual is None else usual
    facts = {name: document.get(name, application.get(name)) for name in _INHERITED}
    lamp, lamp_words = _lamp(facts["lamp"] or {}, measured_lamp, asked, notes)
    panel = tried(asked.panel) if asked.panel else recorded(facts["panel"])
    notes.assumed += panel.assumed
    stood = facts["panel"] if "luminance" in document else application.get("panel", facts["panel"])
    grounded = _grounded(document, application)
    film_on = None if "box_reflectance_pct" in grounded else _film_on(document, film or {}, notes)
    if film_on:
        grounded |= {"box_reflectance_pct"}
        facts["box_reflectance_pct"] = 0.0  # what is recorded gives way to what that reading tells
    elif facts["box_reflectance_pct"] is None and asked.luminance_cd_m2 is None:
        facts["box_reflectance_pct"] = _usual_share(usual, notes)
    read, face = _box(facts, panel, recorded(stood), asked, notes)
    read = read and replace(read, film_on=film_on).fitted()
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
        read.box() if read else None,
        face,
        _read_words(facts["luminance"] or {}, asked),
        panel.front,
        panel.words,
        panel.diffuser,
        None if ambient is None else float(ambient),
        (asked.dark_pct or 0.0) / 100,
        tuple(dict.fromkeys(notes.assumed)),
        tuple(dict.fromkeys(notes.unknown)),
        read,
        grounded,
        asked.tried,
        usual,
        max(years, 1.0),
    )


def _grounded(document: Mapping[str, Any], application: Mapping[str, Any]) -> frozenset[str]:
    """Return the facts that have a source which is no guess, each where it is recorded."""
    held = {name: document if name in document else application for name in _INHERITED}
    return frozenset(name for name, record in held.items() if is_grounded(record, name))


def _film_on(document: Mapping[str, Any], film: Mapping[str, Any], notes: _Notes) -> FilmOn | None:
    """Return the reading with a film on, where that film is known."""
    if "film_reading" not in document:
        return None
    light = film.get("light", {})
    through, back = (light.get(name) for name in ("transmittance_pct", "reflectance_back_pct"))
    face = light.get("reflectance_face_pct", back)
    if not through or not back or through + max(back, face) > 100:
        name = document["film_reading"]["substrate"]
        notes.unknown.append(f"what the film that was on lets through and throws back ({name})")
        return None
    layer = Layer(through / 100, face / 100, back / 100)
    return FilmOn(float(document["film_reading"]["mean_cd_m2"]), layer)


def _usual_share(usual: Mapping[str, Usual], notes: _Notes) -> float | None:
    default = usual["box-reflectance"]
    if default.value is not None:
        said = f"{default.value:g} ± {default.u:g} %"
        notes.assumed.append(
            f"the box's reflectance is {said} ({default.source}): box_reflectance_pct is not recorded"
        )
    return default.value


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
) -> tuple[FaceRead | None, Unevenness | None]:
    """Return how the box became known, and how even its open face is.

    `stood` is the panel that was there when the face was read.
    """
    share = _box_share(facts["box_reflectance_pct"], asked, notes)
    if share is None:
        return None, None
    if asked.luminance_cd_m2 is not None:
        opened = FaceRead(asked.luminance_cd_m2, share, None, panel)
        return _seen(opened, notes), Unevenness(*[asked.luminance_cd_m2] * 3)
    luminance = facts["luminance"]
    if luminance is None or "points_cd_m2" not in luminance:
        notes.unknown.append("the face's luminance (luminance.points_cd_m2, nine points): try --luminance")
        return None, None
    points: Array = np.array(luminance["points_cd_m2"], dtype=np.float64)
    through = luminance.get("through", "nothing" if stood.position == "none" else None)
    if through is None:
        notes.unknown.append("what stood before the box when it was read (luminance.through)")
        return None, None
    read = FaceRead(float(points.mean()), share, stood if through == "panel" else None, panel)
    if through == "panel":
        return _without_panel(read, stood, notes), unevenness(points)
    return _seen(read, notes), unevenness(points)


def _box_share(reflectance_pct: float | None, asked: WhatIf, notes: _Notes) -> float | None:
    if reflectance_pct is None and asked.luminance_cd_m2 is not None:
        notes.assumed.append("what is behind throws nothing back: box_reflectance_pct is not recorded")
        return 0.0
    if reflectance_pct is None:
        notes.unknown.append("the box's reflectance (box_reflectance_pct)")
        return None
    if reflectance_pct > 100 * MOST:
        notes.assumed.append(f"a box_reflectance_pct of {reflectance_pct:g} is taken as {100 * MOST:g}")
    return min(reflectance_pct / 100, MOST)


def _without_panel(read: FaceRead, stood: Mounted, notes: _Notes) -> FaceRead | None:
    """Return the face where it was read through its panel, if that can be taken out."""
    if stood.position == "none":
        notes.unknown.append("the face was read through a panel and none is recorded (panel)")
        return None
    if stood.whole is not None:
        return _seen(read, notes)
    if stood.position == "behind" and stood == read.panel:  # it stays where it was: the two were read as one
        notes.assumed.append("box and panel throw back what box_reflectance_pct says, as one")
        return read
    notes.unknown.append(f"the luminance without the panel that it was read through: {stood.untold}")
    return None


def _seen(read: FaceRead, notes: _Notes) -> FaceRead | None:
    """Return the face; None where the panel that stands there now is not known."""
    if read.panel.untold:
        notes.unknown.append(read.panel.untold)
        return None
    return read


def _read_words(luminance: Mapping[str, Any], asked: WhatIf) -> str:
    if asked.luminance_cd_m2 is not None:
        return "the bare box, to try"
    through = {"nothing": ", nothing before it", "panel": ", through the panel"}
    when = luminance.get("measured", "a day not recorded")
    return f"read on {when}{through.get(luminance.get('through', ''), '')}"
