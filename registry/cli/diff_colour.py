"""How far two versions of a mode lie apart in colour, beside the settings that differ."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from registry.cli.find_words import interval_words
from registry.cli.output import figures
from registry.cli.page import wrapped
from registry.question.attached import measurement_of, profile_of
from registry.question.registry import Registry
from registry.question.when import Version

if TYPE_CHECKING:
    from registry.lit.between import Between

__all__ = ["colour_between", "colour_json", "colour_lines"]


def colour_between(registry: Registry, before: Version, after: Version) -> "Between | None":
    """Return what lies between two print modes in colour; where both name the same files nothing is read."""
    if before.kind != "print-mode" or after.kind != "print-mode":
        return None
    sides = [(measurement_of(each.document), profile_of(each.document)) for each in (before, after)]
    if sides[0] == sides[1]:
        return None
    from registry.lit.between import between  # noqa: PLC0415 (numpy, only where files differ)

    return between(registry, before, after)


def colour_lines(found: "Between") -> Iterator[str]:
    """Yield what lies between, with how it was computed."""
    from registry.lit.between import LAMP  # noqa: PLC0415

    yield "How far apart in colour (ΔE00):"
    if apart := found.readings:
        said = apart.summary
        yield wrapped(
            f"readings: mean {interval_words(*apart.mean[:3])}, 95 of 100 within {said.p95:.1f}, largest "
            f"{interval_words(*apart.largest[:3])} at "
            f"{apart.worst}; {apart.patches} patches that both have, from their spectra under {LAMP}, each "
            f"against its own unprinted film; the films themselves lie {apart.white:.1f} apart",
            "  ",
            "    ",
        )
    if changed := found.profiles:
        at = ", ".join(f"{value:g}" for value in changed.at)
        yield wrapped(
            f"profiles: mean {changed.mean:.1f}, 95 of 100 within {changed.p95:.1f}, largest "
            f"{changed.largest:.1f} at device value {at} %; {changed.route}",
            "  ",
            "    ",
        )
    for each in found.untold:
        yield wrapped(f"not told: {each}", "  ", "    ")


def colour_json(found: "Between | None") -> dict[str, Any] | None:
    """Return what lies between under its documented keys."""
    if found is None:
        return None
    apart = found.readings
    told: dict[str, Any] = {
        "readings": apart
        and {
            **{name: getattr(apart.summary, name) for name in ("mean", "p95", "largest")},
            "mean_known": apart.mean._asdict(),
            "largest_known": apart.largest._asdict(),
            "at": apart.worst,
            "patches": apart.patches,
            "films": apart.white,
        },
        "profiles": found.profiles and asdict(found.profiles),
        "untold": list(found.untold),
    }
    return {name: figures(value) for name, value in told.items()}
