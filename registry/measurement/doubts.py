"""What makes one doubt a measurement: readings that a print cannot have, and numbers that do not agree.

The limits are this registry's own; they are wide enough that no sound reading of ours went beyond them.
"""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from registry.light.difference import ciede2000, summary
from registry.light.grid import NOISE, SpectrumError
from registry.light.lab import lab, xyz_of
from registry.light.sources import source
from registry.measurement.colours import computed_lab, is_relative, stated_light
from registry.measurement.conditions import Conditions
from registry.measurement.densities import contradicted
from registry.measurement.patches import Array, Patches
from registry.measurement.solids import INKS

__all__ = ["colours", "doubts"]

_AGREE_DE00 = 1.0
"""L*a*b* and spectra of one file, at the 95th percentile."""
_SPREAD_DE00 = 2.0
"""Readings of one patch, from their mean."""
_FEWEST = 3
"""Wavelengths of a spectrum."""
_FRACTION = 1.5
"""A Y of more than this is no fraction of the light; fluorescent white sends on a little more."""
_ALL_LIGHT = 100.5
"""L* of all the light, and rounding."""
_LEAST_FILM_PCT = 1.0
"""Materials for light boxes let far more through (common practice, no source)."""
_LIGHTER = 0.5
"""By so much L* a patch is really lighter than another."""


def doubts(patches: Patches, how: Conditions, *, of_one_print: bool = True) -> Iterator[str]:
    """Yield what is doubtful about a table's readings; of a table of several prints, reading by reading."""
    if how.kind == "emission":
        return
    if not patches.densities and all(each is None for each in (patches.lab, patches.xyz, patches.spectra)):
        yield "nothing was read: there is neither density, colour nor spectrum"
    if patches.unread:
        yield f"columns that are not read: {', '.join(patches.unread)}"
    yield from _beyond(patches, how)
    yield from _wrong_scale(patches)
    yield from _beyond_full_ink(patches)
    seen, _ = colours(patches)
    if seen is not None:
        yield from _lighter_than_all_light(patches, seen[:, 0])
    if seen is not None and how.kind == "transmission" and of_one_print:
        yield from _no_film(patches, seen[:, 0])
    if seen is not None and patches.inks and of_one_print:
        yield from _not_the_lightest(patches, seen[:, 0])
        yield from _pale_black(patches, seen[:, 0])
        yield from _spread(patches, seen)
    yield from _disagreeing(patches, how)
    yield from _lab_against_xyz(patches, how)
    yield from contradicted(patches, how)


def colours(patches: Patches) -> tuple[Array | None, str]:
    """Return L*a*b* as the file has it, else computed for D50 from what it has; and from what, in words."""
    if patches.lab is not None:
        return patches.lab, ""
    if patches.xyz is not None:
        return lab(patches.xyz, source("D50").white()), "computed from XYZ, for D50"
    try:
        computed = computed_lab(patches)
    except SpectrumError:  # said by the doubt on spectra
        computed = None
    return computed, "" if computed is None else "computed from the spectra, for D50 and 2°"


def _beyond(patches: Patches, how: Conditions) -> Iterator[str]:
    """Fluorescent white sends back more than it receives at a wavelength; nothing lets more through."""
    if patches.spectra is None or patches.wavelengths_nm is None:
        return
    most = 1.5 if how.kind == "reflection" else 1.0 + NOISE
    read = patches.spectra
    for wrong, words, at in (
        (read > most, f"above {most:g}: up to", read.argmax()),
        (read < -NOISE, "below 0: down to", read.argmin()),
    ):
        if wrong.any():
            row, band = (int(number) for number in np.unravel_index(at, read.shape))
            where = f"{patches.names[row]} at {patches.wavelengths_nm[band]:g} nm"
            yield f"{_counted(int(wrong.sum()), 'spectral reading')} {words} {read[row, band]:.4g} ({where})"


def _beyond_full_ink(patches: Patches) -> Iterator[str]:
    if patches.inks[:3] != ("R", "G", "B") and ((patches.device < 0) | (patches.device > 100)).any():
        yield (
            f"device values reach from {patches.device.min():g} to {patches.device.max():g}; "
            "they are to be in %, 0 to 100"
        )


def _wrong_scale(patches: Patches) -> Iterator[str]:
    """Device values and XYZ as fractions: a whole chart below 1 % of ink, or below 1 % of light, is none."""
    device = patches.device
    if device.size and patches.inks[:3] != ("R", "G", "B") and 0 < device.max() <= 1:
        yield (
            f"device values reach only to {device.max():g}: are they fractions? They are to be in %, 0 to 100"
        )
    if patches.xyz is not None and 0 < patches.xyz[:, 1].max() <= _FRACTION:
        yield (
            f"XYZ reach only to Y {patches.xyz[:, 1].max():.3g}: are they fractions? They are to be Y = 100 "
            "for the perfect transmitter or diffuser"
        )


