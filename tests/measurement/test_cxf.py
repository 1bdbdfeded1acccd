"""Reading CxF3 (ISO 17972-1): what it holds comes out as tables; what is not allowed is refused."""

import json
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measurement import Measurement, MeasurementError, conditions, read_cgats, write_cgats
from registry.measurement.cxf import read_cxf
from registry.measurement.reading import Form, as_cgats, read

HERE = Path(__file__).parent
PRINT = (HERE / "print.cxf").read_text(encoding="utf-8")
"""A paper and a black, invented, read in transmission."""
REFUSED = json.loads((HERE / "cxf_refused.json").read_text(encoding="utf-8"))


def faults(text: str | bytes) -> list[str]:
    with pytest.raises(MeasurementError) as caught:
        read_cxf(text.encode() if isinstance(text, str) else text)
    return str(caught.value).splitlines()


def test_patches_are_read_with_names_device_values_and_readings() -> None:
    (table,) = read_cxf(PRINT.encode()).tables
    assert dict(table.sets[0]) == {
        "SAMPLE_ID": "1",
        "SAMPLE_NAME": "paper",
        **dict.fromkeys(("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K"), 0.0),
        **dict(zip(("SPECTRAL_NM380", "SPECTRAL_NM390", "SPECTRAL_NM400"), (0.4, 0.45, 0.5), strict=True)),
        **dict(zip(("LAB_L", "LAB_A", "LAB_B", "D_VIS"), (70.0, 1.0, -2.5, 0.3), strict=True)),
    }
    assert [each["SAMPLE_NAME"] for each in table.sets] == ["paper", "black"]


def test_how_it_was_measured_is_read() -> None:
    found = conditions(read_cxf(PRINT.encode()).tables[0])
    assert (found.kind, found.geometry) == ("transmission", "transmission, diffuse")
    assert (found.light, found.response, found.instrument) == ("D50, 2 degree", "Status A", "Benchwright one")


def test_angles_condition_and_backing_of_reflection_are_read() -> None:
    text = (
        PRINT.replace("TransmittanceSpectrum", "ReflectanceSpectrum")
        .replace("Spectrum_Transmittance", "Spectrum_Reflectance")
        .replace(
            "<cc:SphereGeometry>Diffuse</cc:SphereGeometry>",
            "<cc:SingleAngle><cc:SingleAngleConfiguration>Annular</cc:SingleAngleConfiguration>"
            "<cc:IlluminationAngle>45</cc:IlluminationAngle><cc:MeasurementAngle>0</cc:MeasurementAngle>"
            "</cc:SingleAngle>",
        )
        .replace("<cc:Device>", "<cc:Backing>white</cc:Backing><cc:Device>")
        .replace("</cc:Model>", "</cc:Model><cc:DeviceIllumination>M1_Daylight</cc:DeviceIllumination>")
    )
    found = conditions(read_cxf(text.encode()).tables[0])
    assert (found.kind, found.geometry) == ("reflection", "reflection, 45:0 annular")
    assert (found.condition, found.backing) == ("M1", "white")


def test_objects_measured_in_another_way_or_with_other_readings_make_tables_of_their_own() -> None:
    start, end = '<cc:ColorSpecification Id="lit">', "</cc:ColorSpecificationCollection>"
    another = start.replace("lit", "white") + PRINT.partition(start)[2].partition(end)[0]
    text = PRINT.replace(end, another + end)
    text = text.replace(
        'ColorCIELab ColorSpecification="lit"><cc:L>9', 'ColorCIELab ColorSpecification="white"><cc:L>9'
    )
    found = read_cxf(text.encode())
    assert [(table.said("TABLE_NAME"), len(table.sets)) for table in found.tables] == [
        ("lit", 1),
        ("lit", 1),
        ("white", 1),
    ]
    assert found.tables[2].fields[-3:] == ("LAB_L", "LAB_A", "LAB_B")
    assert read_cgats(write_cgats(found)) == found


def test_spot_colours_are_inks() -> None:
    text = PRINT.replace("ColorCMYK ", "ColorCMYKPlusN ").replace("</cc:ColorCMYK>", "</cc:ColorCMYKPlusN>")
    spot = "<cc:SpotColor><cc:Name>Deep orange</cc:Name><cc:Percentage>5</cc:Percentage></cc:SpotColor>"
    text = text.replace("</cc:ColorCMYKPlusN>", spot + "</cc:ColorCMYKPlusN>")
    assert read_cxf(text.encode()).tables[0].sets[0]["CMYK_DEEPORANGE"] == 5.0


