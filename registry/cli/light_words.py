"""How a lit print is worded: side by side for people, keyed for programs."""

import string
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from registry.cli.blocks import labelled, paragraph
from registry.cli.find_words import bound_words, interval_words
from registry.cli.light_doubts import doubts
from registry.cli.page import aligned, right
from registry.cli.values import in_decimals
from registry.find.demands import demands, use_of
from registry.find.lit_values import judge_lit, lit_of
from registry.find.wanted import Judged
from registry.light.difference import ciede2000
from registry.light.distance import Interval, Repeats, drawn_differences, interval
from registry.light.gamut import enclosed
from registry.lit.appearance import Appearance, Patch
from registry.lit.asking import LightAnswer, LitMode
from registry.lit.certainty import Certainty
from registry.lit.quantities import LEFT_OUT, QUANTITIES, Quantity, is_lit
from registry.lit.scene import Scene
from registry.lit.twin import HOW
from registry.model.usual import Usual, repeatability
from registry.question.registry import Registry

__all__ = ["away_from", "demanded", "name_of", "text_of", "whites_apart"]

_ESTIMATE = (
    "A model's estimate from the readings named, no measurement: judge the print lit, finished and dried "
    "down, in the real box."
)


def demanded(registry: Registry, answer: LightAnswer) -> list[list[Judged]]:
    """Return for each mode what the place demands of the lit print, judged."""
    use = use_of(registry, answer.use.rid)
    wanted = [each for each in demands(use) if is_lit(each.known.path)]
    found = map(lit_of, answer.modes)
    return [[judge_lit(each, values.get(each.known.path)) for each in wanted] for values in found]


def text_of(
    answer: LightAnswer, judged: Sequence[Sequence[Judged]], units: str, drawn: Path | None
) -> Iterator[str]:
    """Yield the answer as a person reads it."""
    yield from _place(answer)
    shown = [mode for mode in answer.modes if mode.appearance]
    for mode in answer.modes:
        if mode.appearance is None:
            yield ""
            yield from paragraph(f"{name_of(mode)}: nothing can be told, {mode.why_not}.")
            yield from _twin(mode)
    if shown:
        yield ""
        told = [of for mode, of in zip(answer.modes, judged, strict=True) if mode.appearance]
        yield from _verdicts(shown, told, units)
        yield from _table(shown)
        yield from _untold(answer.scene, shown)
        yield from _patches(shown, answer.scene.usual, dual=answer.scene.lighting == "dual")
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
        whites = whites_apart(answer)
        apart = f"; to an eye from here its white lies ΔE00 {whites:.1f} away" if whites is not None else ""
        yield from labelled("beside", [f"{answer.other.title}, lamp {answer.other.lamp_words}{apart}"])
    ambient = "unknown" if scene.ambient_lx is None else f"{scene.ambient_lx:g} lx on the face"
    yield from labelled("ambient", [ambient])


def whites_apart(answer: LightAnswer) -> float | None:
    """Return how far the two places' lit whites lie apart, of the first mode that tells it."""
    return next((mode.beside.white for mode in answer.modes if mode.beside), None)


def _face_words(scene: Scene) -> str:
    if scene.face is None:
        return "unknown"
    least, mean, most = scene.face
    even = "" if least == most else f", {least:.0f} at its darkest place, {most:.0f} at its brightest"
    return f"{mean:.0f} cd/m²{even}; {scene.read_words}"


def name_of(mode: LitMode) -> str:
    return f"{mode.version.rid} {mode.version.label}"


def _shown(quantity: Quantity, appearance: Appearance, certainty: Certainty | None) -> str:
    value = appearance.values.get(quantity.path)
    if value is None:
        return "unknown"
    known = certainty.of.get(quantity.path) if certainty else None
    return interval_words(value, known.low, known.high) if known else in_decimals(value, quantity.places)


def _letters(modes: Sequence[LitMode]) -> list[str]:
    """Return what each mode is called in a table: a letter, for its own name is too long."""
    return [string.ascii_uppercase[number % 26] for number, _ in enumerate(modes)]


def _verdicts(modes: Sequence[LitMode], judged: Sequence[Sequence[Judged]], units: str) -> Iterator[str]:
    """Yield each mode with what the place demands of it, lit: what a person asks first."""
    for letter, mode, demands_of in zip(_letters(modes), modes, judged, strict=True):
        lead = f"{letter}  " if len(modes) > 1 else ""
        yield from paragraph(f"{lead}{name_of(mode)}: {mode.version.document['title']}", then="   ")
        for each in demands_of:
            yield from labelled(each.answer, [bound_words(each, units)])
    if not any(judged):
        yield "Nothing is demanded here of the lit print."


