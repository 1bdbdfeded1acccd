"""How a lit print is worded: side by side for people, keyed for programs."""

import string
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from registry.cli.blocks import labelled, paragraph
from registry.cli.find_words import bound_words
from registry.cli.page import aligned
from registry.find.demands import demands, use_of
from registry.find.lit_values import lit_value
from registry.find.wanted import Judged, Wanted, judge
from registry.index.readmodel import Value
from registry.light.difference import ciede2000
from registry.light.gamut import enclosed
from registry.lit.appearance import Appearance, Patch
from registry.lit.asking import LightAnswer, LitMode
from registry.lit.panel import Panel
from registry.lit.quantities import LEFT_OUT, QUANTITIES, Quantity, is_lit
from registry.lit.scene import Scene
from registry.lit.twin import HOW
from registry.question.registry import Registry

__all__ = ["columns", "demanded", "json_of", "rows_of", "text_of"]

_ESTIMATE = (
    "A model's estimate from the readings named, no measurement: judge the print lit, finished and dried "
    "down, in the real box."
)


def demanded(registry: Registry, answer: LightAnswer) -> list[list[Judged]]:
    """Return for each mode what the place demands of the lit print, judged."""
    use = use_of(registry, answer.use.rid)
    wanted = [each for each in demands(use) if is_lit(each.known.path)]
    return [[judge(each, _found(mode, each)) for each in wanted] for mode in answer.modes]


def _found(mode: LitMode, wanted: Wanted) -> tuple[Value, ...]:
    value = mode.appearance.values.get(wanted.known.path) if mode.appearance else None
    return () if value is None else (lit_value(value),)


def text_of(
    answer: LightAnswer, judged: Sequence[Sequence[Judged]], units: str, drawn: Path | None
) -> Iterator[str]:
    """Yield the answer as a person reads it."""
    yield from _place(answer)
    shown = [mode for mode in answer.modes if mode.appearance]
    for mode in answer.modes:
        if mode.appearance is None:
            yield ""
            yield from paragraph(f"{_name(mode)}: nothing can be told, {mode.why_not}.")
            yield from _twin(mode)
    if shown:
        yield ""
        yield from _table(shown)
        yield from _patches(shown, dual=answer.scene.lighting == "dual")
        yield from _demands(answer, judged, units)
        yield from _rests_on(shown)
    yield ""
    if drawn:
        yield f"drawn: {drawn}"
    yield f"answered from commit {answer.commit[:12]}"


def _place(answer: LightAnswer) -> Iterator[str]:
    scene = answer.scene
    yield from paragraph(
        f"{scene.title} ({scene.kind} {scene.rid} {answer.use.label}): {scene.lighting}, {scene.place}"
    )
    yield from labelled("lamp", [scene.lamp_words])
    yield from labelled("face", [_face_words(scene)])
    if scene.panel_words:
        yield from labelled("panel", [scene.panel_words])
    if answer.other:
        whites = _whites(answer)
        apart = f"; to an eye from here its white lies ΔE00 {whites:.1f} away" if whites is not None else ""
        yield from labelled("beside", [f"{answer.other.title}, lamp {answer.other.lamp_words}{apart}"])
    hall = "unknown" if scene.hall_lx is None else f"{scene.hall_lx:g} lx on the face"
    yield from labelled("hall", [hall])


def _whites(answer: LightAnswer) -> float | None:
    """Return how far the two places' lit whites lie apart, of the first mode that tells it."""
    return next((mode.beside.white for mode in answer.modes if mode.beside), None)


def _face_words(scene: Scene) -> str:
    if scene.face is None:
        return "unknown"
    least, mean, most = scene.face
    even = "" if least == most else f", {least:.0f} at its darkest place, {most:.0f} at its brightest"
    return f"{mean:.0f} cd/m²{even}; {scene.read_words}"


def _name(mode: LitMode) -> str:
    return f"{mode.version.rid} {mode.version.label}"


def _shown(quantity: Quantity, appearance: Appearance) -> str:
    value = appearance.values.get(quantity.path)
    return "unknown" if value is None else f"{value:,.{quantity.places}f}".replace("-", "−")


