"""When a panel is taken to be clear: what two surfaces alone throw back, and what a sheet lets through."""

import numpy as np
import pytest
from scipy.integrate import quad

from registry.lit.panel import Panel, recorded, tried


def thrown_back_by_two_surfaces(index: float) -> float:
    """Share of light from all sides that two surfaces of a clear sheet throw back, and all between them.

    Fresnel's formulas for both polarisations, weighted by the cosine (Born and Wolf, Principles of Optics,
    1.5.2): from memory.
    """

    def sheet(angle: float) -> float:
        inside = np.arcsin(np.sin(angle) / index)
        one, other = np.cos(angle), np.cos(inside)
        across = ((one - index * other) / (one + index * other)) ** 2
        along = ((index * one - other) / (index * one + other)) ** 2
        both = [2 * share / (1 + share) for share in (across, along)]
        return float(np.mean(both) * np.sin(2 * angle))

    return float(quad(sheet, 0, np.pi / 2)[0])


def test_a_panel_that_throws_back_more_than_clear_surfaces_do_spreads_light() -> None:
    acrylic, densest = thrown_back_by_two_surfaces(1.49), thrown_back_by_two_surfaces(1.6)
    assert 0.1 < acrylic < densest < 0.2
    for share, spreads in ((acrylic, False), (densest, False), (0.2, False), (0.201, True), (0.21, True)):
        assert tried(Panel("behind", 0.7, share)).diffuser is spreads
        record = {"position": "behind", "transmittance_pct": 70, "reflectance_pct": 100 * share}
        assert recorded(record).diffuser is spreads


@pytest.mark.parametrize(("through", "told"), [(92, False), (85, False), (84.9, True), (40, True)])
def test_what_a_panel_absorbs_is_said_to_be_unknown_only_where_it_matters(through: float, told: bool) -> None:
    assumed = recorded({"position": "front", "transmittance_pct": through}).assumed
    assert bool([each for each in assumed if "absorbs nothing" in each]) is told
    assert not told or f"so it throws {100 - through:.3g} % back" in assumed[0]
