"""`litstock light` from file to answer, against the same worked out step by step with colour-science.

Sources: tristimulus values by ASTM E308 and CIELAB as colour-science computes them from the CIE's LED-B3
(CIE 15:2018); temperature and Duv by Ohno (Leukos 10 (2013) 47); light to and fro between panel, print and
box by Kubelka (J. Opt. Soc. Am. 44 (1954) 330), each sum written out; what a surface that spreads light
evenly throws back of an illuminance, ρE/π (CIE 18.2-1983), light passing the ink to and fro between body and
surface (Saunderson, J. Opt. Soc. Am. 32 (1942) 727; Williams and Clapper, J. Opt. Soc. Am. 43 (1953) 595), of
which 4 % never enters (Fresnel, n = 1.5) and 59.6 % is thrown back inside (Judd 1942), bounce by bounce; the
volume of a pyramid.
Nothing of `registry.light` is used but the weights with which colours of known L*a*b* are made. The CIE gives
LED-B3 every 5 nm; colour-science draws Sprague's curve through it (CIE 167:2005), the program Lagrange's
(ASTM E2022), up to 3 % of the peak away: hence tolerances of 0.1 in L*a*b* and of 0.0001 in Duv.
"""

import json
import math
import re
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest

from registry.light.grid import Array, Grid
from registry.light.lab import xyz_of
from registry.light.sources import source
from registry.light.tristimulus import weights
from tests.goldens import run
from tests.lit.lighted import BOX, LightedShop, reading
from tools.reference import colour_science

_TWO_DEGREES = "CIE 1931 2 Degree Standard Observer"
_NM = Grid(380, 730, 10)
_BOX, _PANEL, _BACK, _LX, _SURFACE, _INSIDE = 0.85, 0.92, 0.55, 400.0, 0.04, 0.596346
_OBLIQUE = 0.62  # of the light that the surface throws back inside: see tests/light/test_inked.py

pytestmark = pytest.mark.filterwarnings("ignore:Trimming", "ignore:.*could not be honoured")


class Chain(NamedTuple):
    """What colour-science and the written-out sums find, a row a patch."""

    xyz: Array
    lit: Array
    veil: Array
    """XYZ of what the patches throw back, in cd/m²."""


def read(text: str) -> dict[str, Array]:
    """Return the spectra of a measurement file by patch, taken from its text alone."""
    fields = re.search(r"BEGIN_DATA_FORMAT\s(.*?)END_DATA_FORMAT", text, re.DOTALL)
    data = re.search(r"BEGIN_DATA\s(.*?)END_DATA\s*$", text, re.DOTALL)
    assert fields is not None
    assert data is not None
    names = fields[1].split()
    first, name = names.index("SPECTRAL_NM380"), names.index("SAMPLE_NAME")
    rows = [line.split() for line in data[1].strip().splitlines()]
    return {row[name]: np.array(row[first:], dtype=np.float64) for row in rows}


def theirs(spectrum: Array) -> Array:
    """Return XYZ under LED-B3 as colour-science finds it by ASTM E308."""
    colour = colour_science()
    nm = _NM.wavelengths_nm
    lamp = colour.SDS_ILLUMINANTS["LED-B3"].copy().align(colour.SpectralShape(360, 780, 1))
    observer = colour.MSDS_CMFS[_TWO_DEGREES].copy().align(colour.SpectralShape(360, 780, 1))
    sample = colour.SpectralDistribution(spectrum, nm)
    found: Array = colour.sd_to_XYZ(sample, observer, lamp, method="ASTM E308")
    return found


def bounced(share: Array) -> Array:
    """Return 1 + r + r² + …, term by term."""
    total, term = np.ones_like(share), np.ones_like(share)
    for _ in range(400):
        term = term * share
        total = total + term
    return total


def inked(white: float, ink: Array) -> tuple[Array, Array]:
    """Return what face and back of a film throw back under ink that leaves this share of its light."""
    inner = (_BACK - _SURFACE) / ((1 - _SURFACE) * (1 - _INSIDE))  # body, meant over its bounces
    body = inner / (1 + _INSIDE * inner)
    bare = bounced(np.array(_INSIDE * body))
    low, high = np.zeros_like(ink), np.ones_like(ink)
    for _ in range(60):
        once = (low + high) / 2
        paler = once * bounced(_INSIDE * body * once**2) / bare > ink
        low, high = np.where(paler, low, once), np.where(paler, once, high)
    entered = (1 - _SURFACE) * (1 - _INSIDE)
    face = _SURFACE + entered * body * once**2 * bounced(_INSIDE * body * once**2)
    taken = _OBLIQUE * white**2 * _INSIDE / entered / bare * (1 - once * ink)
    return face, _BACK - taken


def chain(spectra: dict[str, Array]) -> Chain:
    """Follow the light of the box of the shop through each patch and its panel, and ambient light back."""
    xyz = np.array([theirs(each) for each in spectra.values()])
    through = xyz[:, 1] / 100
    white = through[0]
    panel = 1 - _PANEL  # a clear panel that absorbs nothing
    opened = np.mean(BOX["luminance"]["points_cd_m2"]) * (1 - panel * _BOX) / _PANEL
    face, _ = inked(float(white), through / white)
    towards_box = _BACK + white**2 * panel / (1 - panel * _BACK)
    lit = opened * _PANEL * through / (1 - panel * face) / (1 - towards_box * _BOX)
    veils = []
    for spectrum in spectra.values():
        ink = np.minimum(spectrum / spectra["paper"], 1)
        print_alone, back = inked(float(white), ink)
        before_box = print_alone + (white * ink) ** 2 * _BOX / (1 - back * _BOX)
        whole = panel + _PANEL**2 * before_box / (1 - panel * before_box)
        veils.append(theirs(whole) / 100 * _LX / math.pi)
    return Chain(xyz, lit, np.array(veils))