EMPTY = '<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core"/>'


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "line 1: this is no well-formed XML: no element found"),
        (PRINT[:-9], "line 47: this is no well-formed XML: unclosed token"),
        (
            "<CxF/>",
            "line 1: the root is 'CxF', not CxF of http://colorexchangeformat.com/CxF3-core; export CxF3",
        ),
        (
            '<CxF xmlns="http://colorexchangeformat.com/v2"/>',
            (
                "line 1: the root is 'http://colorexchangeformat.com/v2 CxF', not CxF of "
                "http://colorexchangeformat.com/CxF3-core; export CxF3"
            ),
        ),
        (EMPTY, "the file holds no measured patch: no Object with spectrum, L*a*b*, XYZ or density"),
    ],
)
def test_a_file_that_is_empty_or_something_else_is_refused(text: str, expected: str) -> None:
    assert faults(text) == [expected]


@pytest.mark.parametrize("case", REFUSED, ids=[case["says"] for case in REFUSED])
def test_what_the_schema_does_not_allow_is_refused_and_named(case: dict[str, str]) -> None:
    assert case["before"] in PRINT
    assert case["says"] in faults(PRINT.replace(case["before"], case["after"], 1))


def test_a_reading_that_is_there_twice_is_refused() -> None:
    lab = (
        '<cc:ColorCIELab ColorSpecification="lit"><cc:L>9</cc:L><cc:A>0</cc:A><cc:B>0</cc:B></cc:ColorCIELab>'
    )
    assert faults(PRINT.replace(lab, lab + lab)) == [
        "line 21: Object '2' has ColorCIELab (LAB_A) twice under 'lit'"
    ]


def test_all_faults_are_told_at_once() -> None:
    assert len(faults(PRINT.replace("<cc:A>1</cc:A>", "").replace(' ObjectType="Target"', ""))) == 3


