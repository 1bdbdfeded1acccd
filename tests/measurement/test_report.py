"""What a measurement is said to hold, what it leaves open, and what is doubtful about it."""

from dataclasses import replace

import pytest

from registry.measurement import Measurement, Table
from registry.measurement.report import TableReport, report
from tests.measurement.made import PRINTED, TRANSMISSION, film


def one(measurement: Measurement) -> TableReport:
    (found,) = report(measurement)
    return found


def changed(measurement: Measurement, row: int, **values: float | str) -> Measurement:
    (table,) = measurement.tables
    sets = [dict(each) for each in table.sets]
    sets[row] |= values
    return replace(measurement, tables=(Table(table.header, table.fields, tuple(sets)),))


def test_a_sound_measurement_is_clean_and_told_in_words() -> None:
    found = one(film())
    assert found.clean
    assert found.holds == ("CMYK values", "L*a*b*", "spectral transmittance, 400 to 700 nm, every 20 nm")
    assert found.not_said == ()
    assert [each.name for each in found.solids] == ["unprinted", "cyan", "magenta", "yellow", "black"]


def test_solids_are_means_of_their_readings() -> None:
    lighter = changed(film((*PRINTED, PRINTED[1])), 6, LAB_L=60.0)
    cyan = next(each for each in one(lighter).solids if each.name == "cyan")
    first, second = (each["LAB_L"] for each in lighter.tables[0].sets if each["CMYK_C"] == 100)
    assert cyan.readings == 2
    assert cyan.lab is not None
    assert cyan.lab[0] == pytest.approx((float(first) + float(second)) / 2)


def test_densities_are_told_by_their_columns() -> None:
    (table,) = film().tables
    dense = Table(
        table.header, (*table.fields, "D_VIS"), tuple({**each, "D_VIS": 0.5} for each in table.sets)
    )
    found = one(Measurement("CGATS.17", (dense,)))
    assert "density (visual)" in found.holds
    assert found.solids[0].densities == {"D_VIS": 0.5}
    assert found.not_said == ("what has density 0",)


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        (
            {},
            (
                "transmission or reflection",
                "the light that L*a*b* is for",
                "hours after printing",
                "laminated or not",
            ),
        ),
        (
            TRANSMISSION | {"MEASUREMENT_GEOMETRY": "transmission, 0:d"},
            ("which face looked at the source",),
        ),
        (
            TRANSMISSION | {"MEASUREMENT_GEOMETRY": "reflection, 45:0"},
            ("M0 to M3 (ISO 13655)", "the backing"),
        ),
    ],
)  # fmt: skip
def test_what_the_header_leaves_open_is_told(header: dict[str, str], expected: tuple[str, ...]) -> None:
    assert one(film(header=header)).not_said == expected


REFLECTION = TRANSMISSION | {"MEASUREMENT_GEOMETRY": "reflection, 45:0"}


@pytest.mark.parametrize(
    ("measurement", "expected"),
    [
        (
            changed(film(), 0, SPECTRAL_NM500=1.01, LAB_L=82.0),
            "1 spectral reading above 1.005: up to 1.01 (0-0-0-0 at 500 nm)",
        ),
        (
            changed(film(), 4, SPECTRAL_NM400=-0.01),
            "1 spectral reading below 0: down to -0.01 (0-0-0-100 at 400 nm)",
        ),
        (
            changed(film(), 0, CMYK_C=255.0),
            "device values reach from 0 to 255; they are to be in %, 0 to 100",
        ),
        (
            changed(film(white=0.4), 2, LAB_L=80.0),
            "0-100-0-0 is lighter than the unprinted patch (L* 80.0 and 69.5)",
        ),
        (
            film(PRINTED[1:]),
            "no unprinted patch: nobody can tell what the material does by itself",
        ),
        (changed(film(), 4, LAB_L=70.0), "black is lighter than cyan (L* 70.0 and "),
        (
            changed(changed(film(), 0, LAB_B=9.0), 1, LAB_B=9.0),
            "L*a*b* does not agree with the spectra under D50, 2°: ΔE00 mean ",
        ),
        (
            changed(film((*PRINTED, PRINTED[5])), 6, LAB_L=60.0),
            "readings of one patch lie apart: 0-0-0-50 by ΔE00 ",
        ),
    ],
)  # fmt: skip
def test_what_no_print_does_is_doubted(measurement: Measurement, expected: str) -> None:
    assert [doubt for doubt in one(measurement).doubts if doubt.startswith(expected)]


def test_fluorescent_white_is_no_cause_for_doubt_in_reflection() -> None:
    bright = changed(film(header=REFLECTION, white=0.95), 0, SPECTRAL_NM440=1.2)
    assert not [doubt for doubt in one(bright).doubts if "spectral" in doubt]


