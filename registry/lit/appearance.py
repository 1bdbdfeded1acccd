"""A print in its place: how bright, how deep, how colourful, each number with what it rests on."""

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from registry.light.box import Array, Box, contrast, kept_in_ambient
from registry.light.grid import SpectrumError
from registry.light.inked import inked
from registry.light.lab import lab
from registry.light.sources import Source, source
from registry.light.stack import Layer
from registry.light.temperature import NoTemperature, cct_duv
from registry.light.tristimulus import xyz
from registry.lit.printed import Print
from registry.lit.scene import Scene
from registry.lit.solids import solids

__all__ = ["Appearance", "Patch", "Unknown", "appearance", "luminances"]

_SEEN_THROUGH = "the print is clear and nothing behind it is known to spread light: one sees through it"
_AMBIENT = ("lit.contrast",)
_ALL = ("lit.white_cd_m2", "lit.black_cd_m2", *_AMBIENT)
_READABLE = 0.01
"""Least luminance factor, in %, that is told from black: the last digit of most readings, density 4."""
_FINE_NM = 10
"""Between coarser readings the peaks of a lamp lie unread."""
_DARK = 1e-6
"""Where the bare material lets less through, no ink can be told."""


class Patch(NamedTuple):
    """One solid or overprint, as it looks there."""

    name: str
    luminance_cd_m2: float | None
    """Lit, without ambient light."""
    lab: tuple[float, float, float]
    """Against the lit white, without ambient light."""
    lab_in_ambient: tuple[float, float, float] | None
    """Against the lit white with ambient light in both."""
    lab_unlit: tuple[float, float, float] | None
    """By day with the lamps off, against the unprinted face: what it throws back of daylight."""


class Unknown(NamedTuple):
    """Quantities that cannot be told, and why."""

    paths: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Appearance:
    """One print in one place."""

    values: Mapping[str, float]
    """Quantities by their path (`registry.lit.quantities`); what cannot be told is absent."""
    patches: tuple[Patch, ...]
    see_through: bool
    """A clear sheet with nothing known to spread light: what stands behind is seen through it."""
    unknown: tuple[Unknown, ...]
    said: tuple[str, ...]
    assumed: tuple[str, ...]
    lab: Array
    """Of all patches in the dark, (n, 3)."""
    lab_in_ambient: Array | None
    luminance: Array | None
    """Of all patches, in cd/m², (n,)."""
    film: Layer | None = None
    """The unprinted film there, where it is known."""


class _Lights(NamedTuple):
    """What comes from every patch, in cd/m²."""

    lit: Array
    """Luminances, (n,)."""
    thrown_back: Array | None
    """XYZ of ambient light, Y the luminance, (n, 3)."""


def appearance(scene: Scene, printed: Print, *, gamut: bool = True) -> Appearance:
    """Return what a print looks like in a place; what cannot be told is left out, with the reason.

    Without `gamut` its volumes are left out, which alone need a library that is slow to load.

    Raises
    ------
    NoReadings
        The readings are too short for the lamp.
    """
    if scene.lamp is None:
        nothing = np.empty((0, 3))
        why = [Unknown(("lit.*",), each) for each in scene.unknown]
        return Appearance({}, (), printed.body.clear, tuple(why), (), (), nothing, None, None)
    colour = printed.under(scene.lamp)
    seen_through = printed.body.clear and not scene.diffuse
    white = colour[printed.white]
    film, untold = (None, (_SEEN_THROUGH,)) if seen_through else printed.body.layer(float(white[1]) / 100)
    colour, whole = _before_box(scene, printed, colour, film)
    in_dark = lab(colour, colour[printed.white])
    lights = _lights(scene, scene.lamp, printed, whole, film) if film and whole else None
    in_ambient = _in_ambient(colour, printed.white, lights)
    values = {path: float(value) for path, value in _values(scene, printed, colour, lights).items()}
    with suppress(NoTemperature):  # a white far from every black body has no colour temperature
        values["lit.cct_k"], values["lit.duv"] = cct_duv(white)
    unlit = _unlit(scene, printed, film) if film else None
    if gamut:
        values |= _gamuts(in_dark, in_ambient, unlit if scene.lighting == "dual" else None)
    missing = untold if seen_through else (*scene.unknown, *untold)
    taken = printed.body.words(film) if film else printed.body.assumed
    return Appearance(
        values,
        tuple(_solids(printed, in_dark, in_ambient, unlit, lights)),
        seen_through,
        (*(Unknown(_AMBIENT if lights else _ALL, why) for why in missing), *_no_black(printed, colour)),
        printed.said,
        (*scene.assumed, *printed.assumed, *taken, *_doubts(scene, printed, colour, whole)),
        in_dark,
        in_ambient,
        lights.lit if lights else None,
        film,
    )


