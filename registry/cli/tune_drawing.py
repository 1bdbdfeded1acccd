"""A drawing of a ladder: density, chroma and hue of each ink against load, and the load chosen."""

from pathlib import Path
from typing import Any

from registry.cli.drawing import INCHES, Figure, draw_to, line_of
from registry.light.fit import FitError, rising, turning
from registry.tune.asking import TuneAnswer
from registry.tune.criteria import FRONT_LIT, readings, unwrapped
from registry.tune.ladder import Rung

__all__ = ["draw"]

_PLOTTED = {
    "density": "density over the film",
    "chroma": "chroma C*",
    "hue": "hue turned since full front-lit ink, °",
    "mottle": "mottle, standard deviation of L*",
}
_MARKS = ("o", "s", "^", "D", "v", "x")


def draw(answer: TuneAnswer, path: Path) -> Path:
    """Draw the readings and their curves in the pass count chosen; see `registry.cli.drawing.draw_to`.

    The load chosen is an upright line, a criterion's limit a dotted one across, what was not dry is grey.
    """
    figure = Figure(figsize=INCHES, layout="constrained")
    choice, asked = answer.choice, answer.criteria
    figure.suptitle(
        f"{answer.substrate.document['title']}, {answer.printer.document['title']}, {choice.passes} passes: "
        f"{choice.load_pct:.0f} %{'' if choice.reached else ', target not reached'}",
        fontsize=11,
    )
    plots: Any = figure.subplots(2, 2)
    rungs = answer.ladder.of(choice.passes)
    limits: dict[str, list[float | None]] = {
        "density": [asked.density],
        "hue": [asked.hue_deg, -asked.hue_deg if asked.hue_deg else None],
        "mottle": [asked.mottle],
    }
    for plot, (name, label) in zip(plots.ravel(), _PLOTTED.items(), strict=True):
        plot.set_xlabel("load, %", fontsize=8)
        plot.set_ylabel(label, fontsize=8)
        plot.tick_params(labelsize=7)
        plot.axvline(choice.load_pct, color="0.4", linewidth=1.2)
        for limit in limits.get(name, []):
            if limit is not None:
                plot.axhline(limit, color="0.4", linewidth=0.9, linestyle=":")
        for number, ink in enumerate(answer.ladder.inks):
            if name not in {"chroma", "hue"} or ink != "K":
                _curve(plot, [each for each in rungs if each.ink == ink], name, number, ink)
        _wet(plot, rungs)
    plots[0][0].legend(fontsize=7, frameon=False)
    return draw_to(figure, path, answer.commit)


def _curve(plot: Any, rungs: list[Rung], name: str, number: int, ink: str) -> None:
    if not rungs:
        return
    hue = unwrapped(rungs)

    def of(rung: Rung) -> float:
        value = hue(rung) if name == "hue" else getattr(rung, name)
        return float("nan") if value is None else float(value)

    load, read = readings(rungs, of)
    if not len(load):
        return
    try:
        curve = (rising if name in {"density", "mottle"} else turning)(load, read)
    except FitError:
        curve = None
    zero = hue(min(rungs, key=lambda each: each.load_pct)) if name == "hue" else 0.0
    if name == "hue" and curve and curve.first <= FRONT_LIT <= curve.last:
        zero = float(curve.at(FRONT_LIT))
    mark = _MARKS[number % len(_MARKS)]
    plot.plot(load, read - zero, mark, color="black", markersize=3, fillstyle="none", label=ink)
    if curve:
        line = line_of(number)[1]
        plot.plot(curve.loads, curve.at(curve.loads) - zero, line, color="black", linewidth=0.9)


def _wet(plot: Any, rungs: tuple[Rung, ...]) -> None:
    """Shade the loads at which something stayed wet or re-wet."""
    wet = [each.load_pct for each in rungs if not each.stood]
    if wet:
        right = plot.get_xlim()[1]
        plot.axvspan(min(wet), right, color="0.9", linewidth=0)
        plot.set_xlim(right=right)
        plot.annotate(
            "not dry", (1, 0), xycoords="axes fraction", fontsize=7, ha="right", va="bottom", color="0.2"
        )
