"""From a question to the registry: the load that a ladder calls for, on one material and printer."""

import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from registry.errors import RegistryError, RequestError
from registry.light.fit import FitError
from registry.light.ink import ink_volume
from registry.light.sources import source
from registry.light.stack import Layer
from registry.lit.asking import scene_named
from registry.lit.scene import Scene
from registry.lit.target import density_for_contrast
from registry.measurement import read_cgats
from registry.question.advice import Remark
from registry.question.hypothetical import judged
from registry.question.names import named
from registry.question.registry import Registry
from registry.question.when import Version, newest_version, withdrawal_words
from registry.tune.choose import Choice, choose
from registry.tune.criteria import Asked
from registry.tune.ladder import Ladder, ladder_of

__all__ = ["TuneAnswer", "TuneRequest", "starting_mode", "tune"]

_DEFAULT_LAMP = "D50"
_RESOLUTION = re.compile(r"[1-9][0-9]{1,3}x[1-9][0-9]{1,3}")
_FILM_OFF = 0.1
"""A film whose transmittance lies so far (as a share) from the record's is worth a word."""


class TuneRequest(NamedTuple):
    """One question."""

    substrate: str
    printer: str
    use: str = ""
    """Application or display: its lamp, and the contrast asked for in its light."""
    contrast: float | None = None
    """Contrast in ambient light that the black has to reach there."""
    resolution: str = ""
    """That the ladder was printed at; the printer's first where empty."""
    criteria: Asked = Asked()


class TuneAnswer(NamedTuple):
    """The load to use, as of a commit."""

    commit: str
    substrate: Version
    printer: Version
    scene: Scene | None
    lamp: str
    ladder: Ladder
    criteria: Asked
    """As asked, a contrast turned into the density that it needs."""
    contrast: float | None
    choice: Choice
    volume_ml_m2: float | None
    """Of one solid at the load; None where the drop volume is unknown."""
    resolution: str
    remarks: tuple[Remark, ...]
    doubts: tuple[str, ...]
    against: tuple[str, ...]
    """Why nothing of this is to be printed: a withdrawn material, guidance that refuses it."""


def tune(registry: Registry, data: bytes, request: TuneRequest) -> TuneAnswer:
    """Return the load that a ladder calls for.

    Raises
    ------
    RequestError
        A contrast without a place, or one that no black can reach there.
    RegistryError
        The file is no ladder, or too few of its loads can be used.
    """
    substrate = newest_version(registry, named(registry, request.substrate, ("substrate",)))
    printer = newest_version(registry, named(registry, request.printer, ("printer",)))
    scene = scene_named(registry, request.use)[1] if request.use else None
    lamp = scene.lamp if scene and scene.lamp else source(_DEFAULT_LAMP)
    ladder = ladder_of(read_cgats(data), lamp)
    criteria = _with_density(request, scene, substrate.document, ladder)
    try:
        choice = choose(ladder, criteria, printer.document.get("passes", ()))
    except FitError as error:
        raise RegistryError(f"the ladder allows no choice: {error}") from error
    resolution = request.resolution or str(printer.document.get("resolutions", [""])[0])
    if resolution and not _RESOLUTION.fullmatch(resolution):
        raise RequestError(f"{resolution!r} is no resolution: write dots an inch both ways, as 720x720")
    mode = starting_mode(substrate.rid, printer.rid, choice, resolution)
    case = {"substrate": substrate.document, "mode": mode, "printer": printer.document}
    remarks = tuple(each for each in judged(registry, case) if each.certain)
    refusals = [f"{each.text} ({each.source})" for each in remarks if each.refuses]
    return TuneAnswer(
        registry.commit,
        substrate,
        printer,
        scene,
        lamp.name if scene is None or scene.lamp is None else scene.lamp_words,
        ladder,
        criteria,
        request.contrast,
        choice,
        _volume(printer.document, resolution, choice.load_pct),
        resolution,
        remarks,
        (*choice.doubts, *_doubts(ladder, substrate.document, printer.document, choice), *_of_lamp(scene)),
        tuple(filter(None, (withdrawal_words(substrate.rid, substrate.document), *refusals))),
    )


def starting_mode(substrate: str, printer: str, choice: Choice, resolution: str) -> dict[str, Any]:
    """Return the beginning of a print mode on trial with the load chosen, as it is entered: whole."""
    return {
        "substrate": substrate,
        "printer": printer,
        "lighting": "backlit",
        "print_side": "first-surface",
        "mirrored": False,
        "status": "trial",
        "layers": [{"what": "colour", "load_pct": float(round(choice.load_pct))}],
        "motion": {"passes": choice.passes, **({"resolution": resolution} if resolution else {})},
    }


def _with_density(
    request: TuneRequest, scene: Scene | None, substrate: Mapping[str, Any], ladder: Ladder
) -> Asked:
    """Return the criteria, the contrast wanted turned into a density over the film."""
    asked = request.criteria
    if request.contrast is None:
        return asked
    if scene is None:
        raise RequestError("a contrast is asked for in a place: name it with --for")
    light = substrate.get("light", {})
    if "reflectance_back_pct" not in light:
        raise RequestError(
            f"{request.substrate} has no light.reflectance_back_pct: contrast in ambient light rests on it"
        )
    if light.get("scattering") == "clear" and not scene.diffuse:
        raise RequestError(f"{request.substrate} is clear: lit, one sees through it, and no contrast is told")
    back = light["reflectance_back_pct"] / 100
    try:
        film = Layer(ladder.white_transmittance, light.get("reflectance_face_pct", 100 * back) / 100, back)
        density = density_for_contrast(scene, film, request.contrast)
    except ValueError as error:
        raise RequestError(str(error)) from error
    if density is None:
        raise RequestError(
            f"no black reaches a contrast of {request.contrast:g}:1 at {scene.title} in {scene.ambient_lx:g} "
            "lx: its face throws back too much of ambient light"
        )
    return asked.with_density(density)


def _volume(printer: Mapping[str, Any], resolution: str, load_pct: float) -> float | None:
    drop = printer.get("drop_volume_pl")
    if drop is None or not resolution:
        return None
    across, along = (int(each) for each in resolution.split("x"))
    return round(ink_volume(drop, (across, along), load_pct), 2)


def _of_lamp(scene: Scene | None) -> Iterator[str]:
    if scene is not None and scene.lamp is None:
        yield f"the lamp of {scene.title} is unknown: colours are computed under {_DEFAULT_LAMP}"


def _doubts(
    ladder: Ladder, substrate: Mapping[str, Any], printer: Mapping[str, Any], choice: Choice
) -> Iterator[str]:
    said = substrate.get("light", {}).get("transmittance_pct")
    read = 100 * ladder.white_transmittance
    if said is not None and abs(read / said - 1) > _FILM_OFF:
        yield f"the film reads {read:.1f} % under the lamp, its record says {said:g} %: is it this film?"
    offered = printer.get("passes", [])
    if offered and choice.passes not in offered:
        yield f"the printer offers no {choice.passes} passes: {', '.join(map(str, offered))}"
    usual = printer.get("backlit_load_pct", {})
    low, high = usual.get("low_pct"), usual.get("high_pct")
    if low is not None and high is not None and not low <= choice.load_pct <= high:
        yield f"the load lies outside the printer's usual backlit range, {low:g} to {high:g} %"
