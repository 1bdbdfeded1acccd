"""The colours of patches: computed from their spectra, and what a file says that its own L*a*b* holds for."""

import re

from registry.light.grid import grid_of
from registry.light.lab import lab
from registry.light.sources import SOURCE_NAMES, Observer, source
from registry.light.tristimulus import xyz
from registry.measurement.conditions import Conditions
from registry.measurement.patches import Array, Patches

__all__ = ["computed_lab", "is_relative", "stated_light"]

_ILLUMINANT = re.compile(
    r"\b(?:D[0-9]{2}|FL?[0-9]{1,2}|LED-[A-Z]+[0-9]|TL[0-9]+|UL[0-9]+)\b|(?:^|, |CIE )A(?=,|$)"
)
_WIDE = re.compile(r"\b10(?=[ _-]?(?:°|deg)|$|,)")
_RELATIVE = re.compile(r"(?:lit|paper|media|substrate|film)(?:'s)? white|relative to", re.IGNORECASE)
_ABSOLUTE = re.compile(r"perfect|absolute", re.IGNORECASE)


def stated_light(how: Conditions) -> tuple[str, Observer] | None:
    """Return illuminant and observer for which a file's L*a*b* holds; None where they are not known here.

    Where the file does not say, those of ISO 13655: D50 and 2°.

    >>> stated_light(Conditions(light="D50, CIE 2 degree")), stated_light(Conditions(light="D65, 10"))
    (('D50', 2), ('D65', 10))
    >>> stated_light(Conditions(light="TL84, 10 degree")) is None
    True
    """
    found = _ILLUMINANT.search(how.light)
    name = found[0].removeprefix("CIE ").strip(", ") if found else "D50"
    name = re.sub(r"^F(?=[0-9])", "FL", name)
    return (name, 10 if _WIDE.search(how.light) else 2) if name in SOURCE_NAMES else None


def is_relative(how: Conditions) -> bool:
    """Whether a file's L*a*b* stands against the print's own white, not a perfect transmitter or diffuser."""
    return bool(_RELATIVE.search(how.light)) and not _ABSOLUTE.search(how.light)


def computed_lab(patches: Patches, illuminant: str = "D50", observer: Observer = 2) -> Array | None:
    """Return L*a*b* of the patches' spectra by ASTM E308, against the source's white; None without spectra.

    Raises
    ------
    SpectrumError
        The wavelengths are no regular grid, or leave out too much of the visible range.
    """
    if patches.spectra is None or patches.wavelengths_nm is None:
        return None
    lamp = source(illuminant)
    tristimulus = xyz(patches.spectra, grid_of(patches.wavelengths_nm), lamp, observer)
    return lab(tristimulus, lamp.white(observer))