def luminances(scene: Scene, printed: Print, film: Layer | None) -> dict[str, Array]:
    """Return every quantity of luminance and contrast by its path, as `appearance` has it.

    What scene, print and film hold may be columns of draws: spectra are of shape (draws, patches,
    wavelengths) then, everything else of (draws, 1).
    """
    if scene.lamp is None:
        return {}
    colour, whole = _before_box(scene, printed, printed.under(scene.lamp), film)
    lights = _lights(scene, scene.lamp, printed, whole, film) if film and whole else None
    return _values(scene, printed, colour, lights)


def _before_box(
    scene: Scene, printed: Print, colour: Array, film: Layer | None
) -> tuple[Array, Layer | None]:
    """Return the colours of a print as seen there, and all that hangs before the box as one layer."""
    if film is None:
        return colour, None
    ink = np.minimum(colour[..., 1] / colour[..., printed.white, 1, np.newaxis], 1.0)  # lighter is doubted
    alone = inked(film, ink, in_front=printed.body.in_front)
    whole = scene.front.over(alone) if scene.front else alone
    return _through_panel(colour, alone, whole), whole


def _through_panel(colour: Array, alone: Layer, whole: Layer) -> Array:
    """Return the colours as they are seen through a panel: it throws light back, and pale ink returns it."""
    through = np.asarray(alone.transmittance)
    passing = np.where(through > 0, whole.transmittance / np.maximum(through, 1e-12), 1)
    seen: Array = colour * passing[..., np.newaxis]
    return seen


def _lights(scene: Scene, lamp: Source, printed: Print, whole: Layer, film: Layer) -> _Lights | None:
    """Return the light that comes from each patch; None where the box is not known."""
    if scene.box is None:
        return None
    through = np.asarray(whole.transmittance)
    backs = np.broadcast_to(whole.back_reflectance, through.shape)
    dark, bright = backs[..., _darkest(through)], backs[..., printed.white]
    mean = scene.dark_share * dark + (1 - scene.dark_share) * bright
    lit = scene.box.lit(whole, mean[..., np.newaxis])
    if scene.ambient_lx is None:
        return _Lights(lit, None)
    lux = np.asarray(scene.ambient_lx)[..., np.newaxis]
    return _Lights(lit, lux * _thrown_back(scene, printed, film, lamp))


def _darkest(through: Array) -> int:
    """Return the row of the darkest patch, of draws in the mean."""
    return int(np.argmin(through.reshape(-1, through.shape[-1]).mean(axis=0)))


def _thrown_back(scene: Scene, printed: Print, film: Layer, light: Source) -> Array:
    """Return XYZ of what each patch throws back of 1 lx, in cd/m².

    The ink colours it, wavelength by wavelength; film, panel and box are taken as grey.
    """
    bare = np.maximum(printed.spectra[..., printed.white, np.newaxis, :], _DARK)
    ink = np.minimum(printed.spectra / bare, 1.0)
    whole = inked(_deep(film), ink, in_front=printed.body.in_front)
    whole = _deep(scene.front).over(whole) if scene.front else whole
    box = Box(1.0, np.asarray(scene.box.reflectance)[..., np.newaxis] if scene.box else 0.0)
    return xyz(box.thrown_back(whole, 1.0), printed.grid, light) / 100


def _values(scene: Scene, printed: Print, colour: Array, lights: _Lights | None) -> dict[str, Array]:
    through = colour[..., 1]
    white, black = printed.white, _darkest(through)
    values: dict[str, Array] = {}
    darker = black != white
    if darker and (through[..., black] > 0).all():
        values["lit.contrast_dark"] = contrast(through[..., white], through[..., black])
    if lights is None:
        return values
    lit = lights.lit
    values["lit.white_cd_m2"] = lit[..., white]
    if scene.face:
        values["lit.least_white_cd_m2"] = lit[..., white] * scene.face.least / scene.face.mean
    if not darker:
        return values
    values["lit.black_cd_m2"] = lit[..., black]
    if lights.thrown_back is None:
        return values
    veil = lights.thrown_back[..., 1]
    seen = lit + veil
    values["lit.black_ambient_cd_m2"] = seen[..., black]
    if (seen[..., black] > 0).all():
        values["lit.contrast"] = contrast(seen[..., white], seen[..., black])
        if "lit.contrast_dark" in values:
            values["lit.kept_pct"] = 100 * kept_in_ambient(
                values["lit.contrast"], values["lit.contrast_dark"]
            )
    if (veil[..., black] > 0).all():
        values["lit.contrast_unlit"] = contrast(veil[..., white], veil[..., black])
    return values


