"""How a tuned load is worded for people, and keyed for programs."""

import math
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from registry.cli.blocks import labelled, paragraph
from registry.cli.page import aligned
from registry.cli.values import said
from registry.cli.wording import remark_json
from registry.tune.asking import TuneAnswer
from registry.tune.drying import Dry

__all__ = ["COLUMNS", "json_of", "rows_of", "text_of"]

COLUMNS = {
    "ink": "ink",
    "load_pct": "pays up to, %",
    "error_pct": "standard error, points",
    "of_load_pct": "hold back to, % of the load",
    "density": "density over the film there",
    "words": "because",
}


def text_of(answer: TuneAnswer, units: str, drawn: Path | None) -> Iterator[str]:
    """Yield the answer as a person reads it."""
    choice = answer.choice
    if answer.against:
        yield "Refused: nothing of this is to be printed."
        yield from labelled("because", list(answer.against))
        yield ""
    yield from paragraph(
        f"Load {_load(choice.load_pct, choice.error_pct)} in {choice.passes} passes: "
        f"{'' if choice.reached else 'the target is not reached; '}{choice.reason}."
    )
    yield from labelled("material", [f"{answer.substrate.rid} {answer.substrate.label}"])
    yield from labelled("printer", [f"{answer.printer.rid} {answer.printer.label}"])
    if answer.volume_ml_m2 is not None:
        volume = said(answer.volume_ml_m2, "mL/m²", units)
        yield from labelled("ink", [f"one solid is {volume} at {answer.resolution} dpi"])
    if answer.contrast is not None and answer.scene is not None:
        needs = f"needs a density of {answer.criteria.density:.2f}"
        yield from labelled("contrast", [f"{answer.contrast:g}:1 at {answer.scene.title} {needs}"])
    yield ""
    yield from aligned(_ink_table(answer))
    yield ""
    yield "dry, and not re-wet"
    for each in choice.dry:
        yield from labelled(f"{each.passes} passes", [_dry_words(each)])
    if choice.fewer:
        yield ""
        yield "why not in fewer passes"
        for passes, why in choice.fewer:
            yield from labelled(f"{passes} passes", [why])
    doubts = [*answer.doubts, *(each.text for each in answer.remarks if each.level == "warn")]
    if doubts:
        yield ""
        yield from labelled("mind", doubts)
    yield ""
    yield from labelled(
        "computed",
        [
            f"densities over the film are {_response()}",
            f"chroma and hue stand against the lit white, lamp {answer.lamp}",
            "density: isotonic regression, and what more ink adds to it by one that rises ever less",
            "chroma and hue: the polynomial that foretells best",
            "± is a standard error: loads left out in turn, and readings drawn anew about their curve",
            "another print or another day is not in it",
        ],
    )
    if drawn:
        yield f"drawn: {drawn}"
    yield f"answered from commit {answer.commit[:12]}"


def _response() -> str:
    from registry.light.density import PRODUCTS_NOTE  # noqa: PLC0415

    return f"Status A of each ink, visual of black ({PRODUCTS_NOTE})"


def _load(load_pct: float, error_pct: float | None) -> str:
    return f"{load_pct:.0f} %" if error_pct is None else f"{load_pct:.0f} ± {max(1, math.ceil(error_pct))} %"


def _ink_table(answer: TuneAnswer) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("ink", "pays up to", "hold back to", "density there", "because")]
    for each in answer.choice.inks:
        held = each.held_back_pct(answer.choice.load_pct)
        rows.append(
            (
                each.ink,
                _load(each.load_pct, each.error_pct),
                f"{held:.0f} %" if held < 100 else "",
                f"{each.density_at:.2f}",
                each.words,
            )
        )
    return rows


def _dry_words(each: Dry) -> str:
    if each.heaviest_pct is None:
        return f"none: even at {each.first_failed_pct:g} %, {each.failed}"
    untried = "; some never tried against re-wetting" if each.untried else ""
    if each.first_failed_pct is None:
        return f"up to {each.heaviest_pct:g} %, the heaviest read{untried}"
    return f"up to {each.heaviest_pct:g} %; at {each.first_failed_pct:g} % {each.failed}{untried}"


def rows_of(answer: TuneAnswer) -> list[dict[str, Any]]:
    """Return a row an ink."""
    return [
        {
            "ink": each.ink,
            "load_pct": each.load_pct,
            "error_pct": each.error_pct,
            "of_load_pct": round(each.held_back_pct(answer.choice.load_pct), 1),
            "density": round(each.density_at, 4),
            "words": each.words,
        }
        for each in answer.choice.inks
    ]


def json_of(answer: TuneAnswer, drawn: Path | None) -> dict[str, Any]:
    """Return the answer under its documented keys."""
    choice = answer.choice
    return {
        "commit": answer.commit,
        "substrate": answer.substrate.rid,
        "printer": answer.printer.rid,
        "lamp": answer.lamp,
        "criteria": asdict(answer.criteria),
        "contrast": answer.contrast,
        "load_pct": choice.load_pct,
        "error_pct": choice.error_pct,
        "passes": choice.passes,
        "volume_ml_m2": answer.volume_ml_m2,
        "resolution": answer.resolution,
        "reached": choice.reached,
        "reason": choice.reason,
        "inks": [
            {**row, "stops": [stop._asdict() for stop in each.stops]}
            for row, each in zip(rows_of(answer), choice.inks, strict=True)
        ],
        "dry": [each._asdict() for each in choice.dry],
        "fewer": [{"passes": passes, "why": why} for passes, why in choice.fewer],
        "refused": list(answer.against),
        "guidance": [remark_json(each) for each in answer.remarks],
        "doubts": list(answer.doubts),
        "drawn": None if drawn is None else str(drawn),
    }