def test_lab_for_a_light_that_is_named_is_held_against_the_spectra_under_that_light() -> None:
    d65 = TRANSMISSION | {"WEIGHTING_FUNCTION": "ILLUMINANT, D65; OBSERVER, 10 degree"}
    said = [doubt for doubt in one(film(PRINTED, d65)).doubts if "agree" in doubt]
    assert len(said) == 1
    assert "under D65, 10°" in said[0]
    unknown = TRANSMISSION | {"WEIGHTING_FUNCTION": "ILLUMINANT, TL84; OBSERVER, 10 degree"}
    assert one(film(header=unknown)).doubts == ()


def test_spectra_that_cannot_be_used_are_a_fault_and_the_rest_is_told() -> None:
    (table,) = film().tables
    spectral = [name for name in table.fields if name.startswith("SPECTRAL")]
    percent = [{**each, **{name: float(each[name]) * 100 for name in spectral}} for each in table.sets]
    found = one(Measurement("CGATS.17", (Table(table.header, table.fields, tuple(percent)),)))
    assert not found.clean
    assert str(found.faults[0]).startswith("spectral readings up to 60 are no fractions")
    assert found.holds == ("CMYK values", "L*a*b*")
    assert len(found.solids) == 5


def test_a_table_without_sets_is_a_fault() -> None:
    (table,) = film().tables
    found = one(Measurement("CGATS.17", (Table(table.header, table.fields, ()),)))
    assert (found.patches, found.solids, found.clean) == (None, (), False)


def test_a_lamp_is_no_print() -> None:
    fields = ("SAMPLE_NAME", *(f"SPECTRAL_NM{nm}" for nm in range(380, 740, 10)))
    sets = ({name: "lamp" if name == "SAMPLE_NAME" else 50.0 for name in fields},)
    header = {"MEASUREMENT_SOURCE": ("the bare diffuser, relative spectral power",)}
    found = one(Measurement("CGATS.17", (Table(header, fields, sets),)))
    assert (found.how.kind, found.clean, found.not_said) == ("emission", True, ())
    assert found.holds == ("spectral power, 380 to 730 nm, every 10 nm",)


def test_uneven_wavelengths_are_told_and_doubted() -> None:
    (table,) = film().tables
    fields = tuple(name for name in table.fields if name != "SPECTRAL_NM460")
    sets = tuple({name: each[name] for name in fields} for each in table.sets)
    found = one(Measurement("CGATS.17", (Table(table.header, fields, sets),)))
    assert found.holds[-1] == "spectral transmittance, 400 to 700 nm, 15 wavelengths in uneven steps"
    (doubt,) = found.doubts
    assert doubt.startswith("the spectra cannot be computed with: 480 nm follows 440 nm")


def test_too_few_wavelengths_are_doubted() -> None:
    (table,) = film().tables
    fields = tuple(
        name for name in table.fields if not name.startswith("SPECTRAL_NM") or name[-3:] in {"400", "420"}
    )
    sets = tuple({name: each[name] for name in fields} for each in table.sets)
    found = one(Measurement("CGATS.17", (Table(table.header, fields, sets),)))
    assert found.holds[-1] == "spectral transmittance, 400 to 420 nm, 2 wavelengths"
    assert found.doubts == ("2 wavelengths: too few to compute a colour from",)


def test_a_chart_that_was_never_read_is_doubted() -> None:
    (table,) = film().tables
    fields = table.fields[:5]
    sets = tuple({name: each[name] for name in fields} for each in table.sets)
    found = one(Measurement("CGATS.17", (Table(table.header, fields, sets),)))
    assert found.doubts == ("nothing was read: there is neither density, colour nor spectrum",)
    assert found.computed == ""


def test_colours_that_the_file_lacks_are_said_to_be_computed() -> None:
    (table,) = film().tables
    fields = tuple(name for name in table.fields if not name.startswith("LAB"))
    sets = tuple({name: each[name] for name in fields} for each in table.sets)
    found = one(Measurement("CGATS.17", (Table(table.header, fields, sets),)))
    assert found.computed == "computed from the spectra, for D50 and 2°"
    lab = one(film()).solids[1].lab
    assert lab is not None
    assert found.solids[1].lab == pytest.approx(lab, abs=1e-4)


def test_device_values_of_rgb_are_no_percent_and_white_is_no_missing_patch() -> None:
    fields = ("SAMPLE_NAME", "RGB_R", "RGB_G", "RGB_B", "LAB_L", "LAB_A", "LAB_B")
    rows = (("white", 255.0, 255.0, 255.0, 80.0, 0.0, 0.0), ("black", 0.0, 0.0, 0.0, 9.0, 0.0, 0.0))
    sets: tuple[dict[str, float | str], ...] = tuple(dict(zip(fields, row, strict=True)) for row in rows)
    header = {keyword: (said,) for keyword, said in TRANSMISSION.items()}
    assert one(Measurement("CGATS.17", (Table(header, fields, sets),))).clean


def test_a_table_of_densities_alone_was_read() -> None:
    (table,) = film().tables
    fields = (*table.fields[:5], "D_VIS")
    sets = tuple({name: each.get(name, "0.4") for name in fields} for each in table.sets)
    found = one(Measurement("CGATS.17", (Table(table.header, fields, sets),)))
    assert not any("nothing was read" in each for each in found.doubts)
