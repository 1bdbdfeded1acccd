"""Whatever the schemas allow of a place, a film and a mode: a print is computed in it, or the reason said."""

import math
import warnings
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from registry.lit.appearance import appearance
from registry.lit.panel import Panel
from registry.lit.printed import NoReadings, print_of
from registry.lit.scene import WhatIf, scene_of
from registry.measurement import read_cgats
from tests.lit.lighted import flat_reading, reading

_SHARES = st.sampled_from([0, 0.01, 9, 47, 50, 92, 99.9, 100])
_READINGS = {
    name: read_cgats(text.encode())
    for name, text in {
        "usual": reading(),
        "heavy": reading(90, 300, solid_density=2.5),
        "no light in black": flat_reading({"p": ((0, 0, 0, 0), 1.0), "k": ((0, 0, 0, 100), 0.0)}),
        "no light in white": flat_reading({"p": ((0, 0, 0, 0), 0.0), "k": ((0, 0, 0, 100), 0.1)}),
        "lighter than the film": flat_reading({"p": ((0, 0, 0, 0), 1e-6), "k": ((0, 0, 0, 100), 0.9)}),
        "short and bare": flat_reading({"p": ((0, 0, 0, 0), 0.4)}, wavelengths=range(420, 681, 20)),
    }.items()
}


def partly(**said: Any) -> st.SearchStrategy[dict[str, Any]]:
    """Return documents in which each member may be unknown."""
    return st.fixed_dictionaries({}, optional=said)


_PANEL = st.builds(
    lambda position, rest: {"position": position, **rest},
    st.sampled_from(["front", "behind", "both", "none"]),
    partly(
        transmittance_pct=_SHARES, reflectance_pct=_SHARES, scattering=st.sampled_from(["clear", "diffusing"])
    ),
)
_PLACE = partly(
    lamp=st.sampled_from([{"illuminant": "LED-B3"}, {"illuminant": "LED-RGB1"}, {"spectrum": "lamp.txt"}]),
    luminance=partly(
        points_cd_m2=st.just([900.0, *[1000.0] * 8]), through=st.sampled_from(["nothing", "panel"])
    ),
    panel=_PANEL,
    box_reflectance_pct=_SHARES,
    ambient_lx=st.sampled_from([0, 1, 400, 150000]),
)
_FILM = partly(
    light=partly(
        transmittance_pct=_SHARES,
        reflectance_back_pct=_SHARES,
        reflectance_face_pct=_SHARES,
        scattering=st.sampled_from(["clear", "diffusing"]),
    ),
    fabric=partly(open_area_pct=_SHARES),
)
_MODE = st.builds(
    lambda layers, side: {"layers": layers, "print_side": side},
    st.lists(
        st.fixed_dictionaries(
            {
                "what": st.sampled_from(["colour", "white", "clear", "block-out"]),
                "load_pct": st.sampled_from([0, 60, 200, 600]),
            }
        ),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from(["first-surface", "second-surface"]),
)
_TRIED = st.builds(
    WhatIf,
    lamp=st.none() | st.just("A"),
    ambient_lx=st.none() | st.just(500.0),
    luminance_cd_m2=st.none() | st.just(800.0),
    panel=st.none() | st.sampled_from([Panel("none"), Panel("front", 0.9), Panel("behind", 0.47, 0.4)]),
)


@settings(max_examples=150)
@given(
    _PLACE,
    _PLACE,
    _FILM,
    _MODE,
    st.sampled_from(sorted(_READINGS)),
    _TRIED,
    st.sampled_from(["backlit", "dual"]),
)
def test_every_allowed_record_is_computed_or_the_reason_said(  # noqa: PLR0917  # what hypothesis draws
    own: dict[str, Any],
    inherited: dict[str, Any],
    film: dict[str, Any],
    mode: dict[str, Any],
    readings: str,
    tried: WhatIf,
    lighting: str,
) -> None:
    document = {"title": "Box", "lighting": lighting, "place": "indoor", **own}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        scene = scene_of("display", "a/b", document, inherited, what_if=tried)
        try:
            found = appearance(scene, print_of(mode, film, _READINGS[readings], "read.txt"))
        except NoReadings as error:
            assert str(error)  # noqa: PT017  # it has to say something
            return
    assert all(
        math.isfinite(value) and (value >= 0 or path == "lit.duv") for path, value in found.values.items()
    )
    assert found.unknown or {"lit.white_cd_m2", "lit.contrast"} <= set(found.values)
    assert all(each.why for each in found.unknown)