def _table(modes: Sequence[LitMode]) -> Iterator[str]:
    letters = _letters(modes)
    rows: list[tuple[str, ...]] = [("", "", *letters)] if len(modes) > 1 else []
    for each in QUANTITIES:
        cells = [_shown(each, mode.appearance, mode.certainty) for mode in modes if mode.appearance]
        if set(cells) != {"unknown"}:
            rows.append((each.label, each.unit, *cells))
    if len(modes) > 1 and (shares := _shares(modes)):
        rows.append(("share of A's gamut, in the dark", "%", *shares))
    if any(mode.appearance and mode.appearance.values for mode in modes):
        yield ""
        yield from aligned(right(rows, 2))
        yield from doubts(modes)


def _untold(scene: Scene, modes: Sequence[LitMode]) -> Iterator[str]:
    """Yield what cannot be told of each mode, and how to record what is missing of the place."""
    told = [
        f"{letter}: {why}" if len(modes) > 1 else why
        for letter, mode in zip(_letters(modes), modes, strict=True)
        for why in _why_unknown(mode)
    ]
    if told:
        yield ""
        yield from labelled("not told", told)
    if told and scene.unknown:
        yield from labelled(
            "to record", [f"litstock revise {scene.kind}:{scene.rid} --set PATH=VALUE --reason TEXT"]
        )


def _why_unknown(mode: LitMode) -> Iterator[str]:
    yield from dict.fromkeys(each.why for each in mode.appearance.unknown) if mode.appearance else ()


def _patches(modes: Sequence[LitMode], usual: Mapping[str, Usual], *, dual: bool) -> Iterator[str]:
    """Yield the solids' colours; where several modes stand side by side, how far each is from the first."""
    first = modes[0].appearance
    for letter, mode in zip(_letters(modes), modes, strict=True):
        if mode.appearance is None or first is None or not mode.appearance.patches:
            continue
        yield ""
        found = mode.appearance.patches
        ambient = any(each.lab_in_ambient for each in found)
        unlit = dual and any(each.lab_unlit for each in found)
        times = ["in the dark"] + ["with ambient light"] * ambient + ["by day, the lamps off"] * unlit
        what = ", then ".join(times)
        lead = f"{letter}: " if len(modes) > 1 else ""
        yield from paragraph(f"{lead}L* a* b* against its lit white, {what}")
        away = {} if mode is modes[0] else away_from(first, mode.appearance, usual)
        last = (("ΔE00 to A",) if away else ()) + (("ΔE00 beside",) if mode.beside else ())
        rows = [("", "cd/m²", *("L*", "a*", "b*") * len(times), *last)]
        for each in found:
            bright = "" if each.luminance_cd_m2 is None else f"{each.luminance_cd_m2:.1f}"
            cells = [each.name, bright, *_lab(each.lab)]
            cells += [
                *(_lab(each.lab_in_ambient) if ambient else ()),
                *(_lab(each.lab_unlit) if unlit else ()),
            ]
            cells += [interval_words(*away[each.name][:3]) if each.name in away else ""] if away else []
            cells += [f"{mode.beside.de00[each.name].value:.1f}"] if mode.beside else []
            rows.append(tuple(cells))
        width = max(map(len, rows))
        yield from aligned(right([(*row, *[""] * (width - len(row))) for row in rows], 1), "   ")


def _shares(modes: Sequence[LitMode]) -> list[str]:
    """Return how much of the first mode's gamut each one covers, in %."""
    gamuts = [enclosed(mode.appearance.lab) if mode.appearance else None for mode in modes]
    first = gamuts[0]
    if first is None:
        return []
    return ["unknown" if each is None else f"{100 * each.share_of(first):.0f}" for each in gamuts]


def _twin(mode: LitMode) -> Iterator[str]:
    if twin := mode.twin:
        yield from paragraph(
            f"A front-lit print: its black has a density of {twin.front:.2f} by reflection. Lit from behind "
            f"the same ink comes to {twin.lit:.2f}, which looks washed out; the same density lit takes about "
            f"{twin.load_pct:.0f} % of its load ({HOW}).",
            "   ",
        )


def _lab(lab: tuple[float, float, float] | None) -> tuple[str, ...]:
    return tuple(in_decimals(each, 1) for each in lab or ())


def away_from(first: Appearance, other: Appearance, usual: Mapping[str, Usual]) -> dict[str, Interval]:
    """Return ΔE00 of the patches that both have, each against its own lit white, in the dark."""
    before: Mapping[str, Patch] = {each.name: each for each in first.patches}
    both = [each for each in other.patches if each.name in before]
    if not both:
        return {}
    pair = [before[each.name].lab for each in both], [each.lab for each in both]
    drawn = drawn_differences(*pair, Repeats(*repeatability(usual)))
    return {
        each.name: interval(float(ciede2000(one, each.lab)), drawn[:, number])
        for number, (each, one) in enumerate(zip(both, pair[0], strict=True))
    }


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
