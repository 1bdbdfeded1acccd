"""The code's text and the slug, written and read back."""

import datetime
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.card.code import CardCode, CodeError, code_text, parse_code, slug_text
from registry.model.shape import shape_of

MODE = "lumenfold/dayfilm-210/backlit-16"
DIGEST = "3fa9c2d17b04" + "5" * 52

slugs = st.from_regex(r"[a-z0-9][a-z0-9-]{0,59}", fullmatch=True)
modes = st.builds("/".join, st.tuples(slugs, slugs, slugs))
units = st.builds("/".join, st.tuples(slugs, slugs))
revisions = st.integers(1, 100000)
machines: st.SearchStrategy[tuple[str, int | None]] = st.just(("", None)) | st.tuples(
    units, st.none() | revisions
)
digests = st.text("0123456789abcdef", min_size=64, max_size=64)
blanks = st.text(string.whitespace, max_size=3)


def test_code_names_mode_revision_and_settings() -> None:
    assert code_text(MODE, 5, DIGEST) == f"litstock:{MODE}@r5#3fa9c2d17b04"


def test_slug_names_unit_and_day_where_they_are_given() -> None:
    day = datetime.date(2026, 3, 1)
    assert slug_text(MODE, 5, DIGEST) == f"{MODE} r5 3fa9c2d17b04"
    assert slug_text(MODE, 5, DIGEST, date=day) == f"{MODE} r5 3fa9c2d17b04 2026-03-01"
    assert (
        slug_text(MODE, 5, DIGEST, unit="harbour-yard/left", unit_revision=4, date=day)
        == f"{MODE} r5 3fa9c2d17b04 harbour-yard/left@r4 2026-03-01"
    )


def test_code_names_the_unit_and_its_revision_where_one_is_given() -> None:
    assert (
        code_text(MODE, 5, DIGEST, unit="harbour-yard/left", unit_revision=4)
        == f"litstock:{MODE}@r5#3fa9c2d17b04+harbour-yard/left@r4"
    )


@given(modes, revisions, digests, machines, st.booleans())
def test_code_is_read_back_as_written(
    mode: str, revision: int, digest: str, machine: tuple[str, int | None], draft: bool
) -> None:
    unit, number = machine
    text = code_text(mode, revision, digest, unit=unit, unit_revision=number, draft=draft)
    assert text.isascii()
    assert parse_code(text) == CardCode(mode, revision, digest[:12], unit, number, draft)


@given(modes, revisions, digests, machines, st.data())
def test_slug_is_read_back_as_written(
    mode: str, revision: int, digest: str, machine: tuple[str, int | None], data: st.DataObject
) -> None:
    (unit, number), draft = machine, data.draw(st.booleans())
    day = data.draw(st.none() | st.dates(datetime.date(1000, 1, 1)))
    text = slug_text(mode, revision, digest, unit=unit, unit_revision=number, date=day, draft=draft)
    assert parse_code(text) == CardCode(mode, revision, digest[:12], unit, number, draft)


@given(modes, revisions, digests, machines, st.data())
def test_code_is_read_in_upper_case_and_wrapped_anywhere(
    mode: str, revision: int, digest: str, machine: tuple[str, int | None], data: st.DataObject
) -> None:
    unit, number = machine
    text = code_text(mode, revision, digest, unit=unit, unit_revision=number)
    at = data.draw(st.integers(0, len(text)))
    typed = (text[:at] + data.draw(blanks) + text[at:]).upper()
    assert parse_code(typed) == CardCode(mode, revision, digest[:12], unit, number)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        (f"litstock:{MODE}@r5#3fa9c2d17b04", ""),
        (f"{MODE} r5 3fa9c2d17b04", ""),
        (f"{MODE} r5 3fa9c2d17b04 2026-03-01", ""),
        (f"{MODE} r5 3fa9c2d17b04 harbour-yard/left", "harbour-yard/left"),
        (f"{MODE} r5 3fa9c2d17b04 harbour-yard/left 2026-03-01", "harbour-yard/left"),
    ],
)
def test_cards_and_prints_from_before_units_had_revisions_are_still_read(text: str, unit: str) -> None:
    assert parse_code(text) == CardCode(MODE, 5, "3fa9c2d17b04", unit, None)


