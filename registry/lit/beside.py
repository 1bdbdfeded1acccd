"""The same print in two displays: how far apart its colours lie, each eye adapted to its own lit white."""

from typing import NamedTuple

from registry.light.adaptation import adapted
from registry.light.difference import ciede2000
from registry.light.distance import Interval, Repeats, drawn_differences, interval
from registry.light.lab import lab
from registry.lit.printed import Print
from registry.lit.scene import Scene
from registry.lit.solids import solids
from registry.model.usual import repeatability

__all__ = ["Beside", "beside"]


class Beside(NamedTuple):
    """A print in another place, against how it looks here."""

    de00: dict[str, Interval]
    """ΔE00 by patch, without ambient light, as well as one reading of the print tells it: the lamps' own
    spectra are taken as they stand."""
    white: float
    """ΔE00 of the two lit whites to an eye that stays adapted to this place: how far the lamps lie apart."""


def beside(here: Scene, there: Scene, printed: Print) -> Beside | None:
    """Return how far a print looks apart in two places; None where a lamp is unknown.

    Notes
    -----
    What is seen there is turned by CAT16 into what looks the same here (Li et al., Color Research and
    Application 42 (2017) 703), whole adaptation to each lit white; then both stand against this place's
    white. Brightness, panels that tint and ambient light are left out.
    """
    if here.lamp is None or there.lamp is None:
        return None
    seen = [printed.under(each.lamp) for each in (here, there) if each.lamp]
    whites = [each[printed.white] for each in seen]
    turned = adapted(seen[1], whites[1], whites[0])
    pair = lab(seen[0], whites[0]), lab(turned, whites[0])
    differences = ciede2000(*pair)
    known = Repeats(*repeatability(here.usual))
    apart = {}
    for name, rows in solids(printed.patches):
        drawn = drawn_differences(pair[0][rows], pair[1][rows], known, together=True)
        apart[name] = interval(float(differences[rows].mean()), drawn.mean(axis=1))
    scaled = whites[1] * whites[0][1] / whites[1][1]
    return Beside(apart, float(ciede2000(lab(whites[0], whites[0]), lab(scaled, whites[0]))))
