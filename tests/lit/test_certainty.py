"""How well the looks of a print in a place are known: against plain draws by a formula written anew here."""

from typing import Any

import numpy as np
import pytest

from registry.light.stack import Layer
from registry.lit.appearance import Appearance, appearance
from registry.lit.certainty import Certainty, certainty
from registry.lit.printed import Print, print_of
from registry.lit.scene import Scene, WhatIf, scene_of
from registry.measurement import read_cgats
from registry.model.usual import usuals
from tests.lit.lighted import BOX, flat_reading

MEASURED = {"kind": "measured", "method": "read there", "date": "2025-08-30"}
DARK_ROOM: dict[str, Any] = {
    **BOX,
    "panel": {"position": "none"},
    "luminance": {**BOX["luminance"], "through": "nothing"},
    "sources": {"": MEASURED},
}
FILM = {
    "light": {"transmittance_pct": 40, "reflectance_back_pct": 55, "scattering": "diffusing"},
    "sources": {"": MEASURED},
}
MODE = {"layers": [{"what": "colour", "load_pct": 200}], "print_side": "second-surface"}


PATCHES = {"white": ((0.0, 0.0, 0.0, 0.0), 0.4), "black": ((0.0, 0.0, 0.0, 100.0), 0.004)}


def a_print(white: float = 0.4, black: float = 0.004, film: dict[str, Any] = FILM) -> Print:
    patches = {"white": ((0.0, 0.0, 0.0, 0.0), white), "black": ((0.0, 0.0, 0.0, 100.0), black)}
    return print_of(MODE, film, read_cgats(flat_reading(patches).encode()), "read.txt")


def a_scene(
    what_if: WhatIf | None = None, own: dict[str, Any] | None = None, *, years: float = 0.0, **said: Any
) -> Scene:
    document = {"title": "t", "lighting": "backlit", "place": "indoor", **DARK_ROOM, **said}
    document = {name: value for name, value in document.items() if value is not None}
    film = {"light": {"transmittance_pct": 40, "reflectance_back_pct": 55}}
    return scene_of(
        "display", "a/b", document, {}, what_if=what_if, usual=usuals(own or {}), film=film, years=years
    )


def told(scene: Scene, printed: Print | None = None) -> tuple[Appearance, Certainty]:
    printed = printed or a_print()
    looks = appearance(scene, printed, gamut=False)
    return looks, certainty(scene, printed, looks, colour=False)


@pytest.mark.parametrize("said", [{}, {"panel": BOX["panel"], "luminance": BOX["luminance"]}])
def test_each_value_is_that_of_the_looks_themselves(said: dict[str, Any]) -> None:
    looks, known = told(a_scene(**said))
    assert set(known.of) == {path for path in looks.values if path not in {"lit.cct_k", "lit.duv"}}
    for path, each in known.of.items():
        assert each.value == pytest.approx(looks.values[path], rel=1e-9)
        assert each.low < each.value < each.high


def test_a_million_plain_draws_by_hand_agree_within_5_percent() -> None:
    _, known = told(a_scene())
    rng, many = np.random.default_rng(5), 1_000_000
    read = rng.normal(8800 / 9, 0.04 * 8800 / 9, many) * rng.normal(1, 0.03, many)
    box = np.clip(rng.normal(0.85, 0.08, many), 0, 0.999)
    alike = rng.normal(1, 0.03, many) * rng.normal(1, 0.02, many)
    zero = rng.normal(0, 3e-5, many)
    white = 0.4 * alike * rng.normal(1, 0.005, many) + zero
    black = 0.004 * alike * rng.normal(1, 0.005, many) + zero
    back = np.minimum(rng.normal(0.55, 0.02, many), 1 - white)
    lit = read * white / (1 - back * box)
    for path, drawn in (("lit.white_cd_m2", lit), ("lit.black_cd_m2", lit * black / white)):
        low, high = np.quantile(drawn, (0.025, 0.975))
        assert known.of[path].u == pytest.approx(drawn.std(), rel=0.05)
        assert known.of[path].half_width == pytest.approx((high - low) / 2, rel=0.05)


def test_what_nobody_measured_is_named_first_of_what_matters() -> None:
    guessed = {"": MEASURED, "/box_reflectance_pct": {"kind": "unknown"}}
    _, known = told(a_scene(sources=guessed))
    assert known.rests_on("lit.white_cd_m2") == ("box-reflectance",)
    assert known.words["box-reflectance"] == "the box's reflectance"
    assert known.of["lit.white_cd_m2"].shares[0][0] == "box-reflectance"
    _, measured = told(a_scene())
    assert measured.rests_on("lit.white_cd_m2") == ()


def test_a_box_that_nobody_recorded_is_the_default_and_said() -> None:
    scene = a_scene(box_reflectance_pct=None)
    assert scene.read is not None
    assert scene.read.reflectance == pytest.approx(0.80)
    assert any("80 ± 8 % (common practice, no source)" in each for each in scene.assumed)
    _, known = told(scene)
    assert "box-reflectance" in known.rests_on("lit.white_cd_m2")