def lab(xyz: Array, white: Array) -> Array:
    colour = colour_science()
    found: Array = colour.XYZ_to_Lab(xyz / white[1], colour.XYZ_to_xy(white))
    return found


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Chain]:
    """Return what the command says of a simulated print, and the chain."""
    folder = tmp_path_factory.mktemp("chain") / "registry"
    shop, text = LightedShop(folder), reading(noise_density=0.0)
    with shop.series:
        shop.lit_film("maker/film", text)
        shop.registry()
    told = run(folder, "light", "harbour-yard/box", "maker/film/mode", "--format", "json")
    return json.loads(told.stdout)["modes"][0], chain(read(text))


def test_luminance_and_contrast_of_a_print_behind_its_panel(answer: tuple[dict[str, Any], Chain]) -> None:
    values, found = answer[0]["values"], answer[1]
    black = int(np.argmin(found.xyz[:, 1]))
    seen = found.lit + found.veil[:, 1]
    assert values["lit.white_cd_m2"] == pytest.approx(found.lit[0], rel=1e-4)
    assert values["lit.black_cd_m2"] == pytest.approx(found.lit[black], rel=1e-3)
    assert values["lit.contrast_dark"] == pytest.approx(found.lit[0] / found.lit[black], rel=1e-3)
    assert values["lit.contrast"] == pytest.approx(seen[0] / seen[black], rel=1e-3)
    assert values["lit.contrast_unlit"] == pytest.approx(found.veil[0, 1] / found.veil[black, 1], rel=1e-3)


def test_temperature_and_duv_of_the_lit_white(answer: tuple[dict[str, Any], Chain]) -> None:
    colour = colour_science()
    values, white = answer[0]["values"], answer[1].xyz[0]
    cct, duv = colour.temperature.uv_to_CCT_Ohno2013(colour.UCS_to_uv(colour.XYZ_to_UCS(white / 100)))
    assert values["lit.cct_k"] == pytest.approx(cct, abs=1)
    assert values["lit.duv"] == pytest.approx(duv, abs=1e-4)


def test_lab_of_the_solids_in_the_dark_and_in_ambient_light(answer: tuple[dict[str, Any], Chain]) -> None:
    told, found = answer
    lit = found.xyz * (found.lit / found.xyz[:, 1])[:, np.newaxis]
    in_dark = lab(lit, lit[0])
    seen = lit + found.veil
    in_ambient = lab(seen, seen[0])
    rows = {"unprinted": 0, "cyan": 1, "magenta": 2, "yellow": 3, "black": 4, "cyan + magenta": 5}
    patches = {each["name"]: each for each in told["patches"]}
    for name, row in rows.items():
        np.testing.assert_allclose(patches[name]["lab"], in_dark[row], atol=0.1)
        np.testing.assert_allclose(patches[name]["lab_in_ambient"], in_ambient[row], atol=0.1)


def test_the_gamut_of_a_cube_and_its_white_is_the_cube_and_a_pyramid(tmp_path: Path) -> None:
    """A cube of 10 on each side at L* 50 to 60, and the white at L* 100 over one edge: 1000 + 100·40/3."""
    corners = np.array([[lightness, a, b] for lightness in (50, 60) for a in (0, 10) for b in (0, 10)])
    spectra = _made(np.vstack([[[100, 0, 0]], corners]))
    fields = [
        "SAMPLE_ID",
        "CMYK_C",
        "CMYK_M",
        "CMYK_Y",
        "CMYK_K",
        *(f"SPECTRAL_NM{nm:g}" for nm in _NM.wavelengths_nm),
    ]
    rows = [
        " ".join([str(row), str(row * 10), "0", "0", "0", *(f"{value:.9f}" for value in spectrum)])
        for row, spectrum in enumerate(spectra)
    ]
    lines = ["CGATS.17", 'MEASUREMENT_GEOMETRY "transmission, 0:d"', f"NUMBER_OF_FIELDS {len(fields)}"]
    lines += ["BEGIN_DATA_FORMAT", " ".join(fields), "END_DATA_FORMAT", f"NUMBER_OF_SETS {len(rows)}"]
    shop = LightedShop(tmp_path / "registry")
    with shop.series:
        shop.lit_film("maker/film", "\n".join([*lines, "BEGIN_DATA", *rows, "END_DATA", ""]))
        shop.registry()
    told = run(tmp_path / "registry", "light", "harbour-yard/box", "maker/film/mode", "--format", "json")
    volume = json.loads(told.stdout)["modes"][0]["values"]["lit.gamut_volume_dark"]
    assert volume == pytest.approx(1000 + 100 * 40 / 3, rel=1e-4)


def _made(colours: Array) -> Array:
    """Return smooth spectra that have these L*a*b* under LED-B3 against the first of them, a flat half."""
    by = weights(source("LED-B3"), _NM)
    nm = _NM.wavelengths_nm
    smooth = np.array([np.ones_like(nm), (nm - 555) / 175, ((nm - 555) / 175) ** 2])
    wanted = xyz_of(colours, 0.5 * by.sum(axis=0))
    spectra: Array = wanted @ np.linalg.inv(smooth @ by) @ smooth
    return spectra
