"""A lit print keyed for programs: JSON, and a row a quantity for csv and markdown."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from registry.cli.light_words import away_from, name_of, whites_apart
from registry.find.wanted import Judged
from registry.light.distance import Interval
from registry.lit.asking import LightAnswer, LitMode
from registry.lit.panel import Panel
from registry.lit.quantities import LEFT_OUT, QUANTITIES
from registry.lit.twin import HOW

__all__ = ["columns", "json_of", "rows_of"]


def columns(answer: LightAnswer) -> dict[str, str]:
    """Return the columns of csv and markdown: a quantity a row, a mode a column."""
    heads = [f"{name_of(mode)}{end}" for mode in answer.modes for end in ("", " low", " high")]
    named = {each: each for each in heads}
    return {"path": "path", "label": "quantity", "unit": "unit", **named}


def rows_of(answer: LightAnswer) -> Iterator[dict[str, Any]]:
    """Yield a row a quantity."""
    for each in QUANTITIES:
        cells: dict[str, float | None] = {}
        for mode in answer.modes:
            known = mode.certainty.of.get(each.path) if mode.certainty else None
            cells[name_of(mode)] = mode.appearance.values.get(each.path) if mode.appearance else None
            cells[f"{name_of(mode)} low"] = known.low if known else None
            cells[f"{name_of(mode)} high"] = known.high if known else None
        yield {"path": each.path, "label": each.label, "unit": each.unit, **cells}


def json_of(
    answer: LightAnswer, judged: Sequence[Sequence[Judged]], tried: Mapping[str, Any], drawn: Path | None
) -> dict[str, Any]:
    """Return the answer under its documented keys."""
    scene, use = answer.scene, answer.use
    return {
        "commit": answer.commit,
        "use": {"kind": use.kind, "record": use.rid, "revision": use.label, "title": scene.title},
        "tried": {
            name: asdict(value) if isinstance(value, Panel) else value
            for name, value in tried.items()
            if value is not None
        },
        "lamp": scene.lamp_words,
        "face": scene.face and scene.face._asdict(),
        "ambient_lx": scene.ambient_lx,
        "quantities": [
            {name: getattr(each, name) for name in ("path", "label", "unit", "how")} for each in QUANTITIES
        ],
        "modes": [
            _mode_json(answer, mode, demands_of)
            for mode, demands_of in zip(answer.modes, judged, strict=True)
        ],
        "beside": answer.other and {"title": answer.other.title, "whites": whites_apart(answer)},
        "left_out": list(LEFT_OUT),
        "drawn": None if drawn is None else str(drawn),
    }


def _mode_json(answer: LightAnswer, mode: LitMode, judged: Sequence[Judged]) -> dict[str, Any]:
    version, found = mode.version, mode.appearance
    first = answer.modes[0].appearance
    away = (
        away_from(first, found, answer.scene.usual) if first and found and mode is not answer.modes[0] else {}
    )
    beside = mode.beside.de00 if mode.beside else {}
    return {
        "mode": version.rid,
        "revision": version.label,
        "title": version.document["title"],
        "why_not": mode.why_not or None,
        "twin": mode.twin and {**mode.twin._asdict(), "how": HOW},
        "see_through": found and found.see_through,
        "values": dict(found.values) if found else {},
        "certainty": dict(_certainty_json(mode)),
        "patches": [
            {
                **each._asdict(),
                **_away_json("de00", away.get(each.name)),
                **_away_json("beside", beside.get(each.name)),
            }
            for each in (found.patches if found else ())
        ],
        "demands": [_demand_json(each) for each in judged],
        "unknown": [each._asdict() for each in (found.unknown if found else ())],
        "rests_on": list(found.said) if found else [],
        "assumed": list(found.assumed) if found else [],
    }


def _away_json(name: str, away: Interval | None) -> dict[str, float | None]:
    """Return how far a patch lies from another, and where that lies with a chance of 95 %."""
    return {name: away and away.value, f"{name}_low": away and away.low, f"{name}_high": away and away.high}


def _certainty_json(mode: LitMode) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield how well each quantity is known, by its path."""
    certainty = mode.certainty
    if certainty is None:
        return
    for path, known in certainty.of.items():
        shares = [
            {
                "input": name,
                "label": certainty.words[name],
                "share": share,
                "measured": name not in certainty.unmeasured,
            }
            for name, share in known.shares
        ]
        told = {name: getattr(known, name) for name in ("value", "low", "high", "method")}
        yield path, {**told, "standard_uncertainty": known.u, "shares": shares}


def _demand_json(judged: Judged) -> dict[str, Any]:
    wanted = judged.wanted
    return {
        "path": wanted.known.path,
        "label": wanted.known.label,
        "wanted": [{"op": each.op, "value": each.wanted} for each in wanted.bounds],
        "why": wanted.why,
        "answer": judged.answer,
        "chance": judged.worth and judged.worth.chance,
        "never_measured": list(judged.unmeasured),
        "found": [each.num for each in judged.found],
    }
