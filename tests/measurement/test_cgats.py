"""Reading measurement files, by the rules of CGATS.17 (ISO 28178).

The rules were read from the comments on keywords and fields in Little CMS 2, src/cmscgats.c, which quote the
standard: `KEYWORD` for one's own, `#` for comments, `WEIGHTING_FUNCTION` as pairs of name and value parted by
`;` and `,`, `MEASUREMENT_GEOMETRY` as reflection or transmission with its geometry, and the fields' names.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measurement import MeasurementError, TextFault, read_cgats
from registry.measurement.form import wavelength_nm

PLAIN = """CGATS.17
ORIGINATOR "bench at mill-lane"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME CMYK_C LAB_L
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 "cyan solid" 100 41.5
2 paper 0 95
END_DATA
"""


def faults(text: str | bytes) -> list[str]:
    with pytest.raises(MeasurementError) as caught:
        read_cgats(text.encode() if isinstance(text, str) else text)
    return str(caught.value).splitlines()


def test_of_very_many_faults_the_first_are_told_and_the_rest_counted() -> None:
    told = faults(PLAIN.replace('1 "cyan solid" 100 41.5', "x \n" * 250))
    assert len(told) == 101
    assert told[-1].endswith(" more faults")


def test_header_fields_and_sets_are_read() -> None:
    found = read_cgats(PLAIN.encode())
    (table,) = found.tables
    assert found.signature == "CGATS.17"
    assert table.said("ORIGINATOR") == "bench at mill-lane"
    assert table.fields == ("SAMPLE_ID", "SAMPLE_NAME", "CMYK_C", "LAB_L")
    assert table.sets == (
        {"SAMPLE_ID": "1", "SAMPLE_NAME": "cyan solid", "CMYK_C": 100.0, "LAB_L": 41.5},
        {"SAMPLE_ID": "2", "SAMPLE_NAME": "paper", "CMYK_C": 0.0, "LAB_L": 95.0},
    )


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_any_line_ends_and_a_byte_order_mark_are_read_alike(end: str, mark: bytes) -> None:
    assert read_cgats(mark + PLAIN.replace("\n", end).encode()) == read_cgats(PLAIN.encode())


def test_comments_blank_lines_and_tabs_change_nothing() -> None:
    text = (
        PLAIN.replace("\n", '  # said aside "and quoted"\n\n')
        .replace(" ", "\t")
        .replace("cyan\tsolid", "cyan solid")
    )
    text = text.replace("bench\tat\tmill-lane", "bench at mill-lane")
    assert read_cgats(text.encode()) == read_cgats(PLAIN.encode())


def test_a_number_sign_within_quotation_marks_is_text() -> None:
    table = read_cgats(PLAIN.replace("cyan solid", "cyan #1").encode()).tables[0]
    assert table.sets[0]["SAMPLE_NAME"] == "cyan #1"


def test_doubled_quotation_marks_stand_for_one() -> None:
    table = read_cgats(PLAIN.replace("cyan solid", 'the ""deep"" cyan').encode()).tables[0]
    assert table.sets[0]["SAMPLE_NAME"] == 'the "deep" cyan'


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1"])
def test_letters_beyond_ascii_are_read_in_either_encoding(encoding: str) -> None:
    text = PLAIN.replace("bench at mill-lane", "Lumière 45°")
    assert read_cgats(text.encode(encoding)).tables[0].said("ORIGINATOR") == "Lumière 45°"


def test_keywords_may_stand_in_any_order() -> None:
    lines = PLAIN.splitlines()
    shuffled = [lines[0], lines[6], *lines[3:6], lines[2], lines[1], *lines[7:]]
    assert read_cgats("\n".join(shuffled).encode()) == read_cgats(PLAIN.encode())


def test_data_format_may_be_folded_over_lines() -> None:
    text = PLAIN.replace("SAMPLE_NAME CMYK_C", "SAMPLE_NAME\nCMYK_C")
    assert read_cgats(text.encode()) == read_cgats(PLAIN.encode())


def test_sets_may_be_folded_over_lines() -> None:
    text = PLAIN.replace('1 "cyan solid" 100 41.5', '1 "cyan solid"\n100\n41.5').replace(
        "2 paper 0 95", "2 paper\n0 95"
    )
    assert read_cgats(text.encode()) == read_cgats(PLAIN.encode())


def test_counts_may_be_left_out() -> None:
    text = PLAIN.replace("NUMBER_OF_FIELDS 4\n", "").replace("NUMBER_OF_SETS 2\n", "")
    assert read_cgats(text.encode()) == read_cgats(PLAIN.encode())


def test_a_keyword_said_again_keeps_every_value() -> None:
    text = PLAIN.replace(
        "ORIGINATOR",
        'WEIGHTING_FUNCTION "OBSERVER, 2 degree"\nWEIGHTING_FUNCTION "ILLUMINANT, D50"\nORIGINATOR',
    )
    table = read_cgats(text.encode()).tables[0]
    assert table.header["WEIGHTING_FUNCTION"] == ("OBSERVER, 2 degree", "ILLUMINANT, D50")
    assert table.pairs("WEIGHTING_FUNCTION") == {"OBSERVER": "2 degree", "ILLUMINANT": "D50"}


def test_declaring_a_keyword_is_no_value() -> None:
    text = PLAIN.replace("ORIGINATOR", 'KEYWORD "REMARK"\nREMARK "dry for a day"\nORIGINATOR')
    table = read_cgats(text.encode()).tables[0]
    assert table.said("REMARK") == "dry for a day"
    assert "KEYWORD" not in table.header


def test_later_table_has_its_own_data_and_what_the_first_ones_header_said() -> None:
    second = 'TABLE_NAME "again"\nBEGIN_DATA\n3 black 0 12\nEND_DATA\n'
    first, again = read_cgats((PLAIN + second).encode()).tables
    assert again.fields == first.fields
    assert again.said("ORIGINATOR") == "bench at mill-lane"
    assert again.said("TABLE_NAME") == "again"
    assert first.said("TABLE_NAME") == ""
    assert [each["SAMPLE_ID"] for each in again.sets] == ["3"]


def test_later_table_may_say_a_keyword_anew() -> None:
    second = 'ORIGINATOR "bench at north-quay"\nBEGIN_DATA\n3 black 0 12\nEND_DATA\n'
    tables = read_cgats((PLAIN + second).encode()).tables
    assert [table.said("ORIGINATOR") for table in tables] == ["bench at mill-lane", "bench at north-quay"]


@pytest.mark.parametrize(
    "name", ["SPECTRAL_NM380", "NM380", "D_VIS", "XYZ_X", "RGB_R", "CMYK_K", "LAB_A", "STDEV_X"]
)
def test_measured_fields_are_numbers(name: str) -> None:
    table = read_cgats(PLAIN.replace("LAB_L", name).encode()).tables[0]
    assert table.sets[0][name] == 41.5


@pytest.mark.parametrize(
    "name",
    """SPECTRAL_NM380 SPECTRAL_NM_380 SPECTRAL_380 SPECTRAL_PCT380 SPECTRAL_DEC_380 SPECTRUM_380 SPEC_380
    NM380 NM_380 nm380 R_380 R_380nm T_380 R380 380 380nm 380_nm SPECTRAL_NM380.5""".split(),
)
def test_a_spectral_field_is_known_under_its_common_spellings(name: str) -> None:
    assert wavelength_nm(name) in {380.0, 380.5}
    assert read_cgats(PLAIN.replace("LAB_L", name).encode()).tables[0].sets[0][name] == 41.5


@pytest.mark.parametrize(
    "name", ["CMYK_C", "R_100", "D_380", "SAMPLE_380", "NM", "SPECTRAL_NM", "38", "2025"]
)
def test_other_fields_have_no_wavelength(name: str) -> None:
    assert wavelength_nm(name) is None


@pytest.mark.parametrize("name", ["6CLR_5", "CMYKOG_O", "Lab_L", "XYY_CAPY", "CHI_SQD_PAR", "MEAN_DE"])
def test_device_values_and_statistics_of_other_spellings_are_numbers(name: str) -> None:
    assert read_cgats(PLAIN.replace("LAB_L", name).encode()).tables[0].sets[0][name] == 41.5


PAIRED = """IT8.7/1
BEGIN_DATA_FORMAT
SAMPLE_ID SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT
END_DATA_FORMAT
BEGIN_DATA
A1 380 10.5 390
20
A2 380 11 390 21
END_DATA
"""


def test_pairs_of_wavelength_and_reading_are_read_as_a_field_a_wavelength() -> None:
    (table,) = read_cgats(PAIRED.replace("390\n20", "390 20").encode()).tables
    assert table.fields == ("SAMPLE_ID", "SPECTRAL_PCT380", "SPECTRAL_PCT390")
    assert [list(each.values()) for each in table.sets] == [["A1", 10.5, 20.0], ["A2", 11.0, 21.0]]


def test_pairs_whose_wavelengths_differ_between_sets_are_a_fault() -> None:
    text = PAIRED.replace("390\n20", "390 20").replace("A2 380", "A2 385")
    assert faults(text) == ["line 7: found '385' nm where the first set has '380' nm"]


def test_the_data_format_may_follow_its_data() -> None:
    lines = PLAIN.splitlines()
    text = "\n".join([*lines[:2], *lines[7:11], lines[6], *lines[2:6]])
    assert read_cgats(text.encode()) == read_cgats(PLAIN.encode())


def test_the_header_may_follow_its_data() -> None:
    lines = PLAIN.splitlines()
    text = "\n".join([lines[0], *lines[2:], lines[1]])
    assert read_cgats(text.encode()) == read_cgats(PLAIN.encode())


@pytest.mark.parametrize(
    "after", ['TABLE_NAME "two"', "NUMBER_OF_SETS 2", "BEGIN_DATA_FORMAT\nX\nEND_DATA_FORMAT"]
)
def test_the_beginning_of_another_table_is_no_end_of_the_last(after: str) -> None:
    assert faults(PLAIN + after) == ["the file ends without BEGIN_DATA; it may have been cut off"]


@pytest.mark.parametrize("signature", ["CGATS.17", "CTI3", "ISO 28178", "IT8.7/4"])
def test_any_signature_is_kept(signature: str) -> None:
    assert read_cgats(PLAIN.replace("CGATS.17", signature).encode()).signature == signature


def test_a_format_without_fields_is_a_fault() -> None:
    text = PLAIN.replace("SAMPLE_ID SAMPLE_NAME CMYK_C LAB_L\n", "")
    assert faults(text) == [
        "line 3: NUMBER_OF_FIELDS says '4', but there are 0",
        "line 4: the data format names no fields",
    ]


@pytest.mark.parametrize("name", ["SAMPLE_LOC", "STRING", "DATE", "DENSITY"])
def test_other_fields_are_text(name: str) -> None:
    table = read_cgats(PLAIN.replace("LAB_L", name).encode()).tables[0]
    assert table.sets[0][name] == "41.5"


@given(st.floats(-1e6, 1e6).filter(lambda value: value == 0 or abs(value) >= 1e-30))
def test_numbers_are_read_as_python_writes_them(value: float) -> None:
    table = read_cgats(PLAIN.replace("41.5", repr(value)).encode()).tables[0]
    assert table.sets[0]["LAB_L"] == value


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        (PLAIN, "", ["the file is empty"]),
        (PLAIN, "# nothing\n\n", ["the file is empty"]),
        ("CGATS.17\n", "", ["line 1: found 'ORIGINATOR' where the signature stands; begin with 'CGATS.17'"]),
        ("NUMBER_OF_SETS 2", "NUMBER_OF_SETS 3", ["line 7: NUMBER_OF_SETS says '3', but there are 2"]),
        ("NUMBER_OF_FIELDS 4", "NUMBER_OF_FIELDS 5", ["line 3: NUMBER_OF_FIELDS says '5', but there are 4"]),
        ("2 paper 0 95", "2 paper 0", ["line 10: found 3 values for 4 fields"]),
        ("2 paper 0 95", "2 the paper 0 95", ["line 10: found 5 values for 4 fields"]),
        (
            "41.5",
            "41,5",
            ["line 9: LAB_L is '41,5', which is no number; write a point before decimals"],
        ),
        ("41.5", "nan", ["line 9: LAB_L is 'nan', which is no number; write a number, or leave the set out"]),
        ("41.5", "1_0", ["line 9: LAB_L is '1_0', which is no number; write a number, or leave the set out"]),
        (
            "41.5",
            "1e999",
            [
                (
                    "line 9: LAB_L is '1e999', which is beyond what can be read; "
                    "write a number, or leave the set out"
                )
            ],
        ),
        (
            "41.5",
            '"n/a"',
            ["line 9: LAB_L is 'n/a', which is no number; write a number, or leave the set out"],
        ),
        ("CMYK_C LAB_L", "LAB_L LAB_L", ["line 4: the field 'LAB_L' is named twice"]),
        ("ORIGINATOR", '"ORIGINATOR"', ["line 2: found 'ORIGINATOR' where a keyword and its value are due"]),
        ('"bench at mill-lane"', "", ["line 2: found 'ORIGINATOR' where a keyword and its value are due"]),
        (
            'mill-lane"',
            "mill-lane",
            [
                "line 2: the quotation mark before 'bench at mill-lane' is never closed",
                "line 2: found 'ORIGINATOR' where a keyword and its value are due",
            ],
        ),
        ("END_DATA\n", "", ["the file ends without END_DATA; it may have been cut off"]),
        (
            "END_DATA\n",
            "END_DATA\nORIGINATOR more\n",
            ["the file ends without BEGIN_DATA; it may have been cut off"],
        ),
        (
            "END_DATA_FORMAT",
            "END_DATA",
            ["line 6: END_DATA does not belong within BEGIN_DATA_FORMAT"],
        ),
        (
            "BEGIN_DATA\n",
            "",
            [
                "line 8: found '1' where a keyword and its value are due",
                "line 9: found '2' where a keyword and its value are due",
                "line 10: END_DATA does not belong here",
                "the file ends without BEGIN_DATA; it may have been cut off",
            ],
        ),
    ],
)
def test_each_fault_is_said_with_its_line(before: str, after: str, expected: list[str]) -> None:
    assert faults(PLAIN.replace(before, after, 1) if before != PLAIN else after) == expected


def test_data_before_any_format_is_a_fault() -> None:
    assert faults("CGATS.17\nBEGIN_DATA\n1 2\nEND_DATA\n") == [
        "line 2: data without a data format; name the fields before them"
    ]


def test_file_that_is_not_text_is_refused() -> None:
    assert faults(b"\x89PNG\0\0") == ["the file is not text; export it as CGATS.17 text"]


def test_all_faults_are_told_at_once_in_the_order_of_lines() -> None:
    text = (
        PLAIN.replace("NUMBER_OF_SETS 2", "NUMBER_OF_SETS 9").replace("95", "bright").replace("41.5", "dim")
    )
    with pytest.raises(MeasurementError) as caught:
        read_cgats(text.encode())
    assert [fault.line for fault in caught.value.faults] == [7, 9, 10]
    assert caught.value.faults[0] == TextFault(7, "NUMBER_OF_SETS says '9', but there are 2")
    assert caught.value.exit_code == 3


def read_or_refused(data: bytes) -> bool:
    """Return whether reading ends with a table, or with a fault."""
    try:
        return bool(read_cgats(data).tables)
    except MeasurementError as error:
        return bool(error.faults)


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    assert read_or_refused(data)


@given(st.permutations(PLAIN.splitlines()))
def test_any_order_of_lines_is_read_or_refused(lines: list[str]) -> None:
    assert read_or_refused("\n".join(lines).encode())