def test_slug_is_read_with_any_blanks_between_its_words() -> None:
    assert parse_code(f"  {MODE.upper()}\n R5\t3FA9C2D17B04   Harbour-Yard/Left ") == CardCode(
        MODE, 5, "3fa9c2d17b04", "harbour-yard/left"
    )
    assert parse_code(f" {MODE}  r5\n3fa9c2d17b04\tharbour-yard/left@R4 ").unit_revision == 4


def test_whole_digest_is_read_too() -> None:
    assert parse_code(f"litstock:{MODE}@r5#{DIGEST}").digest == DIGEST
    named = parse_code(f"litstock:{MODE}@r5#{DIGEST}+harbour-yard/left@r4")
    assert (named.digest, named.unit, named.unit_revision) == (DIGEST, "harbour-yard/left", 4)


def test_longest_code_fits_a_code_of_seventy_three_modules() -> None:
    import segno

    mode, unit = "/".join(["m" * 60, "m" * 59, "m" * 59]), f"{'u' * 60}/{'u' * 59}"
    text = code_text(mode, 100000, DIGEST, unit=unit, unit_revision=100000, draft=True)
    assert len(text) == 345
    # ISO/IEC 18004: version 14 has 73 modules a side and holds 362 bytes at level M.
    assert segno.make_qr(text, error="m").symbol_size(border=0) == (73, 73)
    # Without a unit nothing has grown: version 10, 57 modules, 213 bytes.
    assert segno.make_qr(code_text(mode, 100000, DIGEST), error="m").symbol_size(border=0) == (57, 57)


def test_the_longest_names_in_the_test_are_the_longest_that_a_schema_allows() -> None:
    unit, mode = (shape_of("run").schema["properties"][name] for name in ("unit", "mode"))
    assert (mode["maxLength"], unit["maxLength"]) == (180, 120)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "it is empty"),
        ("  \n", "it is empty"),
        ("lumenfold/dayfilm-210", "'lumenfold/dayfilm-210' is no print mode's id, which is maker/grade/mode"),
        ("litstock:dayfilm@r5#3fa9c2d17b04", "'dayfilm' is no print mode's id, which is maker/grade/mode"),
        (f"{MODE} 3fa9c2d17b04", "no revision such as 'r5' follows the print mode's id"),
        (f"litstock:{MODE}@5#3fa9c2d17b04", "no revision such as 'r5' follows the print mode's id"),
        (
            f"{MODE} r5",
            "no settings digest follows the revision: at least 12 of the digits 0-9 and a-f",
        ),
        (
            f"litstock:{MODE}@r5#3fa9c2d17b0",
            "no settings digest follows the revision: at least 12 of the digits 0-9 and a-f",
        ),
        (
            f"litstock:{MODE}@r5#3fa9c2d17b0g",
            "no settings digest follows the revision: at least 12 of the digits 0-9 and a-f",
        ),
        (
            f"{MODE} r5 3fa9c2d17b04 left machine",
            "only a unit such as 'harbour-yard/left@r4' and a date may follow the settings digest",
        ),
        (
            f"litstock:{MODE}@r5#3fa9c2d17b04+left@r4",
            "only a unit such as 'harbour-yard/left@r4' and a date may follow the settings digest",
        ),
    ],
)
def test_what_is_no_code_is_refused_with_what_is_missing(text: str, why: str) -> None:
    with pytest.raises(CodeError) as caught:
        parse_code(text)
    assert str(caught.value) == f"cannot read {text!r} as a card's code or a print's slug: {why}"
    assert caught.value.exit_code == 2


@pytest.mark.parametrize(("many", "shown"), [(240, "x" * 240), (241, "x" * 240 + "…")])
def test_a_wrong_text_is_repeated_as_far_as_it_is_read(many: int, shown: str) -> None:
    with pytest.raises(CodeError) as caught:
        parse_code("x" * many)
    assert str(caught.value).startswith(f"cannot read '{shown}' as a card's code")


def test_a_long_wrong_text_is_not_repeated_whole() -> None:
    with pytest.raises(CodeError) as caught:
        parse_code("x" * 5000)
    assert len(str(caught.value)) < 5600
    assert str(caught.value).startswith(f"cannot read '{'x' * 240}…' as a card's code")


@given(st.text(max_size=80))
def test_text_that_is_no_code_is_refused_with_a_reason(text: str) -> None:
    with pytest.raises(CodeError) as caught:
        parse_code(text)
    assert caught.value.why != ""
