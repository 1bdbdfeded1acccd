"""A table as arrays: what was printed, and what was read of it."""

import numpy as np
import pytest

from registry.measurement import MeasurementError, Table
from registry.measurement.patches import Patches, patches

INKS = ("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K")


def table(
    fields: tuple[str, ...], *rows: tuple[float | str, ...], header: dict[str, tuple[str, ...]] | None = None
) -> Table:
    return Table(header or {}, fields, tuple(dict(zip(fields, row, strict=True)) for row in rows))


def read(fields: tuple[str, ...], *rows: tuple[float | str, ...], **header: str) -> Patches:
    return patches(table(fields, *rows, header={name: (value,) for name, value in header.items()}))


def refusal(fields: tuple[str, ...], *rows: tuple[float | str, ...], **header: str) -> str:
    with pytest.raises(MeasurementError) as caught:
        read(fields, *rows, **header)
    return str(caught.value)


def test_columns_become_arrays_whatever_their_order() -> None:
    found = read(
        ("LAB_B", "SPECTRAL_NM390", "CMYK_K", "SAMPLE_NAME", "SPECTRAL_NM380", "LAB_L", "D_VIS", "LAB_A"),
        (3.0, 0.5, 100.0, "K100", 0.4, 20.0, 1.5, 2.0),
    )
    assert (found.names, found.inks, found.device.tolist()) == (("K100",), ("K",), [[100.0]])
    assert found.wavelengths_nm is not None
    assert found.wavelengths_nm.tolist() == [380, 390]
    assert found.spectra is not None
    assert found.spectra.tolist() == [[0.4, 0.5]]
    assert found.lab is not None
    assert found.lab.tolist() == [[20, 2, 3]]
    assert found.xyz is None
    assert {name: values.tolist() for name, values in found.densities.items()} == {"D_VIS": [1.5]}


def test_columns_are_found_in_any_case() -> None:
    found = read(("SampleID", "Lab_L", "Lab_a", "Lab_b", "nm380"), ("A1", 1.0, 2.0, 3.0, 0.5))
    assert found.names == ("A1",)
    assert found.lab is not None
    assert found.lab.tolist() == [[1, 2, 3]]
    assert found.spectra is not None


def test_patches_without_names_are_numbered() -> None:
    assert read(("LAB_L",), (1.0,), (2.0,)).names == ("1", "2")


def test_the_inks_are_those_of_the_larger_device_space() -> None:
    found = read(("RGB_R", "RGB_G", "RGB_B", *INKS), (255.0, 0.0, 0.0, 0.0, 100.0, 100.0, 0.0))
    assert (found.inks, found.device.tolist()) == (("C", "M", "Y", "K"), [[0, 100, 100, 0]])
    assert read(("6CLR_1", "6CLR_2"), (1.0, 2.0)).inks == ("1", "2")


def test_a_table_without_device_values_has_no_inks() -> None:
    found = read(("LAB_L",), (1.0,))
    assert (found.inks, found.device.shape) == ((), (1, 0))
    assert found.of((0, 0, 0, 0)).size == 0


def test_patches_are_found_by_name_and_by_what_was_printed() -> None:
    found = read(
        ("SAMPLE_NAME", *INKS),
        ("paper", 0.0, 0.0, 0.0, 0.0),
        ("K100", 0.0, 0.0, 0.0, 100.0),
        ("paper", 0.0, 0.0, 0.0, 0.004),
    )
    assert found.of("paper").tolist() == [0, 2]
    assert found.of((0, 0, 0, 0)).tolist() == [0, 2]
    assert found.of({"K": 100}).tolist() == [1]
    assert found.of({}).tolist() == [0, 2]
    assert [found.of(which).size for which in ("none", {"O": 100}, (0, 0, 0))] == [0, 0, 0]


FIELDS = ("SPECTRAL_NM380", "SPECTRAL_NM390")


@pytest.mark.parametrize(
    ("fields", "header", "expected"),
    [
        (FIELDS, {}, [0.5, 1.2]),
        (FIELDS, {"SPECTRAL_NORM": "1.0"}, [0.5, 1.2]),
        (FIELDS, {"SPECTRAL_NORM": "100.000000"}, [0.005, 0.012]),
        (FIELDS, {"MEASUREMENT_SOURCE": "D50; spectral transmittance in percent"}, [0.005, 0.012]),
        (FIELDS, {"REMARK": "percentage reflectance"}, [0.005, 0.012]),
        (FIELDS, {"REMARK": "reflection twice through the ink plus 0.4 % of the surface"}, [0.5, 1.2]),
        (("SPECTRAL_PCT380", "SPECTRAL_PCT390"), {}, [0.005, 0.012]),
        (("SPECTRAL_DEC380", "SPECTRAL_DEC390"), {}, [0.5, 1.2]),
    ],
)
def test_percent_is_taken_for_percent_only_where_the_file_says_so(
    fields: tuple[str, ...], header: dict[str, str], expected: list[float]
) -> None:
    found = read(fields, (0.5, 1.2), **header).spectra
    assert found is not None
    assert found[0] == pytest.approx(expected)


def test_readings_that_are_no_fractions_are_refused_with_the_remedy() -> None:
    assert refusal(FIELDS, (50.0, 60.0)) == (
        "spectral readings up to 60 are no fractions, and the header does not say percent; "
        'if they are percent, write SPECTRAL_NORM "100" into the header, else export fractions'
    )
    assert refusal(FIELDS, (50.0, 60.0), SPECTRAL_NORM="1.0 W") == (
        "SPECTRAL_NORM is '1.0 W'; write 1 for fractions or 100 for percent"
    )


def test_spectra_that_cannot_be_told_may_be_left_aside() -> None:
    found = patches(table(("LAB_L", *FIELDS), (40.0, 50.0, 60.0)), spectral=False)
    assert (found.spectra, found.wavelengths_nm) == (None, None)


def test_the_power_of_a_lamp_is_no_fraction_and_kept_as_it_is() -> None:
    found = read(FIELDS, (50.0, 110.0), MEASUREMENT_SOURCE="the lamp, relative spectral power").spectra
    assert found is not None
    assert np.array_equal(found, [[50, 110]])


def test_a_wavelength_under_two_names_is_refused() -> None:
    assert refusal(("nm380", "R_380"), (0.5, 0.5)) == "nm380 and R_380 are both 380 nm: keep one of them"


def test_a_table_without_sets_is_refused() -> None:
    assert refusal(("LAB_L",)) == "the table holds no sets: there is nothing to compute with"
