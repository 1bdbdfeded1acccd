"""Laws of reading and writing that hold for every document and every run of bytes."""

import hashlib
import json
import math
import unicodedata
from collections.abc import Iterator
from random import Random
from typing import Any, NamedTuple

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.canonical import (
    Json,
    Unreadable,
    digest,
    faults,
    file_form,
    join_pointer,
    locate,
    lookup,
    merge_patch,
    read,
    read_tidy,
    split_pointer,
)

LARGEST = 2**53 - 1
BIDIRECTIONAL = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
LINE_ENDS = "\u2028\u2029"
SYNTAX = {"syntax", "merge-conflict"}
CODES = SYNTAX | {
    "too-large",
    "not-utf-8",
    "byte-order-mark",
    "too-deep",
    "not-an-object",
    "duplicate-key",
    "null",
    "not-a-number",
    "number-out-of-range",
    "control-character",
    "bidirectional-character",
    "lone-surrogate",
}


allowed_text = st.text(
    st.characters(exclude_categories=["Cc", "Cs"], exclude_characters=BIDIRECTIONAL + LINE_ENDS), max_size=12
)
allowed_key = allowed_text.map(lambda key: unicodedata.normalize("NFC", key))
allowed_scalar = st.booleans() | st.integers(-LARGEST, LARGEST) | st.floats(-LARGEST, LARGEST) | allowed_text
allowed_value = st.recursive(
    allowed_scalar,
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(allowed_key, inner, max_size=5),
    max_leaves=12,
)
documents = st.dictionaries(allowed_key, allowed_value, max_size=5)
schemas: st.SearchStrategy[dict[str, Json]] = st.recursive(
    st.builds(dict),
    lambda inner: st.fixed_dictionaries(
        {"properties": st.dictionaries(allowed_key, inner, max_size=5)},
        optional={"items": inner, "additionalProperties": inner},
    ),
    max_leaves=8,
)


class Members(NamedTuple):
    """An object as it is written: keys may repeat."""

    pairs: list[tuple[str, Any]]


any_text = st.text(
    st.characters() | st.sampled_from('\n\t\x7f\x85\ud800\udc00\u202e\u2028\\"/e\u0301'), max_size=6
)
any_key = st.sampled_from(["a", "b", "\u00e9", "e\u0301", "a\n", "\u200e", "\udead"]) | any_text
any_scalar = st.none() | st.booleans() | st.integers() | st.floats() | any_text
any_value = st.recursive(
    any_scalar,
    lambda inner: st.lists(inner, max_size=4) | st.lists(st.tuples(any_key, inner), max_size=4).map(Members),
    max_leaves=10,
)


def render(value: Json, *, escape: bool, space: str) -> str:
    """Write a tree as JSON text, whatever it holds."""
    if isinstance(value, Members):
        members = (
            f"{json.dumps(key, ensure_ascii=escape)}:{space}{render(member, escape=escape, space=space)}"
            for key, member in value.pairs
        )
        return "{" + space + f"{space},".join(members) + "}"
    if isinstance(value, list):
        return (
            "[" + f",{space}".join(render(each, escape=escape, space=space) for each in value) + f"{space}]"
        )
    return json.dumps(value, ensure_ascii=escape)


def text_codes(text: str) -> Iterator[str]:
    for character in text:
        if unicodedata.category(character) in {"Cc", "Zl", "Zp"}:
            yield "control-character"
        elif character in BIDIRECTIONAL:
            yield "bidirectional-character"
        elif unicodedata.category(character) == "Cs":
            yield "lone-surrogate"


def value_codes(value: Json) -> Iterator[str]:
    """Say naively which codes a tree deserves."""
    if isinstance(value, Members):
        keys = [unicodedata.normalize("NFC", key) for key, _ in value.pairs]
        yield from ["duplicate-key"] * (len(keys) - len(set(keys)))
        for key, member in value.pairs:
            yield from text_codes(key)
            yield from value_codes(member)
    elif isinstance(value, list):
        for each in value:
            yield from value_codes(each)
    elif isinstance(value, str):
        yield from text_codes(value)
    elif value is None:
        yield "null"
    elif isinstance(value, float) and not math.isfinite(value):
        yield "not-a-number"
    elif abs(value) > LARGEST:
        yield "number-out-of-range"