def _letters(modes: Sequence[LitMode]) -> list[str]:
    """Return what each mode is called in a table: a letter, for its own name is too long."""
    return [string.ascii_uppercase[number % 26] for number, _ in enumerate(modes)]


def _table(modes: Sequence[LitMode]) -> Iterator[str]:
    letters = _letters(modes)
    for letter, mode in zip(letters, modes, strict=True):
        lead = f"{letter}  " if len(modes) > 1 else ""
        yield from paragraph(f"{lead}{_name(mode)}: {mode.version.document['title']}", then="   ")
    yield ""
    rows: list[tuple[str, ...]] = [("", "", *letters)] if len(modes) > 1 else []
    for each in QUANTITIES:
        cells = [_shown(each, mode.appearance) for mode in modes if mode.appearance]
        if set(cells) != {"unknown"}:
            rows.append((each.label, each.unit, *cells))
    if len(modes) > 1 and (shares := _shares(modes)):
        rows.append(("share of A's gamut, in the dark", "%", *shares))
    if any(mode.appearance and mode.appearance.values for mode in modes):
        yield from aligned(_right(rows, 2))
    for letter, mode in zip(letters, modes, strict=True):
        lead = f"{letter}: " if len(modes) > 1 else ""
        for why in _why_unknown(mode):
            yield from paragraph(f"{lead}{why}", "", "   ")


def _why_unknown(mode: LitMode) -> Iterator[str]:
    reasons = dict.fromkeys(each.why for each in mode.appearance.unknown) if mode.appearance else {}
    yield from (f"not told: {why}" for why in reasons)


def _patches(modes: Sequence[LitMode], *, dual: bool) -> Iterator[str]:
    """Yield the solids' colours; where several modes stand side by side, how far each is from the first."""
    first = modes[0].appearance
    for letter, mode in zip(_letters(modes), modes, strict=True):
        if mode.appearance is None or first is None or not mode.appearance.patches:
            continue
        yield ""
        found = mode.appearance.patches
        hall = any(each.lab_in_hall for each in found)
        unlit = dual and any(each.lab_unlit for each in found)
        times = ["in the dark"] + ["with the hall's light"] * hall + ["by day, the lamps off"] * unlit
        what = ", then ".join(times)
        lead = f"{letter}: " if len(modes) > 1 else ""
        yield from paragraph(f"{lead}L* a* b* against its lit white, {what}")
        away = {} if mode is modes[0] else _away(first, mode.appearance)
        last = (("ΔE00 to A",) if away else ()) + (("ΔE00 beside",) if mode.beside else ())
        rows = [("", "cd/m²", *("L*", "a*", "b*") * len(times), *last)]
        for each in found:
            bright = "" if each.luminance_cd_m2 is None else f"{each.luminance_cd_m2:.1f}"
            cells = [each.name, bright, *_lab(each.lab)]
            cells += [*(_lab(each.lab_in_hall) if hall else ()), *(_lab(each.lab_unlit) if unlit else ())]
            cells += [f"{away[each.name]:.1f}" if each.name in away else ""] if away else []
            cells += [f"{mode.beside.de00[each.name]:.1f}"] if mode.beside else []
            rows.append(tuple(cells))
        width = max(map(len, rows))
        yield from aligned(_right([(*row, *[""] * (width - len(row))) for row in rows], 1), "   ")


def _shares(modes: Sequence[LitMode]) -> list[str]:
    """Return how much of the first mode's gamut each one covers, in %."""
    gamuts = [enclosed(mode.appearance.lab) if mode.appearance else None for mode in modes]
    first = gamuts[0]
    if first is None:
        return []
    return ["unknown" if each is None else f"{100 * each.share_of(first):.0f}" for each in gamuts]


def _right(rows: Sequence[Sequence[str]], first: int) -> list[tuple[str, ...]]:
    """Return rows whose numbers, from a column on, end under one another."""
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        (*row[:first], *(cell.rjust(wide[first + n]) for n, cell in enumerate(row[first:]))) for row in rows
    ]


def _twin(mode: LitMode) -> Iterator[str]:
    if twin := mode.twin:
        yield from paragraph(
            f"A front-lit print: its black has a density of {twin.front:.2f} by reflection. Lit from behind "
            f"the same ink comes to {twin.lit:.2f}, which looks washed out; the same density lit takes about "
            f"{twin.load_pct:.0f} % of its load ({HOW}).",
            "   ",
        )


