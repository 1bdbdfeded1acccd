"""What is written reads back as it was; what the form of CGATS.17 (ISO 28178) cannot hold is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measurement import Measurement, MeasurementError, Table, read_cgats, write_cgats
from registry.measurement.form import COUNTS, DECLARATION, KEYWORD, SECTIONS, STANDARD, is_number

TEXT = st.text(st.characters(exclude_characters="\0\r\n", exclude_categories=["Cs"]), max_size=12)
WORD = TEXT.filter(lambda text: text.split() == [text] and not set('"#\ufeff') & set(text))
UNUSUAL = [
    "",
    " ",
    '"',
    '""',
    "#1",
    "a b",
    "END_DATA",
    "BEGIN_DATA_FORMAT",
    "CGATS.17",
    "\u2028",
    "\x85",
    "é",
]
NAME = TEXT | st.sampled_from(
    [*UNUSUAL, "NUMBER_OF_SETS", "KEYWORD", "LAB_L", "SPECTRAL_NM380", "R_500nm", "D_VIS"]
)
RESERVED = SECTIONS | COUNTS | {DECLARATION}
HEADERS = st.dictionaries(
    st.from_regex(KEYWORD, fullmatch=True).filter(lambda word: word not in RESERVED)
    | st.sampled_from(sorted(STANDARD)),
    st.lists(TEXT | st.sampled_from(UNUSUAL), min_size=1, max_size=3).map(tuple),
    max_size=4,
)


@st.composite
def tables(draw: st.DrawFn, before: dict[str, tuple[str, ...]]) -> Table:
    fields = draw(st.lists(NAME, min_size=1, max_size=5, unique=True).map(tuple))
    numbers = st.floats(-1e12, 1e12).filter(lambda value: value == 0 or abs(value) >= 1e-30)
    words = TEXT | st.sampled_from(UNUSUAL)
    cells: dict[str, st.SearchStrategy[float | str]] = {
        name: numbers if is_number(name) else words for name in fields
    }
    sets = draw(st.lists(st.fixed_dictionaries(cells), max_size=4))
    return Table(before | draw(HEADERS), fields, tuple(sets))


@st.composite
def measurements(draw: st.DrawFn) -> Measurement:
    made: list[Table] = []
    for _ in range(draw(st.integers(1, 3))):
        made.append(draw(tables(dict(made[-1].header) if made else {})))
    words = st.lists(WORD, min_size=1, max_size=2).map(" ".join)
    signature = draw(words.filter(lambda text: text.split()[0] not in RESERVED | STANDARD))
    return Measurement(signature, tuple(made))


@given(measurements())
def test_what_is_written_reads_back_as_it_was(measurement: Measurement) -> None:
    assert read_cgats(write_cgats(measurement)) == measurement


def test_a_file_is_written_as_people_read_it() -> None:
    table = Table(
        {"ORIGINATOR": ("bench",), "REMARK": ('the "deep" one', "dry")},
        ("SAMPLE_ID", "SAMPLE_NAME", "CMYK_C", "LAB_L"),
        ({"SAMPLE_ID": "1", "SAMPLE_NAME": "deep blue", "CMYK_C": 100.0, "LAB_L": 41.25},),
    )
    assert write_cgats(Measurement("CGATS.17", (table,))).decode() == (
        'CGATS.17\n\nORIGINATOR\t"bench"\nKEYWORD\t"REMARK"\nREMARK\t"the ""deep"" one"\nREMARK\t"dry"\n\n'
        "NUMBER_OF_FIELDS\t4\nBEGIN_DATA_FORMAT\nSAMPLE_ID\tSAMPLE_NAME\tCMYK_C\tLAB_L\nEND_DATA_FORMAT\n\n"
        'NUMBER_OF_SETS\t1\nBEGIN_DATA\n1\t"deep blue"\t100\t41.25\nEND_DATA\n'
    )


def of(
    fields: tuple[str, ...] = ("SAMPLE_ID",),
    *sets: dict[str, float | str],
    header: dict[str, tuple[str, ...]] | None = None,
    signature: str = "CGATS.17",
) -> Measurement:
    return Measurement(signature, (Table(header or {}, fields, sets),))


@pytest.mark.parametrize(
    ("measurement", "reason"),
    [
        (Measurement("CGATS.17", ()), "a measurement has at least one table"),
        (of(signature=""), "'' is no signature: one or more plain words, such as CGATS.17"),
        (of(signature='a "b"'), "'a \"b\"' is no signature: one or more plain words, such as CGATS.17"),
        (
            of(signature="ORIGINATOR x"),
            "'ORIGINATOR x' is no signature: one or more plain words, such as CGATS.17",
        ),
        (of(()), "no field is named"),
        (of(("A", "A"), {"A": "1"}), "the field 'A' is named twice"),
        (of(("A", "B"), {"A": "1"}), "set 1 does not have a value for each field and no others"),
        (of(("A",), {"A": "1", "B": "2"}), "set 1 does not have a value for each field and no others"),
        (of(("LAB_L",), {"LAB_L": "n/a"}), "set 1: LAB_L is 'n/a'; the form holds a number there"),
        (of(("A",), {"A": 1.0}), "set 1: A is 1.0; the form holds text there"),
        (
            of(("LAB_L",), {"LAB_L": float("nan")}),
            "set 1: LAB_L is nan; write a number, or leave the set out",
        ),
        (
            of(("A",), {"A": "two\nlines"}),
            "'two\\nlines' holds what a line of text cannot, such as a line's end",
        ),
        (
            of(header={"two words": ("x",)}),
            "'two words' is no keyword of one's own: a letter, then letters, digits and _",
        ),
        (
            of(header={"END_DATA": ("x",)}),
            "'END_DATA' is no keyword of one's own: a letter, then letters, digits and _",
        ),
        (of(header={"REMARK": ()}), "the keyword REMARK has no value"),
        (
            of(header={"REMARK": ("nul\0",)}),
            "'nul\\x00' holds what a line of text cannot, such as a line's end",
        ),
    ],
)
def test_what_the_form_cannot_hold_is_refused(measurement: Measurement, reason: str) -> None:
    with pytest.raises(MeasurementError) as caught:
        write_cgats(measurement)
    assert str(caught.value) == reason


def test_a_later_table_cannot_unsay_a_keyword() -> None:
    tables = (of(header={"REMARK": ("x",)}).tables[0], of().tables[0])
    with pytest.raises(MeasurementError) as caught:
        write_cgats(Measurement("CGATS.17", tables))
    assert str(caught.value) == "table 2: an earlier table's REMARK would hold here too: say what it is here"


def test_all_reasons_are_told_at_once() -> None:
    with pytest.raises(MeasurementError) as caught:
        write_cgats(of(("A", "A"), signature=""))
    assert len(caught.value.faults) == 2