def joined_surrogates(value: Json) -> Json:
    """Read a tree back from its escaped text, where two surrogates side by side have become one character."""
    return json.loads(render(value, escape=True, space=""), object_pairs_hook=Members)


def shuffled(value: Json, random: Random) -> Json:
    if isinstance(value, list):
        return [shuffled(each, random) for each in value]
    if isinstance(value, dict):
        keys = list(value)
        random.shuffle(keys)
        return {key: shuffled(value[key], random) for key in keys}
    return value


def with_floats(value: Json) -> Json:
    if isinstance(value, list):
        return [with_floats(each) for each in value]
    if isinstance(value, dict):
        return {key: with_floats(member) for key, member in value.items()}
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def pointers(value: Json, parts: tuple[str, ...] = ()) -> Iterator[str]:
    yield join_pointer(parts)
    members = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for part, member in members:
        yield from pointers(member, (*parts, str(part)))


def every_value(value: Json) -> list[Json]:
    return [lookup(value, pointer) for pointer in pointers(value)]


@st.composite
def damaged_texts(draw: st.DrawFn) -> str:
    """Draw JSON texts with a few pieces cut out, doubled or put in."""
    text = render(draw(any_value), escape=draw(st.booleans()), space=draw(st.sampled_from(["", " ", "\n  "])))
    for _ in range(draw(st.integers(0, 3))):
        at = draw(st.integers(0, len(text)))
        end = draw(st.integers(at, min(at + 3, len(text))))
        piece = draw(
            st.sampled_from(
                [
                    "",
                    text[at:end] * 2,
                    *'{}[],:"\\ \n/',
                    "1",
                    "-",
                    "0",
                    ".5",
                    "e",
                    "null",
                    "NaN",
                    "tru",
                    "\f",
                    "\u00a0",
                ]
            )
        )
        text = text[:at] + piece + text[end:]
    return text


@given(documents, schemas)
def test_the_file_form_reads_back_as_the_same_document(
    document: dict[str, Json], schema: dict[str, Json]
) -> None:
    assert read(file_form(document, schema)) == document


@given(documents, schemas)
def test_the_file_form_of_what_was_read_is_the_same_bytes(
    document: dict[str, Json], schema: dict[str, Json]
) -> None:
    data = file_form(document, schema)
    assert file_form(read(data), schema) == data
    assert data.endswith(b"\n")
    assert b"\r" not in data


@given(documents, schemas, st.randoms(use_true_random=False))
def test_neither_form_depends_on_key_order(
    document: dict[str, Json], schema: dict[str, Json], random: Random
) -> None:
    other = shuffled(document, random)
    assert file_form(other, schema) == file_form(document, schema)
    assert digest(other) == digest(document)


@given(documents)
def test_the_digest_is_that_of_the_form_another_program_writes(document: dict[str, Json]) -> None:
    assert digest(document) == hashlib.sha256(rfc8785.dumps(document)).hexdigest()


@given(documents, schemas, st.randoms(use_true_random=False))
def test_quick_reading_takes_the_file_form_alone_and_reads_what_careful_reading_reads(
    document: dict[str, Json], schema: dict[str, Json], random: Random
) -> None:
    tidy = file_form(document, schema)
    assert read_tidy(tidy, schema) in (None, document)
    if tidy.isascii() and not any(letter in tidy for letter in (b"\\", b"null", b"\x7f")):
        assert read_tidy(tidy, schema) == document
    cut = random.randrange(len(tidy))
    for other in (
        json.dumps(document).encode(),
        tidy.replace(b" ", b"", 1) if b" " in tidy else tidy + b" ",
        tidy[:cut] + random.choice([b",", b'"', b"0", b" ", b"\xff"]) + tidy[cut:],
    ):
        if (found := read_tidy(other, schema)) is not None:
            assert (found, file_form(found, schema)) == (read(other), other)


