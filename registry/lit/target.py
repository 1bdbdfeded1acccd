"""From a contrast that a place demands to the density that a print needs for it."""

import numpy as np

from registry.light.box import contrast
from registry.light.inked import inked
from registry.light.stack import Layer
from registry.lit.scene import Scene

__all__ = ["density_for_contrast"]

_DENSEST = 6.0


def density_for_contrast(scene: Scene, film: Layer, wanted: float, *, in_front: float = 1.0) -> float | None:
    """Return the visual density over the film at which a black has a contrast in ambient light.

    Parameters
    ----------
    scene : Scene
        Its box and ambient light must be known.
    film : Layer
        The unprinted film, luminous, as fractions.
    wanted : float
        Contrast ratio of white to black, above 1.
    in_front : float, optional
        Share of the ink on the viewer's side of what spreads the light.

    Returns
    -------
    float or None
        None where no black is deep enough: ambient light alone leaves less contrast.

    Raises
    ------
    ValueError
        The scene lacks its box or ambient light, or the contrast is not above 1.
    """
    if scene.box is None or scene.ambient_lx is None:
        raise ValueError(f"not known of {scene.title}: {'; '.join(scene.unknown)}")
    if not wanted > 1:
        raise ValueError(f"a contrast is above 1, not {wanted!r}")

    def reached(density: float) -> float:
        return _contrast(scene, film, density, in_front=in_front)

    if reached(_DENSEST) < wanted:
        return None
    low, high = 0.0, _DENSEST
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if reached(middle) >= wanted else (middle, high)
    return round(high, 4)


def _contrast(scene: Scene, film: Layer, density: float, *, in_front: float) -> float:
    box, ambient = scene.box, scene.ambient_lx
    assert box is not None  # noqa: S101  (the caller has looked)
    assert ambient is not None  # noqa: S101
    both = inked(film, np.array([1.0, 10**-density]), in_front=in_front)
    whole = scene.front.over(both) if scene.front else both
    lit = box.lit(whole, float(np.broadcast_to(whole.back_reflectance, (2,))[0]))
    seen = lit + box.thrown_back(whole, ambient)
    return float(contrast(seen[0], seen[1]))
