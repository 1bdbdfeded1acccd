"""A shop with a lit box, and films whose readings the demo's own physical model makes."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from registry.contribute.prepare import attach
from registry.model.kinds import path_of
from tests.find.shop import Shop
from tools.simulate_measurement import Sample, text_of

__all__ = ["BOX", "FLAT", "LightedShop", "Patch", "flat_reading", "reading"]

Patch = tuple[tuple[float, ...], float]
"""Device values, one a channel, and transmittance of a flat patch."""

FLAT = range(380, 731, 10)
"""Wavelengths of flat readings, in nm."""

BOX: dict[str, Any] = {
    "lamp": {"illuminant": "LED-B3"},
    "luminance": {
        "points_cd_m2": [900, 1000, 900, 1000, 1200, 1000, 900, 1000, 900],
        "in_front": "acrylic, no print",
        "through": "panel",
        "measured": "2025-08-30",
    },
    "panel": {"position": "front", "material": "clear acrylic", "transmittance_pct": 92},
    "box_reflectance_pct": 85,
    "ambient_lx": 400,
}
"""What a display records of a box; its mean is 977.8 cd/m²."""


def reading(white_pct: float = 38, load_pct: float = 200, **said: Any) -> str:
    """Return a simulated reading of a backlit print."""
    sample = {
        "descriptor": "test film, transmission",
        "created": "2025-09-01",
        "print_conditions": "a test",
        "instrumentation": "simulated",
        "geometry": "transmission, 0:d, unprinted back to the source",
        "kind": "transmission",
        "white_pct": white_pct,
        "tint_pct": 3,
        "load_pct": load_pct,
        "solid_density": 0.75,
        "noise_density": 0.002,
        "seed": 11,
    }
    return text_of(Sample(**{**sample, **said}))


def flat_reading(
    patches: Mapping[str, Patch],
    geometry: str = "transmission, 0:d",
    *,
    channels: Sequence[str] = ("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K"),
    wavelengths: Sequence[int] = FLAT,
) -> str:
    """Return a file of flat spectra: each patch has one transmittance at every wavelength."""
    rows = [
        [str(number), name, *map(str, device), *([f"{share:.6f}"] * len(wavelengths))]
        for number, (name, (device, share)) in enumerate(patches.items(), 1)
    ]
    fields = ["SAMPLE_ID", "SAMPLE_NAME", *channels, *(f"SPECTRAL_NM{nm}" for nm in wavelengths)]
    lines = ["CGATS.17", f'MEASUREMENT_GEOMETRY "{geometry}"', f"NUMBER_OF_FIELDS {len(fields)}"]
    lines += ["BEGIN_DATA_FORMAT", " ".join(fields), "END_DATA_FORMAT"]
    lines += [f"NUMBER_OF_SETS {len(rows)}", "BEGIN_DATA", *map(" ".join, rows), "END_DATA", ""]
    return "\n".join(lines)


class LightedShop(Shop):
    """A shop with an application `light-box` and a display `harbour-yard/box` that is lit as `BOX` says."""

    def __init__(self, folder: Path, **box: Any) -> None:
        super().__init__(folder)
        self.put("application", "light-box")
        self.put("display", "harbour-yard/box", **{**BOX, **box})

    def lamp(self, name: str, wavelengths: Sequence[int] = FLAT, first: str = "1") -> None:
        """Add the spectrum of a lamp of equal energy at harbour-yard; its first reading may be another."""
        fields = ["SAMPLE_ID", *(f"SPECTRAL_NM{nm}" for nm in wavelengths)]
        lines = ["CGATS.17", 'MEASUREMENT_SOURCE "emission"', f"NUMBER_OF_FIELDS {len(fields)}"]
        lines += ["BEGIN_DATA_FORMAT", " ".join(fields), "END_DATA_FORMAT", "NUMBER_OF_SETS 1", "BEGIN_DATA"]
        text = "\n".join([*lines, " ".join(["1", first, *["1"] * (len(wavelengths) - 1)]), "END_DATA", ""])
        self._keep(attach(self._teller, path_of("spectrum", f"harbour-yard/{name}"), text.encode()), name)

    def lit_film(self, rid: str, text: str | None = None, **said: Any) -> str:
        """Add a diffusing film with a known-good mode and the reading that it rests on."""
        light = {"transmittance_pct": 38, "reflectance_back_pct": 55, "scattering": "diffusing"}
        said = {"light": light, **said}
        if text is None:
            return self.film(rid, **said)
        self._keep(attach(self._teller, path_of("measurement", f"{rid}/read"), text.encode()), rid)
        return self.film(rid, mode_evidence={"measurement": {"file": "read.txt"}}, **said)
