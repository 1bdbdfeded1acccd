"""A ladder's file: what it must hold, and what is read out of it."""

import math
import re

import numpy as np
import pytest

from registry.light.grid import grid_of
from registry.light.sources import source
from registry.light.tristimulus import xyz
from registry.measurement import read_cgats
from registry.measurement.patches import patches
from registry.tune.choose import choose
from registry.tune.criteria import Asked
from registry.tune.ladder import Ladder, LadderError, ladder_of
from tests.tune.ladders import LOADS, ladder_text
from tools.reference import colour_science


def read(text: str) -> Ladder:
    return ladder_of(read_cgats(text.encode()), source("D50"))


def test_a_ladder_holds_each_solid_once_and_the_film_as_its_zero() -> None:
    found = read(ladder_text())
    assert found.passes == (12, 16, 20)
    assert found.inks == ("C", "M", "Y", "K")
    assert len(found.rungs) == 3 * 5 * len(LOADS)
    assert found.white_transmittance == pytest.approx(0.38, abs=0.002)


def test_density_is_read_over_the_film_and_linear_under_beers_law() -> None:
    black = [each for each in read(ladder_text()).of(16) if each.ink == "K"]
    per_point = [each.density / each.load_pct for each in black]
    assert np.ptp(per_point) / np.mean(per_point) < 0.02  # the K ink's band is nearly flat


def test_chroma_rises_less_and_less_as_the_film_thickens() -> None:
    cyan = [each.chroma for each in read(ladder_text()).of(16) if each.ink == "C"]
    steps = np.diff(cyan)
    assert np.all(np.diff(steps) < 0)


def test_what_dried_and_what_re_wet_is_read_by_pass_count() -> None:
    ladder = read(ladder_text())
    stood = {
        each: max(rung.load_pct for rung in ladder.of(each) if rung.ink == "CMY" and rung.stood)
        for each in ladder.passes
    }
    assert stood == {12: 160, 16: 200, 20: 260}


def test_a_choice_from_the_physical_model_lies_where_the_model_says() -> None:
    ladder = read(ladder_text())
    black = next(each for each in ladder.of(16) if each.ink == "K" and each.load_pct == 100)
    wanted = 1.8 * black.visual
    found = choose(ladder, Asked(density=wanted, gain=None, chroma=False, hue_deg=None, mottle=None))
    assert found.load_pct == pytest.approx(180, abs=1)


@pytest.mark.parametrize(
    ("pattern", "put", "says"),
    [
        (r"\tLOAD_PCT\t", "\tLOAD\t", "LOAD_PCT are missing"),
        (r"\tK\t100\t16\tyes", "\tK\t100\t16\tperhaps", "DRIED is 'perhaps'"),
        (r"\tK\t100\t16\tyes\tno", "\tK\t100\t16\tyes\tnearly", "REWET is 'nearly'"),
        (r"\tK\t100\t16", "\tK\tplenty\t16", "LOAD_PCT is 'plenty'"),
        (r"\tK\t100\t16", "\tK\t100\t1.5", "PASSES is '1.5'"),
        (r"\tK\t100\t16", "\t7\t100\t16", "INK is '7'"),
        (r"transmission, 0:d", "reflection, 45:0", "needs readings in transmission"),
        (r"\tnone\t0\t0", "\tnone\t60\t16", "no set has LOAD_PCT 0"),
    ],
)
def test_what_is_no_ladder_is_refused_with_where_and_what_to_write(pattern: str, put: str, says: str) -> None:
    text = re.sub(pattern, put, ladder_text(), count=1)
    with pytest.raises(LadderError, match=re.escape(says)):
        read(text)


def test_all_faults_are_told_at_once() -> None:
    text = ladder_text().replace("\tK\t100\t16\tyes", "\tK\t100\t16\tperhaps")
    text = text.replace("\tC\t60\t12\tyes", "\tC\theavy\t12\tyes")
    with pytest.raises(LadderError) as refused:
        read(text)
    assert len(refused.value.faults) == 2


def test_a_ladder_of_densities_alone_is_refused() -> None:
    text = re.sub(r"SPECTRAL_NM(\d+)", r"READ\1", ladder_text())
    with pytest.raises(LadderError, match="holds no spectra"):
        read(text)


def test_a_spectrum_that_no_film_has_is_refused() -> None:
    text = ladder_text()
    row = next(line for line in text.splitlines() if line.startswith("2\t"))
    cells = row.split("\t")
    with pytest.raises(LadderError, match=r"1\.3"):
        read(text.replace(row, "\t".join([*cells[:20], "1.3", *cells[21:]])))


def test_readings_that_end_too_early_are_refused() -> None:
    text = re.sub(r"SPECTRAL_NM(3\d\d|4[0-4]\d)", r"READ_\1", ladder_text())
    with pytest.raises(LadderError, match=r"450 to \d+ nm is too short"):
        read(text)


def test_a_film_that_lets_no_light_through_is_refused() -> None:
    text = ladder_text()
    row = next(line for line in text.splitlines() if "\tfilm\t" in line)
    cells = row.split("\t")
    black = "\t".join([*cells[:8], *["0.000000"] * len(cells[8:])])
    with pytest.raises(LadderError, match="lets no light through"):
        read(text.replace(row, black))


def test_chroma_and_hue_are_those_of_colour_science() -> None:
    """CIE 1976 (L*, C*, h), h from 0 to 360 degrees: ISO/CIE 11664-4, as colour-science computes it."""
    text = ladder_text()
    rungs = {each.name: each for each in read(text).rungs}
    table = patches(read_cgats(text.encode()).tables[0])
    assert table.spectra is not None
    assert table.wavelengths_nm is not None
    lamp, grid = source("D50"), grid_of(table.wavelengths_nm)
    tristimulus = xyz(table.spectra, grid, lamp)
    white = tristimulus[table.names.index("film")]
    tristimulus = tristimulus / white[1]
    colour = colour_science()
    seen = colour.XYZ_to_Lab(tristimulus, colour.XYZ_to_xy(white))
    polar = colour.algebra.cartesian_to_polar(seen[:, 1:])
    expected = dict(zip(table.names, polar, strict=True))
    assert rungs.keys() < expected.keys()
    for name, rung in rungs.items():
        chroma, angle = expected[name]
        hue = math.degrees(angle) + (360 if angle < 0 else 0)
        if rung.ink in "CMY":
            assert (rung.chroma, rung.hue_deg) == pytest.approx((chroma, hue), abs=0.01)


@pytest.mark.parametrize(("process", "name"), [("C", "Lc"), ("M", "Vi"), ("Y", "O")])
def test_an_ink_of_another_name_is_judged_by_its_own_absorption_and_is_no_overprint(
    process: str, name: str
) -> None:
    of_process = read(ladder_text())
    renamed = read(ladder_text().replace(f"\t{process}\t", f"\t{name}\t"))
    assert name in renamed.inks

    def densities(ladder: Ladder, ink: str) -> list[float]:
        return [each.density for each in ladder.rungs if each.ink == ink]

    assert densities(renamed, name) == densities(of_process, process)
    assert [each.ink for each in renamed.rungs if each.mixed] == [
        each.ink for each in of_process.rungs if each.mixed
    ]
