"""How far two versions of modes lie apart in colour: by their readings, and by their profiles."""

from typing import NamedTuple

from registry.light.distance import Repeats
from registry.light.profile import Profile, ProfileDifference, ProfileError, compare
from registry.light.sources import source
from registry.lit.apart import Apart, readings_apart
from registry.lit.printed import NoReadings, Print, print_in
from registry.measurement import MeasurementError
from registry.model.usual import repeatability, usuals
from registry.question.attached import Wanted, attached, measurement_of, profile_of
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["LAMP", "Between", "between"]

LAMP = "D50"
"""Readings are compared under this light, each against its own unprinted film."""


class Between(NamedTuple):
    """What lies between two versions; each part None where it is the same on both sides or cannot be told."""

    readings: Apart | None
    profiles: ProfileDifference | None
    untold: tuple[str, ...]
    """What differs and cannot be compared, and why."""


def between(registry: Registry, before: Version, after: Version) -> Between | None:
    """Return how far two versions of print modes lie apart in colour; None where nothing of it differs."""
    if before.kind != "print-mode" or after.kind != "print-mode":
        return None
    readings = [measurement_of(each.document) for each in (before, after)]
    profiles = [profile_of(each.document) for each in (before, after)]
    files = attached(registry, [each for each in (*readings, *profiles) if each])
    untold: list[str] = []
    apart = None
    if _differ(readings):
        repeats = Repeats(*repeatability(usuals(registry.settings)))
        apart = _of_readings((before, after), readings, files, untold, repeats)
    changed = _of_profiles(profiles, files, untold) if _differ(profiles) else None
    return Between(apart, changed, tuple(untold)) if apart or changed or untold else None


def _differ(pair: list[Wanted | None]) -> bool:
    first, second = pair
    return first is not None and second is not None and first.sha256 != second.sha256


def _of_readings(
    versions: tuple[Version, Version],
    wanted: list[Wanted | None],
    files: dict[Wanted, bytes],
    untold: list[str],
    repeats: Repeats,
) -> Apart | None:
    prints: list[Print] = []
    for version, file in zip(versions, wanted, strict=True):
        try:
            prints.append(print_in(version.document, {}, file, files))
        except (NoReadings, MeasurementError) as error:
            untold.append(f"{version.rid} {version.label}: {error}")
    if untold:
        return None
    if prints[0].kind != prints[1].kind:
        kinds = f"{prints[0].kind} and {prints[1].kind}"
        untold.append(f"the measurements are of {kinds}, which are never compared")
        return None
    try:
        apart = readings_apart(prints[0], prints[1], source(LAMP), repeats=repeats)
    except NoReadings as error:
        untold.append(str(error))
        return None
    if apart is None:
        untold.append("the two measurements have no printed patch in common")
    return apart


def _of_profiles(
    wanted: list[Wanted | None], files: dict[Wanted, bytes], untold: list[str]
) -> ProfileDifference | None:
    read = []
    for file in wanted:
        data = files.get(file) if file else None
        if data is None:
            untold.append(f"the profile {file.name if file else ''} is not at hand")
        else:
            read.append(data)
    if len(read) < 2:
        return None
    try:
        return compare(Profile(read[0]), Profile(read[1]))
    except ProfileError as error:
        untold.append(f"the profiles cannot be compared: {error}")
        return None