def test_the_registry_may_say_better_than_a_default() -> None:
    own = {"uncertainties": [{"input": "box-reflectance", "value": 70, "u": 1, "source": "our sphere"}]}
    scene = a_scene(own=own, box_reflectance_pct=None)
    assert scene.read is not None
    assert scene.read.reflectance == pytest.approx(0.70)
    _, known = told(scene)
    _, usual = told(a_scene(box_reflectance_pct=70))
    assert known.of["lit.white_cd_m2"].u < 0.8 * usual.of["lit.white_cd_m2"].u


@pytest.mark.parametrize("panel", ["none", "front", "behind", "both"])
@pytest.mark.parametrize("through", ["nothing", "panel"])
def test_one_reading_with_a_film_on_gives_the_box_back(panel: str, through: str) -> None:
    if panel == "none" and through == "panel":
        through = "nothing"
    mounted = {"position": panel, "transmittance_pct": 92} if panel != "none" else {"position": "none"}
    luminance = {**BOX["luminance"], "through": through}
    place = a_scene(box_reflectance_pct=72, panel=mounted, luminance=luminance)
    film = Layer(0.4, 0.55, 0.55)
    assert place.box is not None
    read = float(place.box.lit(place.front.over(film) if place.front else film))
    on = {"mean_cd_m2": read, "substrate": "a/b"}
    fitted = a_scene(
        box_reflectance_pct=None, panel=mounted, luminance=luminance, film_reading=on, sources={}
    )
    assert fitted.read is not None
    assert fitted.read.reflectance == pytest.approx(0.72, abs=1e-6)
    _, known = told(fitted)
    assert "box-reflectance" not in known.unmeasured
    assert dict(known.of["lit.white_cd_m2"].shares)["film-reading"] > 0


def test_a_reading_with_a_film_on_leaves_less_doubt_than_the_default() -> None:
    place = a_scene()
    assert place.box is not None
    on = {"mean_cd_m2": float(place.box.lit(Layer(0.4, 0.55, 0.55))), "substrate": "a/b"}
    _, fitted = told(a_scene(box_reflectance_pct=None, film_reading=on, sources={}))
    _, default = told(a_scene(box_reflectance_pct=None, sources={}))
    shares = [each.of["lit.white_cd_m2"].u / each.of["lit.white_cd_m2"].value for each in (fitted, default)]
    assert shares[0] < 0.7 * shares[1]


def test_a_measured_box_is_not_replaced_by_a_reading_with_a_film_on() -> None:
    found = a_scene(film_reading={"mean_cd_m2": 500, "substrate": "a/b"})
    assert found.read is not None
    assert found.read.reflectance == 0.85


def test_what_is_given_to_try_is_known_for_sure() -> None:
    _, known = told(a_scene(WhatIf(luminance_cd_m2=1000.0, ambient_lx=100.0)))
    names = {name for name, _ in known.of["lit.contrast"].shares}
    assert not names & {"luminance-reading", "lamp-age", "ambient-light"}


def test_the_longer_ago_a_face_was_read_the_less_is_known_of_it() -> None:
    """3 % for each year, and that of one year at the least."""
    fresh, year, old = (
        certainty(scene, a_print(), appearance(scene, a_print(), gamut=False), colour=False).of[
            "lit.white_cd_m2"
        ]
        for scene in (a_scene(years=years) for years in (0.0, 1.0, 4.0))
    )
    assert fresh.u == year.u
    age = {"lamp-age": 0.03}
    grown = np.sqrt(year.u**2 + year.value**2 * ((4 * age["lamp-age"]) ** 2 - age["lamp-age"] ** 2))
    assert old.u == pytest.approx(float(grown), rel=0.05)


def test_nothing_is_told_of_what_the_place_does_not_say() -> None:
    assert told(a_scene(luminance=None))[1].of.keys() == {"lit.contrast_dark"}


@pytest.mark.parametrize("panel", ["none", "front", "behind", "both"])
@pytest.mark.parametrize("said", [{"u_pct": 100}, {"u": 100}, {"u_pct": 0}])
@pytest.mark.parametrize("side", ["first-surface", "second-surface"])
def test_whatever_a_registry_says_of_its_inputs_something_finite_is_told(
    panel: str, said: dict[str, float], side: str
) -> None:
    own = {"uncertainties": [{"input": name, **said, "source": "odd"} for name in usuals({})]}
    mounted = {"position": panel, "transmittance_pct": 92} if panel != "none" else {"position": "none"}
    scene = a_scene(own=own, panel=mounted, ambient_lx=400, box_reflectance_pct=99)
    printed = print_of(
        {**MODE, "print_side": side}, FILM, read_cgats(flat_reading(PATCHES).encode()), "read.txt"
    )
    _, known = told(scene, printed)
    assert "lit.contrast" in known.of
    for each in known.of.values():
        assert np.isfinite(each.drawn).all()
        assert np.isfinite((each.value, each.u, each.low, each.high)).all()
        assert each.u > 0 or said == {"u_pct": 0}
