"""The code's text and the slug, written and read back."""

import datetime
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.card.code import CardCode, CodeError, code_text, parse_code, slug_text

MODE = "lumenfold/dayfilm-210/backlit-16"
DIGEST = "3fa9c2d17b04" + "5" * 52

slugs = st.from_regex(r"[a-z0-9][a-z0-9-]{0,59}", fullmatch=True)
modes = st.builds("/".join, st.tuples(slugs, slugs, slugs))
units = st.builds("/".join, st.tuples(slugs, slugs))
revisions = st.integers(1, 100000)
digests = st.text("0123456789abcdef", min_size=64, max_size=64)
blanks = st.text(string.whitespace, max_size=3)


def test_code_names_mode_revision_and_settings() -> None:
    assert code_text(MODE, 5, DIGEST) == f"litstock:{MODE}@r5#3fa9c2d17b04"


def test_slug_names_unit_and_day_where_they_are_given() -> None:
    day = datetime.date(2026, 3, 1)
    assert slug_text(MODE, 5, DIGEST) == f"{MODE} r5 3fa9c2d17b04"
    assert slug_text(MODE, 5, DIGEST, date=day) == f"{MODE} r5 3fa9c2d17b04 2026-03-01"
    assert (
        slug_text(MODE, 5, DIGEST, unit="harbour-yard/left", date=day)
        == f"{MODE} r5 3fa9c2d17b04 harbour-yard/left 2026-03-01"
    )


@given(modes, revisions, digests, st.booleans())
def test_code_is_read_back_as_written(mode: str, revision: int, digest: str, draft: bool) -> None:
    text = code_text(mode, revision, digest, draft=draft)
    assert text.isascii()
    assert parse_code(text) == CardCode(mode, revision, digest[:12], draft=draft)


@given(modes, revisions, digests, st.data())
def test_slug_is_read_back_as_written(mode: str, revision: int, digest: str, data: st.DataObject) -> None:
    unit, draft = data.draw(units | st.just("")), data.draw(st.booleans())
    day = data.draw(st.none() | st.dates(datetime.date(1000, 1, 1)))
    text = slug_text(mode, revision, digest, unit=unit, date=day, draft=draft)
    assert parse_code(text) == CardCode(mode, revision, digest[:12], unit, draft)


@given(modes, revisions, digests, st.data())
def test_code_is_read_in_upper_case_and_wrapped_anywhere(
    mode: str, revision: int, digest: str, data: st.DataObject
) -> None:
    text = code_text(mode, revision, digest)
    at = data.draw(st.integers(0, len(text)))
    typed = (text[:at] + data.draw(blanks) + text[at:]).upper()
    assert parse_code(typed) == CardCode(mode, revision, digest[:12])


def test_slug_is_read_with_any_blanks_between_its_words() -> None:
    assert parse_code(f"  {MODE.upper()}\n R5\t3FA9C2D17B04   Harbour-Yard/Left ") == CardCode(
        MODE, 5, "3fa9c2d17b04", "harbour-yard/left"
    )


def test_whole_digest_is_read_too() -> None:
    assert parse_code(f"litstock:{MODE}@r5#{DIGEST}").digest == DIGEST


def test_longest_code_fits_a_code_of_fifty_seven_modules() -> None:
    import segno

    mode = "/".join(["m" * 60, "m" * 59, "m" * 59])
    text = code_text(mode, 100000, DIGEST)
    assert len(text) == 210
    # ISO/IEC 18004: version 10 has 57 modules a side and holds 213 bytes at level M.
    assert segno.make_qr(text, error="m").symbol_size(border=0) == (57, 57)


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
            "only a unit such as 'harbour-yard/left' and a date may follow the settings digest",
        ),
    ],
)
def test_what_is_no_code_is_refused_with_what_is_missing(text: str, why: str) -> None:
    with pytest.raises(CodeError) as caught:
        parse_code(text)
    assert str(caught.value) == f"cannot read {text!r} as a card's code or a print's slug: {why}"
    assert caught.value.exit_code == 2


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