def _lighter_than_all_light(patches: Patches, light: Array) -> Iterator[str]:
    brightest = int(light.argmax())
    if light[brightest] > _ALL_LIGHT:
        yield (
            f"{patches.names[brightest]} has L* {light[brightest]:.1f}: nothing sends on more light than "
            "falls on it; against which white was it read?"
        )


def _no_film(patches: Patches, light: Array) -> Iterator[str]:
    bare = patches.of({})
    if not bare.size:
        return
    grey = np.stack([light[bare], *[np.zeros(len(bare))] * 2], axis=-1)
    through = float(xyz_of(grey, (100, 100, 100))[:, 1].mean())
    if through < _LEAST_FILM_PCT:
        yield (
            f"the unprinted patch lets {through:.2g} % through, and no film for light boxes lets so little: "
            "was it printed, or read over something?"
        )


def _lab_against_xyz(patches: Patches, how: Conditions) -> Iterator[str]:
    light = stated_light(how)
    if patches.lab is None or patches.xyz is None or light is None or is_relative(how):
        return
    name, observer = light
    computed = lab(patches.xyz, source(name).white(observer))
    found = summary(ciede2000(computed, patches.lab))
    if found.p95 > _AGREE_DE00:
        yield (
            f"L*a*b* does not agree with XYZ of the same patch under {name}, {observer}°: ΔE00 mean "
            f"{found.mean:.2f}, largest {found.largest:.2f} ({patches.names[found.at]}); which is right?"
        )


def _not_the_lightest(patches: Patches, light: Array) -> Iterator[str]:
    bare = patches.of({})
    if patches.inks[:3] == ("R", "G", "B"):
        return
    if not bare.size:
        yield "no unprinted patch: nobody can tell what the material does by itself"
        return
    white, brightest = float(light[bare].max()), int(light.argmax())
    if light[brightest] > white + _LIGHTER:
        yield (
            f"{patches.names[brightest]} is lighter than the unprinted patch "
            f"(L* {light[brightest]:.1f} and {white:.1f}): are the patches in the order of the chart?"
        )


def _pale_black(patches: Patches, light: Array) -> Iterator[str]:
    if not set(INKS) <= set(patches.inks):
        return
    black, cyan = patches.of({"K": 100}), patches.of({"C": 100})
    if black.size and cyan.size and light[black].mean() > light[cyan].mean() + _LIGHTER:
        yield (
            f"black is lighter than cyan (L* {light[black].mean():.1f} and {light[cyan].mean():.1f}): "
            "are the channels in the order that the file says?"
        )


def _disagreeing(patches: Patches, how: Conditions) -> Iterator[str]:
    if patches.spectra is None:
        return
    if patches.spectra.shape[1] < _FEWEST:
        yield f"{_counted(patches.spectra.shape[1], 'wavelength')}: too few to compute a colour from"
        return
    light = stated_light(how)
    try:
        computed = computed_lab(patches, *(light or ("D50", 2)))
    except SpectrumError as error:
        yield f"the spectra cannot be computed with: {error}"
        return
    if patches.lab is None or computed is None or light is None or is_relative(how):
        return
    found = summary(ciede2000(computed, patches.lab))
    if found.p95 > _AGREE_DE00:
        yield (
            f"L*a*b* does not agree with the spectra under {light[0]}, {light[1]}°: "
            f"ΔE00 mean {found.mean:.2f}, largest {found.largest:.2f} ({patches.names[found.at]}); "
            "which light is it for?"
        )


def _spread(patches: Patches, seen: Array) -> Iterator[str]:
    worst, which = 0.0, 0
    for rows in _repeated(patches.device):
        away = ciede2000(seen[rows], seen[rows].mean(axis=0))
        if float(away.max()) > worst:
            worst, which = float(away.max()), int(rows[0])
    if worst > _SPREAD_DE00:
        yield (
            f"readings of one patch lie apart: {patches.names[which]} by ΔE00 {worst:.2f} from their mean; "
            "was the print dry, flat and clean?"
        )


def _repeated(device: Array) -> Iterator[npt.NDArray[np.intp]]:
    """Yield the rows of each patch that was read more than once."""
    _, which, counts = np.unique(device.round(1), axis=0, return_inverse=True, return_counts=True)
    yield from (np.flatnonzero(which == number) for number in np.flatnonzero(counts > 1))


def _counted(number: int, one: str) -> str:
    return f"{number} {one}{'' if number == 1 else 's'}"
