"""From a question to the registry: how modes will look in a display."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any, NamedTuple

from registry.errors import RegistryError
from registry.light.grid import SpectrumError
from registry.light.sources import Source
from registry.lit.appearance import Appearance, appearance
from registry.lit.beside import Beside, beside
from registry.lit.certainty import Certainty, certainty
from registry.lit.lamp import lamp_of
from registry.lit.printed import NoReadings, print_in
from registry.lit.scene import Scene, WhatIf, scene_of
from registry.lit.twin import Twin, twin
from registry.measurement import MeasurementError, read_cgats
from registry.model.kinds import path_of
from registry.model.usual import usuals
from registry.question.attached import Wanted, attached, measurement_of
from registry.question.dates import span
from registry.question.names import referred
from registry.question.registry import Registry
from registry.question.when import Version, newest_version, version

__all__ = ["LightAnswer", "LitMode", "light", "lit_modes", "scene_named"]

_YEAR_S = 365.25 * 24 * 3600


class LitMode(NamedTuple):
    """One mode, as it looks there."""

    version: Version
    appearance: Appearance | None
    why_not: str
    """Why nothing can be told of it; empty where something can."""
    twin: Twin | None = None
    """Of a print read in reflection: what would become of it, lit."""
    beside: Beside | None = None
    """In the other place, where one was named."""
    certainty: Certainty | None = None
    """How well what is told of it is known."""


class LightAnswer(NamedTuple):
    """How modes look in one place, as of a commit."""

    commit: str
    use: Version
    scene: Scene
    modes: tuple[LitMode, ...]
    other: Scene | None = None
    """Another place to look at the same prints in."""


def light(
    registry: Registry,
    use: str,
    modes: Sequence[str],
    what_if: WhatIf | None = None,
    *,
    other: str = "",
) -> LightAnswer:
    """Return how modes (`MODE[@WHEN]`, else the one to work with) look in an application or a display.

    `other` is another such place, to say how far apart the same prints look there.
    """
    place, scene = scene_named(registry, use, what_if)
    versions = [version(registry, each, ("print-mode",), offered=True) for each in modes]
    there = scene_named(registry, other)[1] if other else None
    lit = tuple(lit_modes(registry, scene, versions, there))
    return LightAnswer(registry.commit, place, scene, lit, there)


def scene_named(registry: Registry, use: str, what_if: WhatIf | None = None) -> tuple[Version, Scene]:
    """Return an application or a display, `@WHEN` too, and the scene that it is."""
    place = version(registry, use, ("application", "display"))
    if place.document["lighting"] == "frontlit":
        raise RegistryError(
            f"{place.rid} is front-lit: nothing shines through the print there, so its reference measurement "
            "in reflection says how it looks"
        )
    own = place.document.get("application")
    application = newest_version(registry, referred(registry, own, "application")).document if own else {}
    return place, scene_of(
        place.kind,
        place.rid,
        place.document,
        application,
        measured_lamp=_measured_lamp(registry, place),
        what_if=what_if,
        usual=usuals(registry.settings),
        film=_film_on(registry, place),
        years=_years_since(registry, place),
    )


def _film_on(registry: Registry, place: Version) -> dict[str, Any]:
    """Return the substrate that was on when the face was read with a film on; {} where there is none."""
    name = place.document.get("film_reading", {}).get("substrate")
    found = registry.model.named(name, "substrate") if name else ()
    return newest_version(registry, found[0]).document if found else {}


def _years_since(registry: Registry, place: Version) -> float:
    """Return how many years before the newest landing a face was read: no clock but git's own decides."""
    last = registry.model.last_landing()
    read = span(registry, place.document.get("luminance", {}).get("measured"))
    return (last.landed - read[0]) / _YEAR_S if last and read else 0.0


def lit_modes(
    registry: Registry,
    scene: Scene,
    versions: Sequence[Version],
    other: Scene | None = None,
    *,
    gamut: bool = True,
) -> list[LitMode]:
    """Return how each version of a mode looks in a scene; without `gamut` its volumes are left out."""
    wanted = {each.rid + each.label: measurement_of(each.document) for each in versions}
    files = attached(registry, [each for each in wanted.values() if each])
    named_films = {each.document["substrate"] for each in versions}
    subjects = {rid: referred(registry, rid, "substrate") for rid in named_films}
    registry.documents(each.blob for each in subjects.values())  # read in one go
    films = {rid: newest_version(registry, each).document for rid, each in subjects.items()}
    answers = []
    for each in versions:
        rid = each.document["substrate"]
        file = wanted[each.rid + each.label]
        answers.append(_lit(_Places(scene, other, gamut), each, films[rid], file, files))
    return answers


class _Places(NamedTuple):
    here: Scene
    there: Scene | None
    gamut: bool


def _lit(
    places: _Places,
    mode: Version,
    film: dict[str, Any],
    file: Wanted | None,
    files: Mapping[Wanted, bytes],
) -> LitMode:
    name = file.name if file else ""
    try:
        printed = print_in(mode.document, film, file, files)
        if printed.kind == "reflection":
            return LitMode(mode, None, f"its measurement {name} was read in reflection", twin(printed))
        there = beside(places.here, places.there, printed) if places.there else None
        looks = appearance(places.here, printed, gamut=places.gamut)
        return LitMode(
            mode,
            looks,
            "",
            beside=there,
            certainty=certainty(places.here, printed, looks, colour=places.gamut),
        )
    except NoReadings as error:
        return LitMode(mode, None, str(error))
    except SpectrumError as error:
        return LitMode(mode, None, f"its measurement {name} cannot be used: {error}")
    except MeasurementError as error:
        return LitMode(mode, None, f"its measurement {name} cannot be read: {error.faults[0]}")


def _measured_lamp(registry: Registry, place: Version) -> Source | None:
    """Return the measured lamp that a display's record names, where the file has landed and can be used."""
    name = place.document.get("lamp", {}).get("spectrum")
    if not name or place.kind != "display":
        return None
    site = place.rid.partition("/")[0]
    file = Wanted(path_of("spectrum", f"{site}/{name.removesuffix('.txt')}"))
    data = attached(registry, [file]).get(file)
    if data is None:
        return None
    with suppress(RegistryError):  # the scene says that it could not be read, and takes the illuminant
        return lamp_of(read_cgats(data), name)
    return None
