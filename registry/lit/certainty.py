"""How well the looks of a print in a place are known: every input drawn, and looked at the same way."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from registry.light.box import Array
from registry.light.fraction import Numbers
from registry.light.stack import Layer
from registry.light.uncertainty import Input, Known, known, points
from registry.lit.appearance import Appearance, luminances
from registry.lit.colour_certainty import gamut_known, temperature_known
from registry.lit.panel import Mounted
from registry.lit.printed import Print
from registry.lit.reading import MOST, FaceRead
from registry.lit.scene import Scene

__all__ = ["Certainty", "certainty"]

_MATTERS = 0.01
"""Of the variance: what brings less than this does not decide whether a number rests on it."""
_LEAST = 1e-6
"""What any patch lets through at the least: a draw of its zero takes it no lower."""
_NEXT_TO_NOTHING = 1e-6
"""Of its own value: no draw of what lets light through, or gives it, is nothing at all."""
_OF_PATCH = ":"
_OF_THE_PRINT = {"lit.cct_k", "lit.duv", "lit.gamut_volume_dark"}
"""What is not drawn and rests on the readings of the print alone."""

Drawn = Mapping[str, Array]
"""Columns of draws by the name of the input."""


@dataclass(frozen=True, slots=True)
class Certainty:
    """How well each quantity is known."""

    of: Mapping[str, Known]
    """By path."""
    words: Mapping[str, str]
    """What people call each input."""
    unmeasured: frozenset[str]
    """The inputs whose value nobody measured."""

    def rests_on(self, path: str) -> tuple[str, ...]:
        """Return the inputs that matter to a quantity and that nobody measured, what matters most first."""
        if path in _OF_THE_PRINT:
            return ()
        if path not in self.of:  # it was not drawn: any of them may matter
            return tuple(sorted(self.unmeasured))
        shares = self.of[path].shares
        return tuple(name for name, share in shares if name in self.unmeasured and share >= _MATTERS)


def certainty(scene: Scene, printed: Print, appearance: Appearance, *, colour: bool = True) -> Certainty:
    """Return how well what is said of a print in a place is known; without `colour` not that of its white.

    Notes
    -----
    Drawn are the inputs that the models name (`registry.model.usual`): the repeatability of each patch by
    itself, everything else alike for all patches. Left out: where the model itself falls short.
    """
    if scene.lamp is None or appearance.film is None:
        return Certainty({}, {}, frozenset())
    inputs = tuple(_inputs(scene, printed, appearance.film))
    drawn = points(inputs)
    at = {name: values[:, np.newaxis] for name, values in drawn.items()}
    read = printed.under(scene.lamp)
    rows = [printed.white, int(np.argmin(read[:, 1]))]
    varied = replace(printed, spectra=_spectra(printed.spectra[rows], at), white=0)
    whites = varied.under(scene.lamp)[:, :1, 1] / 100
    film = _film(appearance.film, whites, at, white=printed.body.white)
    found = luminances(_scene(scene, at), varied, film)
    of = {path: _known(found[path], inputs) for path in found if path in appearance.values}
    if colour:
        of |= dict(_of_colour(scene, printed, appearance, read))
    used = dict.fromkeys([*map(_plain, drawn), *(name for each in of.values() for name, _ in each.shares)])
    return Certainty(
        of,
        {name: scene.usual[name].words for name in used},
        frozenset(_plain(each.name) for each in inputs if not each.measured),
    )


def _of_colour(
    scene: Scene, printed: Print, appearance: Appearance, read: Array
) -> Iterator[tuple[str, Known]]:
    """Yield how well the colour of the white and the gamut in the dark are known."""
    if "lit.cct_k" in appearance.values:
        yield from temperature_known(read[printed.white], scene.usual).items()
    if "lit.gamut_volume_dark" in appearance.values and (
        found := gamut_known(appearance.lab, printed.white, scene.usual)
    ):
        yield "lit.gamut_volume_dark", found


def _inputs(scene: Scene, printed: Print, film: Layer) -> Iterator[Input]:
    """Yield what the looks of a print rest on, each with its value as they take it."""

    def input_(
        name: str,
        value: Numbers,
        *,
        unit: float,
        measured: bool = True,
        most: float = np.inf,
        times: float = 1.0,
    ) -> Input:
        default = scene.usual[_plain(name)]
        u = times * default.of(float(value), unit)
        least = -np.inf if name == "reading-zero" else _NEXT_TO_NOTHING * float(value)
        return Input(name, float(value), u, measured=measured, source=default.source, least=least, most=most)

    if scene.read and "luminance" not in scene.tried:
        read = "luminance" in scene.grounded
        yield input_("luminance-reading", scene.read.luminance_cd_m2, unit=1, measured=read)
        yield input_("lamp-age", 1.0, unit=0.01, times=scene.years)
    if scene.read and scene.read.film_on:
        yield input_("film-reading", scene.read.film_on.luminance_cd_m2, unit=1)
    elif scene.read:
        share, measured = scene.read.reflectance, "box_reflectance_pct" in scene.grounded
        yield input_("box-reflectance", share, unit=0.01, measured=measured, most=MOST)
    if scene.ambient_lx is not None and "ambient_lx" not in scene.tried:
        yield input_("ambient-light", scene.ambient_lx, unit=1, measured="ambient_lx" in scene.grounded)
    if scene.read and scene.read.panel.layer and "panel" not in scene.tried:
        layer, read = scene.read.panel.layer, "panel" in scene.grounded
        yield input_("panel-transmittance", layer.transmittance, unit=0.01, measured=read, most=1.0)
        if not _absorbs_nothing(layer):
            yield input_("panel-reflectance", layer.front_reflectance, unit=0.01, measured=read, most=1.0)
    yield input_("film-batch", 1.0, unit=0.01)
    yield input_(
        "film-reflectance", film.back_reflectance, unit=0.01, measured=printed.body.grounded, most=1.0
    )
    yield input_("reading-calibration", 1.0, unit=0.01)
    yield input_(f"reading-repeatability{_OF_PATCH}white", 1.0, unit=0.01)
    yield input_(f"reading-repeatability{_OF_PATCH}black", 1.0, unit=0.01)
    yield input_("reading-zero", 0.0, unit=0.01)


def _spectra(spectra: Array, at: Drawn) -> Array:
    """Return the spectra of white and black, (draws, 2, wavelengths)."""
    each = np.stack([at[f"reading-repeatability{_OF_PATCH}{patch}"] for patch in ("white", "black")], axis=1)
    alike = (at["film-batch"] * at["reading-calibration"])[:, np.newaxis]
    answer: Array = np.clip(spectra * each * alike + at["reading-zero"][:, np.newaxis], _LEAST, 1.0)
    return answer


def _film(film: Layer, through: Array, at: Drawn, *, white: bool) -> Layer:
    """Return the film as a layer; of white on it, what it does not let through it throws back."""
    more = at["film-reflectance"] - float(film.back_reflectance)
    if white:
        more = more - (through - float(film.transmittance))
    return _layer(film, through, more)


def _layer(layer: Layer, through: Numbers, more: Numbers) -> Layer:
    """Return a layer of so much transmittance that throws more or less back on either side."""
    most = 1 - np.asarray(through, dtype=np.float64)
    thrown = (layer.front_reflectance + more, layer.back_reflectance + more)
    return Layer(through, *(np.clip(each, 0.0, most) for each in thrown))


def _scene(scene: Scene, at: Drawn) -> Scene:
    """Return a place with columns of draws for what is known of it."""
    ambient = at.get("ambient-light", scene.ambient_lx)
    if scene.read is None:
        return replace(scene, ambient_lx=ambient)
    read = _read(scene.read, at)
    return replace(scene, box=read.box(), front=read.panel.front, ambient_lx=ambient, read=read)


def _read(read: FaceRead, at: Drawn) -> FaceRead:
    film_on = read.film_on
    return FaceRead(
        at.get("luminance-reading", read.luminance_cd_m2) * at.get("lamp-age", 1.0),
        at.get("box-reflectance", read.reflectance),
        read.stood and _panel(read.stood, read.panel, at),
        _panel(read.panel, read.panel, at),
        film_on and replace(film_on, luminance_cd_m2=at["film-reading"] * at.get("lamp-age", 1.0)),
    ).fitted()


def _panel(panel: Mounted, drawn: Mounted, at: Drawn) -> Mounted:
    """Return a panel by as much off as the one that was drawn."""
    if panel.layer is None or drawn.layer is None or "panel-transmittance" not in at:
        return panel
    wider = at["panel-transmittance"] - float(drawn.layer.transmittance)
    through = np.clip(panel.layer.transmittance + wider, _LEAST, 1.0)
    more = -wider
    if "panel-reflectance" in at:
        more = at["panel-reflectance"] - float(drawn.layer.front_reflectance)
    return replace(panel, layer=_layer(panel.layer, through, more))


def _absorbs_nothing(layer: Layer) -> bool:
    return bool(np.isclose(layer.transmittance + layer.front_reflectance, 1.0))


def _known(values: Array, inputs: tuple[Input, ...]) -> Known:
    """Return what a quantity is worth, the repeatability of all patches told as one."""
    found = known(values, inputs)
    shares: dict[str, float] = {}
    for name, share in found.shares:
        shares[_plain(name)] = shares.get(_plain(name), 0.0) + share
    return found._replace(shares=tuple(sorted(shares.items(), key=lambda each: -each[1])))


def _plain(name: str) -> str:
    return name.partition(_OF_PATCH)[0]
