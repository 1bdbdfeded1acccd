"""A print in its place: how bright, how deep, how colourful, each number with what it rests on."""

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from registry.light.box import SURFACE_REFLECTANCE, Array, contrast, inked, kept_by_hall
from registry.light.lab import lab
from registry.light.sources import source
from registry.light.stack import Layer
from registry.light.temperature import NoTemperature, cct_duv
from registry.light.tristimulus import xyz
from registry.lit.printed import Print
from registry.lit.scene import Scene
from registry.lit.solids import solids

__all__ = ["Appearance", "Patch", "Unknown", "appearance"]


class Patch(NamedTuple):
    """One solid or overprint, as it looks there."""

    name: str
    luminance_cd_m2: float | None
    """Lit, without the hall's light."""
    lab: tuple[float, float, float]
    """Against the lit white, without the hall's light."""
    lab_in_hall: tuple[float, float, float] | None
    """Against the lit white with the hall's light in both."""
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
    lab_in_hall: Array | None
    luminance: Array | None
    """Of all patches, in cd/m², (n,)."""


class _Lights(NamedTuple):
    """Luminances of every patch, in cd/m²."""

    lit: Array
    thrown_back: Array | None


def appearance(scene: Scene, printed: Print) -> Appearance:
    """Return what a print looks like in a place; what cannot be told is left out, with the reason.

    Raises
    ------
    NoReadings
        The readings are too short for the lamp.
    """
    if scene.lamp is None:
        nothing = np.empty((0, 3))
        why = [Unknown(("lit.*",), each) for each in scene.unknown]
        return Appearance({}, (), printed.clear, tuple(why), (), (), nothing, None, None)
    colour = printed.under(scene.lamp)
    seen_through = printed.clear and not scene.diffuse
    white = colour[printed.white]
    in_dark = lab(colour, white)
    lights, unknown = _lights(scene, printed, colour[:, 1] / 100, seen_through=seen_through)
    in_hall = _in_hall(colour, printed.white, lights)
    values = _values(scene, printed, colour, lights)
    with suppress(NoTemperature):  # a white far from every black body has no colour temperature
        values["lit.cct_k"], values["lit.duv"] = cct_duv(white)
    unlit = _unlit(printed)
    values |= _gamuts(in_dark, in_hall, unlit if scene.lighting == "dual" else None)
    return Appearance(
        values,
        tuple(_solids(printed, in_dark, in_hall, unlit, lights)),
        seen_through,
        tuple(unknown),
        printed.said,
        (*scene.assumed, *printed.assumed, *_doubts(printed, colour)),
        in_dark,
        in_hall,
        lights.lit if lights else None,
    )


def _lights(
    scene: Scene, printed: Print, transmittance: Array, *, seen_through: bool
) -> tuple[_Lights | None, list[Unknown]]:
    """Return the luminances, or None with what stands in the way."""
    everything = ("lit.white_cd_m2", "lit.black_cd_m2", "lit.contrast")
    if seen_through:
        why = "the print is clear and nothing behind it is known to spread light: one sees through it"
        return None, [Unknown(everything, why)]
    missing = [*scene.unknown, *printed.unknown]
    if scene.box is None or printed.back is None or printed.face is None:
        return None, [Unknown(everything, each) for each in missing]
    through = float(transmittance[printed.white])
    if through + max(printed.back, printed.face) > 1:
        total = through + max(printed.back, printed.face)
        why = f"the bare material's transmittance and reflectance add up to {total:.2f}: one is wrong"
        return None, [Unknown(everything, why)]
    film = Layer(through, printed.face, printed.back)
    ink = np.minimum(transmittance / through, 1.0)  # what reads lighter than the film is doubted besides
    print_layer = inked(film, ink, towards_viewer=printed.towards_viewer)
    whole = scene.front.over(print_layer) if scene.front else print_layer
    towards_box = float(np.broadcast_to(whole.back_reflectance, transmittance.shape)[printed.white])
    lit = scene.box.lit(whole, towards_box)
    veil = None if scene.hall_lx is None else scene.box.thrown_back(whole, scene.hall_lx)
    return _Lights(lit, veil), [Unknown(("lit.contrast",), each) for each in missing]


