"""Measurement files, by the rules of CGATS.17 (ISO 28178).

The rules were read from the comments on keywords and fields in Little CMS 2, src/cmscgats.c, which quote the
standard: `KEYWORD` for one's own, `#` for comments, `WEIGHTING_FUNCTION` as pairs of name and value parted by
`;` and `,`, `MEASUREMENT_GEOMETRY` as reflection or transmission with its geometry, and the fields' names.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measurement import (
    Conditions,
    MeasurementError,
    TextFault,
    conditions,
    read_cgats,
)

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


@pytest.mark.parametrize("name", ["SAMPLE_LOC", "STRING", "DATE", "DENSITY"])
def test_other_fields_are_text(name: str) -> None:
    table = read_cgats(PLAIN.replace("LAB_L", name).encode()).tables[0]
    assert table.sets[0][name] == "41.5"


@given(st.floats(-1e6, 1e6))
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
            ["line 9: LAB_L is '1e999', which is no number; write a number, or leave the set out"],
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
        geometry="transmission, 0:d, source on the printed face, 4 mm",
        source_face="source on the printed face",
        response="Status A, 10 nm spectral product, not ISO 5-3 conforming",
        zero="relative to the substrate",
        light="D50, 2 degree",
        instrument="bench, 10 nm",
        simulated=False,
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
    assert conditions_of('DESCRIPTOR "solids"') == Conditions("", "", "", "", "", "", simulated=False)


def test_header_that_says_simulated_is_simulated() -> None:
    assert conditions_of('DESCRIPTOR "Simulated solids"').simulated