def _lab(lab: tuple[float, float, float] | None) -> tuple[str, ...]:
    return tuple(f"{each + 0.0:.1f}".replace("-0.0", "0.0").replace("-", "−") for each in lab or ())


def _away(first: Appearance, other: Appearance) -> dict[str, float]:
    """Return ΔE00 of the patches that both have, each against its own lit white, in the dark."""
    before: Mapping[str, Patch] = {each.name: each for each in first.patches}
    both = [each for each in other.patches if each.name in before]
    return {each.name: float(ciede2000(before[each.name].lab, each.lab)) for each in both}


def _demands(answer: LightAnswer, judged: Sequence[Sequence[Judged]], units: str) -> Iterator[str]:
    if not any(judged):
        yield ""
        yield "Nothing is demanded here of the lit print."
        return
    for mode, demands_of in zip(answer.modes, judged, strict=True):
        if mode.appearance is None:
            continue
        yield ""
        yield from paragraph(f"{_name(mode)}: demanded of the lit print")
        for each in demands_of:
            yield from labelled(each.answer, [bound_words(each, units)])


def _rests_on(modes: Sequence[LitMode]) -> Iterator[str]:
    appearances = [mode.appearance for mode in modes if mode.appearance]
    yield ""
    yield from labelled("rests on", list(dict.fromkeys(each for one in appearances for each in one.said)))
    assumed = list(dict.fromkeys(each for one in appearances for each in one.assumed))
    if assumed:
        yield from labelled("taken as", assumed)
    yield from labelled("left out", list(LEFT_OUT))
    yield ""
    yield from paragraph(_ESTIMATE)


def columns(answer: LightAnswer) -> dict[str, str]:
    """Return the columns of csv and markdown: a quantity a row, a mode a column."""
    named = {f"mode_{number}": _name(mode) for number, mode in enumerate(answer.modes, 1)}
    return {"path": "path", "label": "quantity", "unit": "unit", **named}


def rows_of(answer: LightAnswer) -> Iterator[dict[str, Any]]:
    """Yield a row a quantity."""
    for each in QUANTITIES:
        cells = {
            f"mode_{number}": mode.appearance.values.get(each.path) if mode.appearance else None
            for number, mode in enumerate(answer.modes, 1)
        }
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
        "hall_lx": scene.hall_lx,
        "quantities": [
            {name: getattr(each, name) for name in ("path", "label", "unit", "how")} for each in QUANTITIES
        ],
        "modes": [
            _mode_json(answer, mode, demands_of)
            for mode, demands_of in zip(answer.modes, judged, strict=True)
        ],
        "beside": answer.other and {"title": answer.other.title, "whites": _whites(answer)},
        "left_out": list(LEFT_OUT),
        "drawn": None if drawn is None else str(drawn),
    }


def _mode_json(answer: LightAnswer, mode: LitMode, judged: Sequence[Judged]) -> dict[str, Any]:
    version, found = mode.version, mode.appearance
    first = answer.modes[0].appearance
    away = _away(first, found) if first and found and mode is not answer.modes[0] else {}
    beside = mode.beside.de00 if mode.beside else {}
    return {
        "mode": version.rid,
        "revision": version.label,
        "title": version.document["title"],
        "why_not": mode.why_not or None,
        "twin": mode.twin and {**mode.twin._asdict(), "how": HOW},
        "see_through": found and found.see_through,
        "values": dict(found.values) if found else {},
        "patches": [
            {**each._asdict(), "de00": away.get(each.name), "beside": beside.get(each.name)}
            for each in (found.patches if found else ())
        ],
        "demands": [_demand_json(each) for each in judged],
        "unknown": [each._asdict() for each in (found.unknown if found else ())],
        "rests_on": list(found.said) if found else [],
        "assumed": list(found.assumed) if found else [],
    }


def _demand_json(judged: Judged) -> dict[str, Any]:
    wanted = judged.wanted
    return {
        "path": wanted.known.path,
        "label": wanted.known.label,
        "wanted": [{"op": each.op, "value": each.wanted} for each in wanted.bounds],
        "why": wanted.why,
        "answer": judged.answer,
        "found": [each.num for each in judged.found],
    }