def _values(scene: Scene, printed: Print, colour: Array, lights: _Lights | None) -> dict[str, float]:
    white, black = printed.white, int(np.argmin(colour[:, 1]))
    in_dark = float(contrast(colour[white, 1], colour[black, 1]))
    values = {"lit.contrast_dark": in_dark}
    if lights is None:
        return values
    lit, veil = lights
    values |= {"lit.white_cd_m2": float(lit[white]), "lit.black_cd_m2": float(lit[black])}
    if scene.face:
        values["lit.least_white_cd_m2"] = float(lit[white]) * scene.face.least / scene.face.mean
    if veil is None:
        return values
    in_hall = float(contrast(lit[white] + veil[white], lit[black] + veil[black]))
    values |= {
        "lit.hall_cd_m2": float(lit[black] + veil[black]),
        "lit.contrast": in_hall,
        "lit.kept_pct": 100 * kept_by_hall(in_hall, in_dark),
    }
    if scene.hall_lx:
        values["lit.contrast_unlit"] = float(contrast(veil[white], veil[black]))
    return values


def _in_hall(colour: Array, white: int, lights: _Lights | None) -> Array | None:
    """Return Lab with the hall's light in it, taken to be of the lit white's colour."""
    if lights is None or lights.thrown_back is None:
        return None
    of_light = np.where(colour[:, 1] > 0, lights.lit / np.maximum(colour[:, 1], 1e-12), 0)
    veiled = colour * of_light[:, None] + np.outer(lights.thrown_back, colour[white] / colour[white, 1])
    return lab(veiled, veiled[white])


def _unlit(printed: Print) -> Array | None:
    """Return Lab of what the face throws back of daylight (D65), light passing the ink twice.

    The surface's own share is left in; an ink that lies behind the material throws back what the bare
    material does, so there is nothing to tell of it.
    """
    if printed.face is None or not printed.towards_viewer:
        return None
    bare = np.maximum(printed.spectra[printed.white], 1e-6)
    twice = np.minimum(printed.spectra / bare, 1.0) ** 2
    surface = min(SURFACE_REFLECTANCE, printed.face)
    colour = xyz(surface + (printed.face - surface) * twice, printed.grid, source("D65"))
    return lab(colour, colour[printed.white])


def _gamuts(in_dark: Array, in_hall: Array | None, unlit: Array | None) -> dict[str, float]:
    from registry.light.gamut import Gamut, GamutError  # noqa: PLC0415 (scipy, not needed by who only imports this)

    found = {
        "lit.gamut_volume_dark": in_dark,
        "lit.gamut_volume": in_hall,
        "lit.gamut_volume_unlit": unlit,
    }
    volumes = {}
    for path, points in found.items():
        with suppress(GamutError):  # too few patches, or all in one plane: no body, no volume
            if points is not None:
                volumes[path] = Gamut(points).volume
    return volumes


def _solids(
    printed: Print, in_dark: Array, in_hall: Array | None, unlit: Array | None, lights: _Lights | None
) -> Iterator[Patch]:
    for name, rows in solids(printed.patches):
        yield Patch(
            name,
            float(lights.lit[rows].mean()) if lights else None,
            _triple(in_dark[rows]),
            None if in_hall is None else _triple(in_hall[rows]),
            None if unlit is None else _triple(unlit[rows]),
        )


def _triple(rows: Array) -> tuple[float, float, float]:
    first, second, third = rows.mean(axis=0)
    return float(first), float(second), float(third)


def _doubts(printed: Print, colour: Array) -> Iterator[str]:
    if int(np.argmax(colour[:, 1])) != printed.white:
        yield "a printed patch reads lighter than the unprinted one: look at the measurement"
