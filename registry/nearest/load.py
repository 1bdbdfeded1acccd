"""The load for another film, or another printer: the same density, as far as the ink film's law holds."""

import math
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from registry.light.ink import ink_volume

__all__ = ["Scaled", "resolution_on", "scaled_load"]


_ABSORBING = {"colour", "clear"}
_FAR = 2.0
"""Times a load: beyond it the ink film's law is an estimate that a print has to confirm."""
_LEAST_INK = 0.1
"""A density over the film below which no patch is a solid."""


class Scaled(NamedTuple):
    """A load to start from."""

    load_pct: float
    steps: tuple[str, ...]
    """How it came about, one sentence a step."""
    doubts: tuple[str, ...]


def scaled_load(
    mode: Mapping[str, Any],
    densities: tuple[float, float] | None,
    transmittance_pct: float | None,
    printers: tuple[Mapping[str, Any], Mapping[str, Any] | None],
    resolution: str | None = None,
    *,
    open_weave: bool = False,
) -> Scaled:
    """Return the load at which the darkest solid is as dense on the new film as on the relative.

    Dense in both meanings: over the film, which is what the eye sees against the film's own lit white, and
    absolutely, which is how much light of one box comes through.

    Parameters
    ----------
    mode : mapping
        The relative's print mode.
    densities : tuple of float, optional
        Visual densities on the relative: of the unprinted film, and of the darkest solid; both absolute.
    transmittance_pct : float, optional
        Luminous transmittance of the new film.
    printers : tuple
        The relative's printer, and the one that is to print, where it is another.
    resolution : str, optional
        That it is to print at, `720x720`; the mode's own if not given.
    open_weave : bool
        Whether light passes between the threads of either.

    Notes
    -----
    Beer–Lambert–Bouguer: a transparent ink's density over the film goes with its load, so that the same load
    is as dense over any film. A lighter film lets more through its black, and needs
    D_ink′ = D_ink + (D_film − D_film′) for the same absolute one. A darker film would need less for that, but
    that takes as much from its contrast, of which its weaker white already loses more to ambient light: there
    the load stays. Between printers, equal density asks for equal mL/m². Left out: how far ink spreads and
    sinks in another coating.

    >>> mode = {"layers": [{"what": "colour", "load_pct": 200}], "motion": {"resolution": "720x720"}}
    >>> scaled_load(mode, (0.42, 2.42), 38.0, ({}, None)).load_pct
    200.0
    """
    load = max(layer["load_pct"] for layer in mode["layers"] if layer["what"] == "colour")
    steps = [f"the relative's load is {load:g} %"]
    doubts: list[str] = []
    stands = list(_unlike_film(mode, open_weave=open_weave))
    if stands:
        doubts.append(f"its ink does not scale with load: {'; '.join(stands)}")
    front_lit = mode.get("lighting") == "frontlit"  # its light does not pass the film
    factor = 1.0 if stands or front_lit else _for_film(densities, transmittance_pct, steps, doubts)
    if factor > _FAR:
        doubts.append(
            f"more than {_FAR:g} times the relative's load is beyond what the law tells: print a ladder"
        )
    factor *= _for_printer(mode, printers, resolution, steps, doubts)
    return Scaled(round(load * factor, 1), tuple(steps), tuple(doubts))


def _unlike_film(mode: Mapping[str, Any], *, open_weave: bool) -> Iterator[str]:
    """Yield every reason why a mode's ink is no film that only absorbs: the law does not hold of it."""
    for layer in mode["layers"]:
        if layer["what"] not in _ABSORBING:
            yield f"a {layer['what']} layer scatters light"
    if open_weave:
        yield "light passes between the threads of an open weave, however much ink is on them"


def _for_film(
    densities: tuple[float, float] | None,
    transmittance_pct: float | None,
    steps: list[str],
    doubts: list[str],
) -> float:
    if untold := _untold(densities, transmittance_pct):
        doubts.append(f"{untold}: the relative's load is taken as it is")
    if untold or densities is None or transmittance_pct is None:
        return 1.0
    film, darkest = densities
    ink, now = darkest - film, -math.log10(transmittance_pct / 100)
    if now >= film:
        steps.append(
            f"the film's own density is {now:.2f} instead of {film:.2f}: the load stays, so that black is as "
            f"dense over the film as there, {ink:.2f}; less would leave less contrast"
        )
        return 1.0
    factor = (ink + film - now) / ink
    steps.append(
        f"the film's own density is {now:.2f} instead of {film:.2f}, so for a black of {darkest:.2f} the ink "
        f"has to bring {darkest - now:.2f} instead of {ink:.2f}: × {factor:.3f}"
    )
    return factor


def _untold(densities: tuple[float, float] | None, transmittance_pct: float | None) -> str:
    """Return why nothing can be told of another film; empty where it can."""
    if densities is None:
        return "the relative was not measured in transmission"
    if not transmittance_pct:
        no_light = "no light goes through the new film"
        return "the new film's transmittance is unknown" if transmittance_pct is None else no_light
    film, darkest = densities
    if not math.isfinite(darkest):
        return "the relative's darkest patch reads as black itself"
    return "" if darkest - film >= _LEAST_INK else "the relative's readings hold no dark solid"


def _for_printer(
    mode: Mapping[str, Any],
    printers: tuple[Mapping[str, Any], Mapping[str, Any] | None],
    resolution: str | None,
    steps: list[str],
    doubts: list[str],
) -> float:
    old, new = printers
    if new is None:
        return 1.0
    volumes = (_full(old, mode["motion"]["resolution"]), _full(new, resolution or resolution_on(new, mode)))
    if None in volumes:
        doubts.append("a printer's drop volume is unknown: loads of two printers cannot be told apart")
        return 1.0
    before, after = volumes
    steps.append(f"full ink is {after:.2f} mL/m² instead of {before:.2f}: × {before / after:.3f}")  # type: ignore[operator]
    return before / after  # type: ignore[operator]


def resolution_on(printer: Mapping[str, Any], mode: Mapping[str, Any]) -> str:
    """Return at what resolution another printer prints a mode: the mode's own, else its first."""
    offered = printer.get("resolutions", [])
    wanted = str(mode["motion"]["resolution"])
    return wanted if wanted in offered or not offered else str(offered[0])


def _full(printer: Mapping[str, Any], resolution: str) -> float | None:
    """Return what one channel at 100 % comes to, in mL/m²."""
    drop = printer.get("drop_volume_pl")
    across, along = (int(each) for each in resolution.split("x"))
    return None if drop is None else ink_volume(drop, (across, along), 100)
