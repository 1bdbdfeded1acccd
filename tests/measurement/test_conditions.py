"""How a table was measured, by the keywords of CGATS.17 (ISO 28178) and by the words that files have instead.

The second kind of header was seen in ordinary files, of which three are kept in tests/outside/data.
"""

import pytest

from registry.measurement import Conditions, conditions, read_cgats

PLAIN = """CGATS.17
ORIGINATOR "bench at mill-lane"
BEGIN_DATA_FORMAT
SAMPLE_ID
END_DATA_FORMAT
BEGIN_DATA
1
END_DATA
"""


def conditions_of(header: str) -> Conditions:
    return conditions(read_cgats(PLAIN.replace("ORIGINATOR", f"{header}\nORIGINATOR").encode()).tables[0])


def test_conditions_are_read_from_named_pairs() -> None:
    found = conditions_of(
        'MEASUREMENT_GEOMETRY "transmission, 0:d, source on the printed face, 4 mm"\n'
        'WEIGHTING_FUNCTION "density, Status A, 10 nm spectral product, not ISO 5-3 conforming"\n'
        'WEIGHTING_FUNCTION "ILLUMINANT, D50; OBSERVER, 2 degree"\n'
        'COMPUTATIONAL_PARAMETER "DENSITY, ZERO, relative to the substrate"\n'
        'INSTRUMENTATION "bench, 10 nm"'
    )
    assert found == Conditions(
        kind="transmission",
        geometry="transmission, 0:d, source on the printed face, 4 mm",
        source_face="source on the printed face",
        response="Status A, 10 nm spectral product, not ISO 5-3 conforming",
        zero="relative to the substrate",
        light="D50, 2 degree",
        instrument="bench, 10 nm",
    )


def test_conditions_are_read_from_plain_words_too() -> None:
    found = conditions_of(
        'WEIGHTING_FUNCTION "Status T"\n'
        'MEASUREMENT_SOURCE "D65, 10 degrees; zero is the open gate"\n'
        'COMPUTATIONAL_PARAMETER "LAB against the lit white"'
    )
    assert (found.response, found.zero, found.light) == (
        "Status T",
        "zero is the open gate",
        "LAB against the lit white",
    )


def test_conditions_that_the_header_does_not_say_are_empty() -> None:
    assert conditions_of('DESCRIPTOR "solids"') == Conditions()


def test_header_that_says_simulated_is_simulated() -> None:
    assert conditions_of('DESCRIPTOR "Simulated solids"').simulated


@pytest.mark.parametrize(
    ("header", "kind"),
    [
        ('MEASUREMENT_GEOMETRY "Transmission 0:d"', "transmission"),
        ('MEASUREMENT_GEOMETRY "0/45"', "reflection"),
        ('MEASUREMENT_GEOMETRY "reflection, d:8"', "reflection"),
        ('MEASUREMENT_GEOMETRY "d:8"', "unknown"),
        ('INSTRUMENTATION "D50, 2 degree, geometry 45/0, white backing"', "reflection"),
        ('MEASUREMENT_SOURCE "the display itself, relative spectral power"', "emission"),
        ('INSTRUMENTATION "bench, emission head"', "emission"),
        ('DESCRIPTOR "solids, transmission"', "unknown"),
    ],
)
def test_what_the_light_did_is_read_from_the_geometry(header: str, kind: str) -> None:
    assert conditions_of(header).kind == kind


@pytest.mark.parametrize(
    ("header", "condition"),
    [
        ('MEASUREMENT_SOURCE "ISO 13655 M1 (D50)"', "M1"),
        ('MEASUREMENT_SOURCE "MeasurementCondition=M2\tFilter=UVcut"', "M2"),
        ('MEASUREMENT_CONDITION "M3"', "M3"),
        ('FILTER "M0"', "M0"),
        ('MEASUREMENT_SOURCE "M0 and M1"', ""),
        ('INSTRUMENTATION "model M10"', ""),
        ('DESCRIPTOR "M1"', ""),
    ],
)
def test_the_measurement_condition_is_the_one_that_is_named(header: str, condition: str) -> None:
    assert conditions_of(header).condition == condition


@pytest.mark.parametrize(
    ("header", "hours"),
    [
        ('HOURS_AFTER_PRINTING "24"', 24),
        ('PRINT_CONDITIONS "16 passes, read 1.5 h after printing"', 1.5),
        ('REMARK "read 2 days after printing"', 48),
        ('REMARK "read after printing"', None),
    ],
)
def test_hours_after_printing_are_read(header: str, hours: float | None) -> None:
    assert conditions_of(header).hours_after_printing == hours


@pytest.mark.parametrize(
    ("header", "finishing"),
    [
        ('FINISHING "film-laminate"', "film-laminate"),
        ('PRINT_CONDITIONS "16 passes, not laminated"', "not laminated"),
        ('MATERIAL "film; laminated behind acrylic"', "laminated behind acrylic"),
        ('PRINT_CONDITIONS "16 passes"', ""),
    ],
)
def test_what_was_done_to_the_print_is_read(header: str, finishing: str) -> None:
    assert conditions_of(header).finishing == finishing


def test_conditions_written_into_the_instruments_line_are_found_there() -> None:
    found = conditions_of(
        'INSTRUMENTATION "D50, 2 degree, geometry 45/0, no polarisation filter, white backing"'
    )
    assert (found.geometry, found.backing, found.light) == ("geometry 45/0", "white backing", "D50, 2 degree")


def test_illuminant_and_observer_under_keywords_of_their_own_are_read() -> None:
    assert conditions_of('ILLUMINANT "D50"\nOBSERVER "CIE 2 degree"').light == "D50, CIE 2 degree"
    assert conditions_of('ILLUMINATION_NAME "D65"\nOBSERVER_ANGLE "10"').light == "D65, 10"
