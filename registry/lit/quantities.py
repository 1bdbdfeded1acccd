"""What is computed of a print in a display; each says how, and a display may demand it by its path.

They stand in no record and belong to no mode alone: they are of a mode in one place.
"""

from typing import NamedTuple

__all__ = ["LEFT_OUT", "QUANTITIES", "Quantity", "is_lit", "quantity"]

_PREFIX = "lit."


class Quantity(NamedTuple):
    """One computed number of a lit print."""

    path: str
    label: str
    unit: str
    how: str
    places: int = 0
    """Decimals to show; below 0, figures before the point that say no more than the ones before them."""
    effect: str = "direct"


QUANTITIES: tuple[Quantity, ...] = (
    Quantity(
        "lit.white_cd_m2",
        "lit white",
        "cd/m²",
        "open face × transmittance of print and panel ÷ (1 − their reflectance towards the box × the box's), "
        "mean of the face, ambient light not counted",
    ),
    Quantity(
        "lit.least_white_cd_m2",
        "lit white, darkest place",
        "cd/m²",
        "the same at the darkest of the nine points",
    ),
    Quantity(
        "lit.black_cd_m2",
        "deepest black",
        "cd/m²",
        "the same for the darkest patch measured",
        2,
    ),
    Quantity(
        "lit.black_ambient_cd_m2",
        "black with ambient light",
        "cd/m²",
        "deepest black plus what it throws back of the light on the face: ρ·E/π, gloss not modelled",
        2,
    ),
    Quantity(
        "lit.contrast",
        "contrast in ambient light",
        ":1",
        "(lit white + what it throws back) ÷ (deepest black + what it throws back)",
    ),
    Quantity(
        "lit.contrast_dark",
        "contrast in the dark",
        ":1",
        "lit white ÷ deepest black",
    ),
    Quantity(
        "lit.kept_pct",
        "density range ambient light leaves",
        "%",
        "logarithm of the contrast in ambient light ÷ that in the dark; 100 is no wash-out",
    ),
    Quantity(
        "lit.contrast_unlit",
        "contrast with the lamps off",
        ":1",
        "what the white throws back of ambient light ÷ what the black does",
        1,
    ),
    Quantity(
        "lit.cct_k",
        "colour temperature of the white",
        "K",
        "of the unprinted patch under the display's lamp, nearest black body in CIE 1960 (Ohno 2013)",
    ),
    Quantity(
        "lit.duv",
        "Duv of the white",
        "",
        "its distance from the black bodies in CIE 1960; above 0 it is greenish, below 0 pinkish",
        4,
    ),
    Quantity(
        "lit.gamut_volume",
        "gamut volume in ambient light",
        "ΔE³",
        "convex hull in L*a*b* of all patches, against the lit white, with ambient light in it; a hull "
        "overstates a hollow gamut",
        -3,
    ),
    Quantity(
        "lit.gamut_volume_dark",
        "gamut volume in the dark",
        "ΔE³",
        "the same without ambient light",
        -3,
    ),
    Quantity(
        "lit.gamut_volume_unlit",
        "gamut volume by day, lamps off",
        "ΔE³",
        "the same of what the face throws back of daylight (D65), light passing the ink before what spreads "
        "it twice; grey material, panel and box",
        -3,
    ),
)

LEFT_OUT = (
    "gloss: a mirror image of a lamp or a window in a glossy face",
    "light that leaves at the edges, and what the lamps lose or gain in a closed box",
    "the colour of ambient light, taken to be that of the lamps",
    "how far the lamps lie from the spectrum that their name stands for",
    "what the image's dark parts take from the light in the box, beyond what --dark says of them",
)
"""What none of them counts."""


def is_lit(path: str) -> bool:
    """Whether a path means a quantity of a lit print."""
    return path.startswith(_PREFIX)


def quantity(path: str) -> Quantity | None:
    """Return the quantity at a path, or None where there is none.

    >>> quantity("lit.contrast").unit
    ':1'
    """
    return next((each for each in QUANTITIES if each.path == path), None)