def _deep(layer: Layer) -> Layer:
    """Return a layer as it stands beside patches read wavelength by wavelength, columns of draws too."""
    faces = (layer.transmittance, layer.front_reflectance, layer.back_reflectance)
    return Layer(*(np.asarray(each)[..., np.newaxis] for each in faces))


def _no_black(printed: Print, colour: Array) -> Iterator[Unknown]:
    """Yield why there is no contrast to tell, where there is none."""
    darkest = float(colour[:, 1].min())
    if darkest == colour[printed.white, 1]:
        everything = ("lit.black_cd_m2", "lit.contrast", "lit.contrast_dark")
        yield Unknown(everything, "no patch darker than the unprinted one was read, so there is no contrast")
    elif darkest <= 0:
        why = "the darkest patch reads 0, blacker than was read: its contrast in the dark is not known"
        yield Unknown(("lit.contrast_dark", "lit.kept_pct"), why)


def _in_ambient(colour: Array, white: int, lights: _Lights | None) -> Array | None:
    """Return Lab with ambient light in it."""
    if lights is None or lights.thrown_back is None:
        return None
    of_light = np.where(colour[:, 1] > 0, lights.lit / np.maximum(colour[:, 1], 1e-12), 0)
    veiled = colour * of_light[:, np.newaxis] + lights.thrown_back
    return lab(veiled, veiled[white])


def _unlit(scene: Scene, printed: Print, film: Layer) -> Array | None:
    """Return Lab of what the face throws back of daylight (D65) with the lamps off.

    Ink that lies behind what spreads the light does not show by day, so there is nothing to tell of it.
    """
    if not printed.body.in_front:
        return None
    with suppress(SpectrumError):  # too little of daylight was read
        thrown = _thrown_back(scene, printed, film, source("D65"))
        if (thrown[printed.white] > 0).all():
            return lab(thrown, thrown[printed.white])
    return None


def _gamuts(in_dark: Array, in_ambient: Array | None, unlit: Array | None) -> dict[str, float]:
    from registry.light.gamut import enclosed  # noqa: PLC0415 (scipy, not needed by who only imports this)

    found = {
        "lit.gamut_volume_dark": in_dark,
        "lit.gamut_volume": in_ambient,
        "lit.gamut_volume_unlit": unlit,
    }
    bodies = {path: enclosed(points) for path, points in found.items() if points is not None}
    return {path: body.volume for path, body in bodies.items() if body}


def _solids(
    printed: Print, in_dark: Array, in_ambient: Array | None, unlit: Array | None, lights: _Lights | None
) -> Iterator[Patch]:
    for name, rows in solids(printed.patches):
        yield Patch(
            name,
            float(lights.lit[rows].mean()) if lights else None,
            _triple(in_dark[rows]),
            None if in_ambient is None else _triple(in_ambient[rows]),
            None if unlit is None else _triple(unlit[rows]),
        )


def _triple(rows: Array) -> tuple[float, float, float]:
    first, second, third = rows.mean(axis=0)
    return float(first), float(second), float(third)


def _doubts(scene: Scene, printed: Print, colour: Array, whole: Layer | None) -> Iterator[str]:
    if scene.lamp and scene.lamp.grid.step_nm > _FINE_NM:
        yield (
            f"the lamp was read every {scene.lamp.grid.step_nm} nm: the colour temperature of an LED may be "
            "6 % off, that of a fluorescent lamp says nothing"
        )
    if scene.front and whole is None:
        yield "the panel in front is left out of contrast and colours in the dark: what the print throws back"
    if int(np.argmax(colour[:, 1])) != printed.white:
        yield "a printed patch reads lighter than the unprinted one: look at the measurement"
    if 0 < colour[:, 1].min() < _READABLE:
        yield (
            "the darkest patch reads below 0.01 %, where few instruments tell black from black: the contrast "
            "in the dark may be more or less"
        )
