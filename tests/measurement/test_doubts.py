"""Numbers that cannot be what the file says they are: on another scale, of another light, of no film."""

from dataclasses import replace

import numpy as np
import pytest

from registry.card.solids import measured
from registry.light.grid import Grid
from registry.light.sources import source
from registry.light.tristimulus import xyz
from registry.measurement import Measurement, Table
from registry.measurement.report import report
from tests.measurement.made import GRID, TRANSMISSION, film

WHITE = source("D50").white()


def doubts(measurement: Measurement) -> tuple[str, ...]:
    (found,) = report(measurement)
    return found.doubts


def without_spectra(measurement: Measurement) -> Measurement:
    (table,) = measurement.tables
    fields = tuple(name for name in table.fields if not name.startswith("SPECTRAL"))
    sets = tuple({name: each[name] for name in fields} for each in table.sets)
    return replace(measurement, tables=(Table(table.header, fields, sets),))


def with_xyz(measurement: Measurement, scale: float = 1.0) -> Measurement:
    """Add the tristimulus values of each patch's spectrum (CIE 15, ASTM E308)."""
    (table,) = measurement.tables
    spectra = np.array([[each[f"SPECTRAL_NM{nm:g}"] for nm in GRID.wavelengths_nm] for each in table.sets])
    found = xyz(spectra, Grid(400, 700, 20), source("D50")) * scale
    names = ("XYZ_X", "XYZ_Y", "XYZ_Z")
    sets = tuple(
        {**each, **dict(zip(names, map(float, row), strict=True))}
        for each, row in zip(table.sets, found, strict=True)
    )
    return replace(measurement, tables=(Table(table.header, (*table.fields, *names), sets),))


def scaled(measurement: Measurement, names: tuple[str, ...], factor: float) -> Measurement:
    (table,) = measurement.tables
    sets = tuple({**each, **{name: float(each[name]) * factor for name in names}} for each in table.sets)
    return replace(measurement, tables=(Table(table.header, table.fields, sets),))


def test_lab_that_agrees_with_xyz_of_the_same_patch_is_not_doubted() -> None:
    assert doubts(without_spectra(with_xyz(film()))) == ()


def test_lab_of_another_light_than_xyz_is_doubted() -> None:
    (said,) = doubts(without_spectra(with_xyz(film(header=TRANSMISSION), 0.8)))
    assert said.startswith("L*a*b* does not agree with XYZ of the same patch under D50, 2°: ΔE00 mean")
    said_so = "ILLUMINANT, D50; OBSERVER, 2 degree relative to the film's white"
    header = TRANSMISSION | {"WEIGHTING_FUNCTION": said_so}
    assert not any("XYZ" in each for each in doubts(without_spectra(with_xyz(film(header=header), 0.8))))


def test_xyz_as_fractions_are_doubted() -> None:
    alone = with_xyz(film(), 0.01)
    (table,) = alone.tables
    fields = tuple(name for name in table.fields if not name.startswith(("SPECTRAL", "LAB")))
    bare = replace(alone, tables=(replace(table, fields=fields),))
    assert any("XYZ reach only to Y 0.6" in each and "fractions" in each for each in doubts(bare))


def test_device_values_as_fractions_are_doubted() -> None:
    inks = ("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K")
    told = doubts(scaled(film(), inks, 0.01))
    assert any("device values reach only to 1: are they fractions?" in each for each in told)
    assert not any("fractions" in each for each in doubts(film()))


@pytest.mark.parametrize(("white", "doubted"), [(0.004, True), (0.009, True), (0.02, False), (0.6, False)])
def test_a_film_that_lets_next_to_nothing_through_is_doubted(white: float, doubted: bool) -> None:
    told = doubts(film(white=white))
    assert any("the unprinted patch lets" in each for each in told) is doubted


def test_more_light_than_all_is_doubted() -> None:
    light = ("LAB_L",)
    told = doubts(without_spectra(scaled(film(), light, 1.3)))
    assert any("has L* 10" in each and "nothing sends on more light" in each for each in told)


def test_columns_that_mean_nothing_here_are_named() -> None:
    (table,) = film().tables
    more: dict[str, float | str] = {"GLOSS_60": 4.0, "SAMPLE_LOC": "A1", "XYY_X": 0.3}
    wide = Table(table.header, (*table.fields, *more), tuple({**each, **more} for each in table.sets))
    assert doubts(replace(film(), tables=(wide,))) == ("columns that are not read: GLOSS_60",)


def test_the_card_reads_a_file_of_spectra_alone_as_measure_does() -> None:
    whole = film()
    (table,) = whole.tables
    fields = tuple(name for name in table.fields if not name.startswith("LAB"))
    spectra = replace(whole, tables=(replace(table, fields=fields),))
    (told,) = report(spectra)
    card = measured("read.txt", spectra)
    assert card["columns"] == ["L*", "a*", "b*"]
    assert "L*a*b*: computed from the spectra, for D50 and 2°" in card["conditions"]
    for row, solid in zip(card["rows"], told.solids, strict=True):
        assert solid.lab is not None
        assert [float(value.replace("−", "-")) for value in row["values"]] == pytest.approx(
            solid.lab, abs=0.051
        )
    assert measured("read.txt", whole)["rows"] == card["rows"]
