"""What is computed of a find in its place: luminance, contrast and gamut, where its readings allow."""

from collections.abc import Mapping, Sequence

from registry.find.demands import Use
from registry.index.pairs import Pair
from registry.index.readmodel import Value
from registry.question.registry import Registry

__all__ = ["lit_value", "lit_values"]

LitValues = Mapping[str, tuple[Value, ...]]


def lit_values(registry: Registry, use: Use | None, found: Sequence[Pair]) -> list[LitValues]:
    """Return for each pair what can be computed of it in a place, by path; nothing where that is unknown."""
    if use is None or use.lighting == "frontlit" or not found:
        return [{} for _ in found]
    from registry.lit.asking import lit_modes, scene_named  # noqa: PLC0415 (numpy, only for such a demand)
    from registry.question.when import version_of  # noqa: PLC0415

    _, scene = scene_named(registry, f"{use.kind}:{use.rid}")
    versions = [version_of(registry, pair.mode, pair.mode.seq, "found") for pair in found]
    return [
        {path: (lit_value(value),) for path, value in mode.appearance.values.items()}
        if mode.appearance
        else {}
        for mode in lit_modes(registry, scene, versions)
    ]


def lit_value(computed: float) -> Value:
    """Return a computed number to the figures that its readings allow."""
    text = f"{computed:.4g}"
    return Value(float(text), text)