@given(documents)
def test_neither_form_depends_on_whole_numbers_being_written_as_fractions(document: dict[str, Json]) -> None:
    other = with_floats(document)
    assert file_form(other, {}) == file_form(document, {})
    assert digest(other) == digest(document)


@given(documents)
def test_no_number_reads_as_a_whole_float(document: dict[str, Json]) -> None:
    values = every_value(read(json.dumps(with_floats(document)).encode()))
    assert not any(isinstance(value, float) and value.is_integer() for value in values)


@given(documents, st.booleans(), st.sampled_from([None, 0, 1, "\t"]))
def test_layout_and_escapes_do_not_change_what_is_read(
    document: dict[str, Json], escape: bool, indent: int | str | None
) -> None:
    data = json.dumps(document, ensure_ascii=escape, indent=indent).encode()
    assert read(data) == document


@settings(max_examples=300)
@given(st.binary(max_size=200) | damaged_texts().map(lambda text: text.encode(errors="replace")))
def test_bytes_are_a_document_or_unreadable_with_faults_that_lie_within_them(data: bytes) -> None:
    found = faults(data)
    if found:
        with pytest.raises(Unreadable) as caught:
            read(data)
        assert list(caught.value.faults) == found
    else:
        document = read(data)
        assert read(file_form(document, {})) == document
    lines = data.decode(errors="surrogateescape").removeprefix("\ufeff").split("\n")
    for fault in found:
        assert fault.code in CODES
        assert 1 <= fault.line <= len(lines)
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1
        assert list(text_codes(str(fault))) == []
        assert fault.message
        assert fault.remedy
        split_pointer(fault.pointer)
    assert found == sorted(found, key=lambda fault: (fault.line, fault.column))


@settings(max_examples=300)
@given(damaged_texts())
def test_syntax_is_at_fault_exactly_where_the_standard_library_cannot_read_it_either(text: str) -> None:
    text = text.encode(errors="replace").decode()
    try:
        json.loads(text, strict=False)
    except ValueError:
        readable = False
    else:
        readable = True
    assert {fault.code for fault in faults(text.encode())}.isdisjoint(SYNTAX) is readable


@settings(max_examples=300)
@given(any_value, st.sampled_from(["", " ", "\n  "]))
def test_each_value_that_may_not_be_gets_its_fault_and_no_other_does(value: Json, space: str) -> None:
    text = render(value, escape=True, space=space)
    expected = list(value_codes(joined_surrogates(value)))
    if not isinstance(value, Members):
        expected.append("not-an-object")
    assert sorted(fault.code for fault in faults(text.encode())) == sorted(expected)


@given(documents, st.sampled_from([None, 0, 2]))
def test_every_value_is_located_where_it_stands(document: dict[str, Json], indent: int | str | None) -> None:
    text = json.dumps(document, ensure_ascii=False, indent=indent)
    places = locate(text.encode())
    assert list(places) == list(pointers(document))
    lines = text.split("\n")
    for pointer, place in places.items():
        rest = "\n".join([lines[place.line - 1][place.column - 1 :], *lines[place.line :]])
        parts = split_pointer(pointer)
        found, _ = json.JSONDecoder().raw_decode(rest)
        in_object = bool(parts) and isinstance(lookup(document, join_pointer(parts[:-1])), dict)
        assert found == (parts[-1] if in_object else lookup(document, pointer))


@given(allowed_value, allowed_value)
def test_a_patch_applied_twice_does_no_more_than_once(target: Json, patch: Json) -> None:
    once = merge_patch(target, patch)
    assert merge_patch(once, patch) == once
    assert merge_patch(target, {}) == (target if isinstance(target, dict) else {})


@given(st.lists(st.text()))
def test_pointers_come_apart_as_they_were_put_together(parts: list[str]) -> None:
    assert list(split_pointer(join_pointer(parts))) == parts
