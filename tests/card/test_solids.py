"""What the card says of the reference measurement."""

from registry.card import solids
from registry.card.facts import facts
from registry.measurement import read_cgats
from tests.card import documents
from tests.card.cards import pdf
from tests.card.documents import request, sheet
from tests.card.reading import printed


def test_solids_are_known_by_their_device_values() -> None:
    said = facts(request())["measured"]
    assert said["columns"] == ["D visual", "D red", "D green", "D blue", "L*", "a*", "b*"]
    assert [row["name"] for row in said["rows"]] == [
        "unprinted", "cyan", "magenta", "yellow", "black", "magenta + yellow", "cyan + yellow",
        "cyan + magenta",
    ]  # fmt: skip
    assert said["rows"][1]["values"] == ["1.31", "2.38", "1.02", "0.71", "23.9", "−24.5", "−31.0"]
    assert said["overprints"] == 3


def test_patches_read_twice_are_averaged_and_counted() -> None:
    said = facts(request())["measured"]
    assert said["rows"][0]["values"][0] == "0.43"  # of 0.42 and 0.44
    assert said["conditions"][-1] == "unprinted: mean of 2 patches"


def test_measurement_names_response_zero_geometry_and_face() -> None:
    said = facts(request())["measured"]
    assert said["simulated"] is True
    assert said["conditions"][:5] == [
        "density response: Status A, 10 nm spectral product, not ISO 5-3 conforming",
        "density zero: absolute",
        "L*a*b*: D50, 2 degree",
        "geometry: transmission, 0:d, sphere, 4 mm, source on the printed face",
        "instrument: bench spectrophotometer, 10 nm",
    ]


def test_what_the_measurement_does_not_say_is_not_recorded() -> None:
    header_gone = b"\n".join(
        line
        for line in documents.READINGS.splitlines()
        if not line.startswith((b"MEAS", b"WEIGH", b"COMP", b"INST"))
    )
    assert facts(request(readings=read_cgats(header_gone)))["measured"]["conditions"][:6] == [
        "density response: not recorded",
        "density zero: not recorded",
        "L*a*b*: not recorded",
        "geometry: not recorded",
        "face to the source: not recorded",
        "instrument: not recorded",
    ]


def test_what_was_not_measured_is_said_plainly() -> None:
    assert facts(sheet())["measured"] == {"file": "", "absent": "not measured"}
    assert "notmeasured" in printed(pdf(sheet())).text


def test_measurement_that_was_not_at_hand_is_named() -> None:
    assert facts(request(readings=None))["measured"]["absent"] == (
        "not read: dayfilm-210-estuary-200.txt was not at hand"
    )


def test_measurement_without_solids_says_so() -> None:
    text = documents.READINGS.replace(b"CMYK_C", b"CMYK_X")
    assert solids.measured("a.txt", read_cgats(text)) == {
        "file": "a.txt",
        "absent": "the measurement file holds no solids known by their CMYK values",
    }


def test_solids_may_stand_in_a_later_table_and_without_densities() -> None:
    text = b"""CGATS.17
BEGIN_DATA_FORMAT
SAMPLE_ID D_VIS
END_DATA_FORMAT
BEGIN_DATA
1 0.4
END_DATA
BEGIN_DATA_FORMAT
CMYK_C CMYK_M CMYK_Y CMYK_K LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
100 0 0 0 41.26 -0.04 -30.04
END_DATA
"""
    said = solids.measured("a.txt", read_cgats(text))
    assert said["columns"] == ["L*", "a*", "b*"]
    assert said["rows"] == [{"name": "cyan", "values": ["41.3", "0.0", "−30.0"], "of": 1}]
    assert said["overprints"] == 0
    assert said["conditions"][0] == "L*a*b*: not recorded"


def test_densities_alone_are_said_without_lab() -> None:
    text = b"""CGATS.17
WEIGHTING_FUNCTION "Status T"
MEASUREMENT_GEOMETRY "reflection, 45:0, printed face to the source"
BEGIN_DATA_FORMAT
CMYK_C CMYK_M CMYK_Y CMYK_K D_VIS
END_DATA_FORMAT
BEGIN_DATA
0 0 0 0 0.05
END_DATA
"""
    said = solids.measured("a.txt", read_cgats(text))
    assert said["columns"] == ["D visual"]
    assert said["conditions"] == [
        "density response: Status T",
        "density zero: not recorded",
        "geometry: reflection, 45:0, printed face to the source",
        "instrument: not recorded",
    ]
