"""ICC profiles (ISO 15076-1): the colours that they say a device gives, and how far two of them lie apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Self

import numpy as np
import numpy.typing as npt

from registry.light.difference import ciede2000, summary
from registry.light.fraction import Array
from registry.light.icc import Profile, ProfileError
from registry.light.lab import lab, xyz_of
from registry.light.lut import Table

__all__ = ["D50", "Intent", "Profile", "ProfileDifference", "ProfileError", "colours", "compare"]

Intent = Literal["perceptual", "relative", "saturation", "absolute"]

D50 = (0.9642, 1.0, 0.8249)
"""White of the profile connection space (ISO 15076-1, 7.2.16)."""

_TABLES: dict[Intent, str] = {
    "perceptual": "A2B0",
    "relative": "A2B1",
    "saturation": "A2B2",
    "absolute": "A2B1",
}
_SEEN: dict[Intent, str] = {
    "perceptual": "perceptual",
    "relative": "relative to each medium's white",
    "saturation": "saturation",
    "absolute": "absolute by each medium's white",
}
_COARSE = "; a table of 8 bits holds a colour only to 0.4 in L* and 1 in a* and b*"
_MOST_PATCHES = 1_000_000


@dataclass(frozen=True, slots=True)
class ProfileDifference:
    """How far two profiles lie apart, as ΔE00 over a grid of device values."""

    mean: float
    p95: float
    largest: float
    at: tuple[float, ...]
    """Device value of the largest difference, in % a channel."""
    patches: int
    """How many device values were compared."""
    route: str
    """How it was computed, and what blurs it."""


def colours(profile: Profile, device_pct: npt.ArrayLike, intent: Intent = "relative") -> Array:
    """Return the colours that a profile says its device gives.

    Parameters
    ----------
    profile : Profile
        Of an output, display or input device, with a table from device to connection space.
    device_pct : array_like, shape (m, channels)
        Device values in %, 0 to 100.
    intent : {"perceptual", "relative", "saturation", "absolute"}, optional
        Relative: against the unprinted medium. Absolute: as the medium looks beside a perfect white.

    Returns
    -------
    array, shape (m, 3)
        CIELAB against D50.

    Raises
    ------
    ProfileError
        The profile has no such table, or one that cannot be read.
    ValueError
        Device values do not fit the channels or lie outside 0 to 100, or the intent is none.

    Notes
    -----
    Source: ISO 15076-1:2010, 6.3 and 8.10; where the intent's own table is missing the perceptual one (A2B0)
    stands for it. Absolute: X = X_relative · X_media white/X_D50, and likewise Y and Z. Left out: black point
    compensation, named colours, device links, and profiles of matrix and curves.

    Examples
    --------
    >>> from registry.shipped import shipped
    >>> profile = Profile(min(shipped("records").rglob("*.icc")).read_bytes())
    >>> colours(profile, [0, 0, 0, 0]).tolist()
    [[100.0, 0.0, 0.0]]
    """
    device = np.atleast_2d(np.asarray(device_pct, dtype=np.float64))
    if device.ndim != 2 or device.shape[1] != profile.channels:
        raise ValueError(f"{profile.space} has {profile.channels} channels, not shape {device.shape}")
    if not np.all((device >= 0) & (device <= 100)):
        raise ValueError("device values are from 0 to 100 %")
    return _View.of(profile, intent).colours(device)


def compare(
    profile_a: Profile,
    profile_b: Profile,
    grid_levels: Sequence[float] = (0, 25, 50, 75, 100),
    intent: Intent = "relative",
    *,
    total_pct: float = np.inf,
) -> ProfileDifference:
    """Return how far two profiles of one colour space lie apart: the same device values, two colours.

    Parameters
    ----------
    profile_a, profile_b : Profile
        Of the same colour space.
    grid_levels : sequence of float
        Levels of each channel in %, 0 to 100; every combination is compared.
    intent : {"perceptual", "relative", "saturation", "absolute"}, optional
        As in `colours`.
    total_pct : float, optional
        Heaviest sum of channels that is compared, in %: beyond what is printed a profile only guesses.

    Returns
    -------
    ProfileDifference
        Mean, 95th percentile and largest ΔE00, where it is largest, and how it was computed.

    Raises
    ------
    ProfileError
        The colour spaces differ, or a profile cannot be read.
    ValueError
        Levels outside 0 to 100 %, more than a million device values, or none below `total_pct`.

    Notes
    -----
    Computed in floating point throughout. Little CMS through Pillow gives Lab in 8 bits, which alone costs
    ΔE00 0.29 in the mean. A grid weighs dark overprints as much as the tints that pictures are made of.

    Examples
    --------
    >>> from registry.shipped import shipped
    >>> profile = Profile(min(shipped("records").rglob("*.icc")).read_bytes())
    >>> same = compare(profile, profile, (0, 100), total_pct=200)
    >>> same.largest, same.patches
    (0.0, 11)
    """
    if profile_a.space != profile_b.space:
        raise ProfileError(f"the colour spaces differ: {profile_a.space} and {profile_b.space}")
    device = _grid(grid_levels, profile_a.channels, total_pct)
    sides = [_View.of(profile, intent) for profile in (profile_a, profile_b)]
    found = summary(ciede2000(*(side.colours(device) for side in sides)))
    levels = ", ".join(f"{level:g}" for level in sorted(set(grid_levels)))
    at_most = f" with {total_pct:g} % at most" if total_pct < np.inf else ""
    route = (
        f"ΔE00 over {len(device)} device values ({levels} % of {profile_a.channels} channels{at_most}), "
        f"{_SEEN[intent]}, table {' and '.join(dict.fromkeys(side.name for side in sides))}, "
        f"in floating point, tetrahedral{_COARSE if min(side.table.bits for side in sides) == 8 else ''}"
    )
    at = tuple(float(value) for value in device[found.at])
    return ProfileDifference(found.mean, found.p95, found.largest, at, len(device), route)


@dataclass(frozen=True, slots=True)
class _View:
    """A profile seen with one intent."""

    profile: Profile
    intent: Intent
    name: str
    """Of the table that serves the intent."""
    table: Table

    @classmethod
    def of(cls, profile: Profile, intent: Intent) -> Self:
        if intent not in _TABLES:
            raise ValueError(f"a rendering intent is {', '.join(_TABLES)}, not {intent!r}")
        if profile.kind == "link":
            raise ProfileError("a device link leads from device to device, not to colours")
        name = _TABLES[intent] if _TABLES[intent] in profile.tags else "A2B0"
        try:
            table = Table(profile.tag(name), profile.channels, profile.connection_space)
        except ProfileError as error:
            raise ProfileError(f"no colours by intent {intent}, table {name}: {error}") from error
        return cls(profile, intent, name, table)

    def colours(self, device_pct: Array) -> Array:
        """Return CIELAB against D50."""
        seen = self.table(device_pct / 100)
        if self.profile.connection_space == "XYZ":
            seen = lab(seen, D50)
        if self.intent == "absolute":
            # X = X_relative · X_media white/X_D50: what stood against D50 stands against the media white.
            seen = lab(xyz_of(seen, self.profile.media_white), D50)
        return seen


def _grid(levels: Sequence[float], channels: int, total_pct: float) -> Array:
    """Return every combination of levels within the total, the first channel changing slowest."""
    steps = np.unique(np.asarray(levels, dtype=np.float64))
    if not steps.size or not np.all((steps >= 0) & (steps <= 100)):
        raise ValueError(f"levels are from 0 to 100 %, not {list(levels)}")
    if steps.size**channels > _MOST_PATCHES:
        raise ValueError(
            f"{steps.size} levels of {channels} channels are more than {_MOST_PATCHES:,} device values: "
            "take fewer levels"
        )
    every = np.stack(np.meshgrid(*[steps] * channels, indexing="ij"), axis=-1).reshape(-1, channels)
    within: Array = every[every.sum(axis=1) <= total_pct]
    if not len(within):
        raise ValueError(f"no device value sums up to {total_pct:g} % or less")
    return within
