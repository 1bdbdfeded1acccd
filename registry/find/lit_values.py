"""What is computed of a find in its place: luminance, contrast and gamut, where its readings allow."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from registry.find.demands import Use
from registry.index.pairs import Pair
from registry.index.readmodel import Value
from registry.question.registry import Registry

if TYPE_CHECKING:
    from registry.question.when import Version

__all__ = ["lit_value", "lit_values", "lit_versions"]

LitValues = Mapping[str, tuple[Value, ...]]


def lit_values(
    registry: Registry, use: Use | None, paths: Iterable[str], found: Sequence[Pair]
) -> list[LitValues]:
    """Return for each pair what can be computed of it in a place, by path; nothing where that is unknown.

    Of the quantities only those at `paths` are sure to be there.
    """
    if use is None or use.lighting == "frontlit":
        return [{} for _ in found]
    from registry.question.when import version_of  # noqa: PLC0415 (only for such a demand)

    registry.documents(pair.mode.blob for pair in found)  # read in one go
    versions = [version_of(registry, pair.mode, pair.mode.seq, "found") for pair in found]
    return lit_versions(registry, use, paths, versions)


def lit_versions(
    registry: Registry, use: Use, paths: Iterable[str], versions: "Sequence[Version]"
) -> list[LitValues]:
    """Return for each version of a mode what can be computed of it in a place, at least at `paths`."""
    if use.lighting == "frontlit" or not versions:
        return [{} for _ in versions]
    from registry.lit.asking import lit_modes, scene_named  # noqa: PLC0415 (numpy, only for such a demand)

    gamut = any(path.startswith("lit.gamut") for path in paths)
    _, scene = scene_named(registry, f"{use.kind}:{use.rid}")
    return [
        {path: (lit_value(value),) for path, value in mode.appearance.values.items()}
        if mode.appearance
        else {}
        for mode in lit_modes(registry, scene, versions, gamut=gamut)
    ]


def lit_value(computed: float) -> Value:
    """Return a computed number to the figures that its readings allow."""
    text = f"{computed:.4g}"
    return Value(float(text), text)
