"""A drawing of a ladder: density, chroma and hue of each ink against load, and the load chosen."""

from pathlib import Path
from typing import Any

from matplotlib.figure import Figure

from registry.cli.drawing import INCHES, line_of, save
from registry.light.fit import FitError, rising, turning
from registry.tune.asking import TuneAnswer
from registry.tune.criteria import readings
from registry.tune.ladder import Rung

__all__ = ["draw"]

_PLOTTED = {"density": "density over the film", "chroma": "chroma C*", "hue": "hue turned, °"}
_MARKS = ("o", "s", "^", "D", "v", "x")


def draw(answer: TuneAnswer, path: Path) -> Path:
    """Draw the readings and their curves in the pass count chosen; see `registry.cli.drawing.save`."""
    figure = Figure(figsize=INCHES, layout="constrained")
    choice = answer.choice
    figure.suptitle(
        f"{answer.substrate.document['title']}, {answer.printer.document['title']}, {choice.passes} passes: "
        f"{choice.load_pct:.0f} %",
        fontsize=11,
    )
    plots: Any = figure.subplots(1, 3)
    rungs = answer.ladder.of(choice.passes)
    for plot, (name, label) in zip(plots, _PLOTTED.items(), strict=True):
        plot.set_xlabel("load, %", fontsize=8)
        plot.set_ylabel(label, fontsize=8)
        plot.tick_params(labelsize=7)
        plot.axvline(choice.load_pct, color="0.4", linewidth=1.2)
        for number, ink in enumerate(answer.ladder.inks):
            if name == "density" or ink != "K":
                _curve(plot, [each for each in rungs if each.ink == ink], name, number, ink)
        _wet(plot, rungs)
    plots[0].legend(fontsize=7, frameon=False)
    return save(figure, path, answer.commit)


def _curve(plot: Any, rungs: list[Rung], name: str, number: int, ink: str) -> None:
    if not rungs:
        return
    about = min(rungs, key=lambda each: each.load_pct).hue_deg

    def of(rung: Rung) -> float:
        return (rung.hue_deg - about + 180) % 360 - 180 if name == "hue" else float(getattr(rung, name))

    load, read = readings(rungs, of)
    plot.plot(
        load, read, _MARKS[number % len(_MARKS)], color="black", markersize=3, fillstyle="none", label=ink
    )
    try:
        curve = (rising if name == "density" else turning)(load, read)
    except FitError:
        return
    plot.plot(curve.loads, curve.at(curve.loads), line_of(number)[1], color="black", linewidth=0.9)


def _wet(plot: Any, rungs: tuple[Rung, ...]) -> None:
    """Shade the loads at which something stayed wet or re-wet."""
    wet = [each.load_pct for each in rungs if not each.stood]
    if wet:
        plot.axvspan(min(wet), max(each.load_pct for each in rungs), color="0.88", linewidth=0)
        plot.text(min(wet), plot.get_ylim()[0], " not dry", fontsize=7, va="bottom", color="0.2")
