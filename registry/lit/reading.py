"""A lit face as it was read: what the open box gives, and what its inside throws back."""

from dataclasses import dataclass, replace

import numpy as np

from registry.light.box import Array, Box
from registry.light.fraction import Numbers
from registry.light.stack import Layer
from registry.lit.panel import Mounted

__all__ = ["MOST", "FaceRead", "FilmOn"]

MOST = 0.999
"""A box that threw all light back would never let its lamps' light out."""
_HALVINGS = 40


@dataclass(frozen=True, slots=True)
class FilmOn:
    """The same face with an unprinted film on."""

    luminance_cd_m2: Numbers
    film: Layer


@dataclass(frozen=True, slots=True)
class FaceRead:
    """Everything by which a box is known; numbers, or columns of draws."""

    luminance_cd_m2: Numbers
    """Mean of the face, as read."""
    reflectance: Numbers
    """Of the box."""
    stood: Mounted | None
    """The panel that it was read through; it is taken out, so that it counts once only."""
    panel: Mounted
    """What stands there now."""
    film_on: FilmOn | None = None
    """Where this was read too, it says what the box throws back."""

    def box(self) -> Box:
        """Return the box as the print sees it, a panel behind the print counted in."""
        through = self.stood.whole if self.stood else None
        opened = Box.measured(self.luminance_cd_m2, self.reflectance, through)
        return opened.behind(self.panel.behind) if self.panel.behind else opened

    def fitted(self) -> "FaceRead":
        """Return it with the reflectance of the box at which the film looks as bright as it was read.

        Notes
        -----
        By halving, as the face grows brighter with each bit that the box returns. A film that was read darker
        than over a black box, or brighter than over a white one, gives 0 or `MOST`.
        """
        if self.film_on is None:
            return self
        front = self.panel.front
        face = front.over(self.film_on.film) if front else self.film_on.film
        wanted = np.asarray(self.film_on.luminance_cd_m2, dtype=np.float64)
        low, high = np.zeros_like(wanted), np.full_like(wanted, MOST)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            lit: Array = replace(self, reflectance=middle).box().lit(face)
            low, high = np.where(lit < wanted, middle, low), np.where(lit < wanted, high, middle)
        return replace(self, reflectance=high if high.ndim else float(high))
