"""The double pass the other way: what is seen of a film by reflection, to start tests from."""

import numpy as np

__all__ = ["reflection_density"]


def reflection_density(film: float, q: float = 0.0) -> float:
    """Return the density over the unprinted base of light followed from bounce to bounce: R = t²·Σ(q·t²)ⁿ."""
    passed = 10 ** (-2 * film)
    return float(-np.log10(passed / (1 - q * passed) * (1 - q)))
