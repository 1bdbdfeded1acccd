"""A drawing of lit prints: slices of their gamuts, and a ladder of luminances."""

import string
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from registry.cli.drawing import INCHES, Figure, draw_to, line_of
from registry.cli.light_words import name_of
from registry.errors import RegistryError, RequestError
from registry.find.wanted import Judged
from registry.light.gamut import enclosed
from registry.lit.asking import LightAnswer, LitMode

__all__ = ["draw"]

_MOST = 4
"""As many modes can be told apart in one drawing."""
_LINE = 1.13
"""How much brighter the next name has to stand on the ladder, so that none lies upon another."""
_SLICES = (25, 50, 75)
"""Lightnesses at which the gamuts are cut."""
_SHORT = {"unprinted": "white", "cyan": "C", "magenta": "M", "yellow": "Y", "black": "K"}
_WHITE = "lit.white_cd_m2"


def draw(answer: LightAnswer, judged: Sequence[Sequence[Judged]], path: Path) -> Path:
    """Draw an answer to a file; see `registry.cli.drawing.draw_to`.

    Raises
    ------
    RequestError
        There are more modes than can be told apart.
    RegistryError
        No mode could be computed.
    """
    shown = [mode for mode in answer.modes if mode.appearance and mode.appearance.values]
    if not shown:
        raise RegistryError("there is nothing to draw: no mode could be computed")
    if len(shown) > _MOST:
        raise RequestError(f"{len(shown)} modes cannot be told apart in one drawing: name at most {_MOST}")
    figure = Figure(figsize=INCHES, layout="constrained")
    told = [
        f"{letter} ({line_of(n)[0]}): {name_of(mode)}" for n, (letter, mode) in enumerate(_lettered(shown))
    ]
    simulated = any("simulated" in said for mode in shown if mode.appearance for said in mode.appearance.said)
    made = "simulated readings: nothing was measured" if simulated else "computed from their readings"
    figure.suptitle("\n".join([f"{answer.scene.title}: lit prints, {made}", *told]), fontsize=9)
    halves: Any = figure.subfigures(1, 2, width_ratios=(2.2, 1))
    slices, ladder = halves
    _gamuts(slices, shown)
    _ladder(ladder, shown, next((of for of in judged if of), ()))
    return draw_to(figure, path, answer.commit)


def _lettered(modes: Sequence[LitMode]) -> list[tuple[str, LitMode]]:
    return list(zip(string.ascii_uppercase, modes, strict=False))


def _gamuts(figure: Any, modes: list[LitMode]) -> None:
    """Draw a* against b* at three lightnesses: in the dark and with ambient light."""
    plots = figure.subplots(2, len(_SLICES), sharex=True, sharey=True)
    for row, (title, of) in enumerate((("in the dark", "lab"), ("with ambient light", "lab_in_ambient"))):
        for plot, lightness in zip(plots[row], _SLICES, strict=True):
            plot.set_title(f"L* {lightness}, {title}", fontsize=8)
            plot.axhline(0, color="0.8", linewidth=0.6)
            plot.axvline(0, color="0.8", linewidth=0.6)
            plot.set_aspect("equal")
            plot.tick_params(labelsize=7)
            for number, mode in enumerate(modes):
                points = getattr(mode.appearance, of)
                body = None if points is None else enclosed(points)
                outline = body.slice(lightness) if body else np.empty((0, 2))
                if len(outline):
                    closed = np.vstack([outline, outline[:1]])
                    plot.plot(closed[:, 0], closed[:, 1], line_of(number)[1], color="black", linewidth=1.1)
    for plot in plots[-1]:
        plot.set_xlabel("a*", fontsize=8)
    for plot in plots[:, 0]:
        plot.set_ylabel("b*", fontsize=8)


def _ladder(figure: Any, modes: list[LitMode], demanded: Sequence[Judged]) -> None:
    """Draw the luminance of every solid on a logarithmic scale, a column a mode, and what white is wanted."""
    plot = figure.subplots()
    for bound in (
        bound for each in demanded if each.wanted.known.path == _WHITE for bound in each.wanted.bounds
    ):
        plot.axhline(float(bound.wanted), color="0.6", linewidth=0.8, linestyle=":")  # type: ignore[arg-type]
        words = "white at least" if bound.op == ">=" else "white at most"
        plot.text(-0.45, float(bound.wanted), words, fontsize=6, va="bottom", color="0.4")  # type: ignore[arg-type]
    plot.set_yscale("log")
    plot.set_ylabel("luminance, lit, cd/m²", fontsize=8)
    plot.tick_params(labelsize=7)
    for number, mode in enumerate(modes):
        found = mode.appearance.patches if mode.appearance else ()
        told = sorted(
            (patch.luminance_cd_m2, patch.name) for patch in found if patch.luminance_cd_m2 is not None
        )
        last = 0.0
        for luminance, name in told:
            last = max(luminance, last * _LINE)
            plot.plot([number - 0.35, number - 0.05], [luminance] * 2, color="black", linewidth=1.1)
            plot.plot([number - 0.05, number], [luminance, last], color="0.6", linewidth=0.6)
            plot.annotate(_short(name), (number + 0.03, last), fontsize=6.5, va="center")
    plot.set_xlim(-0.5, len(modes) - 0.1)
    plot.set_xticks(range(len(modes)), [letter for letter, _ in _lettered(modes)], fontsize=8)


def _short(name: str) -> str:
    return "+".join(_SHORT.get(part, part) for part in name.split(" + "))
