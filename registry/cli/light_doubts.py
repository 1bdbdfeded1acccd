"""Why a lit print is not known better, in words: what nobody measured first, with what settles it."""

from collections.abc import Iterator, Sequence

from registry.cli.blocks import labelled
from registry.light.uncertainty import Known
from registry.lit.asking import LitMode
from registry.lit.certainty import Certainty
from registry.lit.quantities import quantity

__all__ = ["doubts"]

_DECIDED_BY = ("lit.white_cd_m2", "lit.black_cd_m2", "lit.contrast")
"""The quantities of which it is told."""
_LEAST_PCT = 1.0
"""What takes away less than this, in % of the number, is not told."""
_FEW = 3
"""So many inputs that nobody measured are told."""
_SETTLED = {
    "box-reflectance": "one reading with a film on settles it (film_reading)",
    "ambient-light": "a lux meter on the face settles it (ambient_lx)",
    "luminance-reading": "nine points read on the lit face settle it (luminance)",
    "panel-transmittance": "its sheet or a reading settles it (panel.transmittance_pct)",
    "panel-reflectance": "its sheet or a reading settles it (panel.reflectance_pct)",
    "film-reflectance": "its maker's sheet or a reading settles it (light.reflectance_back_pct)",
}


def doubts(modes: Sequence[LitMode]) -> Iterator[str]:
    """Yield of the first mode what its numbers rest on and nobody measured; then what leaves most in doubt.

    What matters is much the same for every mode in one place.
    """
    certainty = next((mode.certainty for mode in modes if mode.certainty and mode.certainty.of), None)
    if certainty is None:
        return
    worst = {name: _worst(certainty, name) for name in certainty.words}
    told = {name: found for name, found in worst.items() if found[0] >= _LEAST_PCT}
    by_size = sorted(told, key=lambda name: -told[name][0])
    never = [name for name in by_size if name in certainty.unmeasured][:_FEW]
    measured = [name for name in by_size if name not in certainty.unmeasured][:1]
    lines = [f"{certainty.words[name]} was never measured: {_part(told[name])}" for name in never]
    lines = [f"{line}; {_SETTLED[name]}" for line, name in zip(lines, never, strict=True)]
    lines += [f"{certainty.words[name]}: {_part(told[name])}" for name in measured]
    yield ""
    yield from labelled("in doubt", ["in brackets stands where a number lies with a chance of 95 %", *lines])


def _worst(certainty: Certainty, name: str) -> tuple[float, float, str]:
    """Return how many % of a number an input takes by itself, of how many, and of which number."""
    found = [(0.0, 0.0, "")]
    for path in _DECIDED_BY:
        known = certainty.of.get(path)
        if known and known.value:
            whole = _percent(known)
            found.append((whole * dict(known.shares).get(name, 0.0) ** 0.5, whole, path))
    return max(found)


def _percent(known: Known) -> float:
    return 100 * known.half_width / abs(known.value)


def _part(found: tuple[float, float, str]) -> str:
    part, whole, path = found
    of = quantity(path)
    return f"{part:.0f} of the {whole:.0f} % in doubt of {of.label if of else path} come from it"