BOMB = '<!DOCTYPE b [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = '<!DOCTYPE b [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
FETCHED = '<!DOCTYPE b SYSTEM "http://harbour-yard.invalid/b.dtd">'


@pytest.mark.parametrize("declared", [BOMB, OUTSIDE, FETCHED])
def test_xml_that_could_name_entities_is_refused_before_it_is_read(declared: str) -> None:
    text = PRINT.replace("?>\n", f"?>{declared}\n").replace("Solids, invented", "&a;")
    (said,) = faults(text)
    assert said == (
        "line 1: the file declares a document type, which could name entities; "
        "CxF3 has none: export it without"
    )


def read_or_refused(data: bytes) -> bool:
    try:
        return isinstance(read_cxf(data), Measurement)
    except MeasurementError as error:
        return bool(error.faults)


@given(
    st.integers(0, len(PRINT) - 1),
    st.integers(0, 60),
    st.sampled_from(["", " ", "-1", "x", "<a/>", "é", "1e999"]),
)
def test_a_file_changed_anywhere_is_read_or_refused(start: int, length: int, put: str) -> None:
    assert read_or_refused((PRINT[:start] + put + PRINT[start + length :]).encode())


def test_any_form_is_recognised_by_its_own_beginning() -> None:
    assert read(PRINT.encode()).form is Form.CXF
    assert read(PRINT.replace('encoding="UTF-8"', 'encoding="UTF-16"').encode("utf-16")).form is Form.CXF
    text = b"\xef\xbb\xbfCGATS.17\nBEGIN_DATA_FORMAT\nLAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1\nEND_DATA\n"
    assert read(text).form is Form.TEXT


def test_kept_in_a_registry_it_is_text_that_says_where_it_came_from() -> None:
    kept = read_cgats(as_cgats(PRINT.encode(), "lit.cxf"))
    origin = kept.tables[0].said("CONVERTED_FROM")
    assert origin.startswith("lit.cxf, CxF3 (ISO 17972-1), SHA-256 ")
    assert kept.tables[0].sets == read_cxf(PRINT.encode()).tables[0].sets


def test_text_is_kept_byte_for_byte() -> None:
    text = (
        b"CGATS.17\r\n# aside\r\nBEGIN_DATA_FORMAT\r\nLAB_L\r\nEND_DATA_FORMAT\r\nBEGIN_DATA\r\n1\r\nEND_DATA"
    )
    assert as_cgats(text, "a.txt") == text


def test_rgb_is_what_the_device_was_given() -> None:
    start, end = PRINT.index("<cc:ColorCMYK "), PRINT.index("</cc:ColorCMYK>") + len("</cc:ColorCMYK>")
    rgb = '<cc:ColorRGB ColorSpecification="lit"><cc:R>255</cc:R><cc:G>128</cc:G><cc:B>0</cc:B></cc:ColorRGB>'
    (first, _) = (table.sets[0] for table in read_cxf((PRINT[:start] + rgb + PRINT[end:]).encode()).tables)
    assert [first[f"RGB_{name}"] for name in "RGB"] == [255, 128, 0]


@pytest.mark.parametrize(
    ("light", "said"),
    [
        ("<cc:DeviceFilter>Filter_UVExcluded</cc:DeviceFilter>", "Filter UVExcluded"),
        ("<cc:DeviceIllumination>LED</cc:DeviceIllumination>", "LED"),
        ('<cc:DeviceIllumination CustomType="white diode">Custom</cc:DeviceIllumination>', "white diode"),
    ],
)
def test_light_and_filter_without_a_name_in_iso_13655_are_kept_as_they_are(light: str, said: str) -> None:
    (table,) = read_cxf(PRINT.replace("</cc:Model>", f"</cc:Model>{light}").encode()).tables
    assert table.said("MEASUREMENT_SOURCE") == said
    assert conditions(table).condition == ""


MULTI_ANGLE = (
    '<cc:MultiAngle><cc:BRDFAngle Notation="45as15"><cc:IlluminationAngle>45</cc:IlluminationAngle>'
    "<cc:Aspecular>15</cc:Aspecular></cc:BRDFAngle></cc:MultiAngle>"
)


@pytest.mark.parametrize(
    ("choice", "said"),
    [
        ("<cc:UnknownGeometry>by hand</cc:UnknownGeometry>", "transmission, by hand"),
        (MULTI_ANGLE, "transmission, several angles"),
    ],
)
def test_other_geometries_are_told(choice: str, said: str) -> None:
    text = PRINT.replace("<cc:SphereGeometry>Diffuse</cc:SphereGeometry>", choice)
    assert read_cxf(text.encode()).tables[0].said("MEASUREMENT_GEOMETRY") == said


def test_without_the_library_cxf_is_refused_with_a_word(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "colour_cxf", None)
    assert faults(PRINT) == [
        "CxF3 cannot be read here: colour-cxf is not installed (it needs a Python below 3.14)"
    ]


def test_a_profile_without_its_readings_is_refused() -> None:
    with pytest.raises(MeasurementError) as caught:
        read(profile_of(b"desc", b"text\0\0\0\0x\0"))
    assert (
        str(caught.value)
        == "nothing was measured in this profile: the profile has no tag 'targ'; it has desc"
    )


def test_readings_that_are_no_text_are_refused() -> None:
    with pytest.raises(MeasurementError) as caught:
        read(profile_of(b"targ", b"mluc\0\0\0\0x\0"))
    assert str(caught.value) == "the profile's tag targ is b'mluc', not text"


def test_the_text_inside_a_profile_is_kept_as_it_stands_there() -> None:
    text = b"CGATS.17\nBEGIN_DATA_FORMAT\nLAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1\nEND_DATA\n"
    profile = profile_of(b"targ", b"text\0\0\0\0" + text + b"\0")
    assert as_cgats(profile, "film.icc") == text
    assert read(profile).measurement == read_cgats(text)


def profile_of(tag: bytes, data: bytes) -> bytes:
    """Return a CMYK output profile with one tag (ISO 15076-1, 7.2 and 7.3)."""
    size = 144 + len(data)
    header = bytearray(128)
    header[0:4] = size.to_bytes(4)
    header[8] = 4
    header[12:24] = b"prtrCMYKLab "
    header[36:40] = b"acsp"
    return bytes(header) + (1).to_bytes(4) + tag + (144).to_bytes(4) + len(data).to_bytes(4) + data


def test_a_spectrum_that_was_cut_off_is_refused_and_does_not_part_the_table() -> None:
    """ISO 17972-1: the values of one specification stand at the wavelengths that it gives."""
    other = PRINT.index("<cc:Object ", PRINT.index("<cc:Object ") + 1)
    begin = PRINT.index(">", PRINT.index("<cc:TransmittanceSpectrum", other)) + 1
    end = PRINT.index("</cc:TransmittanceSpectrum>", begin)
    short = " ".join(PRINT[begin:end].split()[:-1])
    third = PRINT[PRINT.index("<cc:Object ") : other].replace('Id="1"', 'Id="3"')
    (said,) = faults(PRINT[:other] + third + PRINT[other:begin] + short + PRINT[end:])
    assert "has a spectrum of 2 values, and others under its specification have 3: was it cut off?" in said
