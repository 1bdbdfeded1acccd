"""Reading bytes strictly, saying where each fault is, and writing the one form on disk."""

import copy
import json
import pickle
import re
import subprocess
import sys
from collections.abc import Callable
from types import SimpleNamespace
from typing import TypeAlias

import pytest

from registry.canonical import (
    Json,
    Position,
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
    scanning,
    split_pointer,
)
from registry.canonical.limits import MOST_FAULTS
from registry.errors import RegistryError

FIVE_FAULTS = """{
  "grade": "lit-200",
  "heat": {"cure_c": 1e400, "dry_c": null},
  "layers": [
    {"what": "colour", "load_pct": 210},
    {"what": "white\\u202e", "load_pct": NaN}
  ],
  "grade": "lit-210"
}
"""


Seen: TypeAlias = tuple[str, str, int, int]
"""Code, pointer, line, column."""


def seen(text: str | bytes) -> list[Seen]:
    data = text.encode() if isinstance(text, str) else text
    return [(fault.code, fault.pointer, fault.line, fault.column) for fault in faults(data)]


def nested(levels: int) -> bytes:
    return b'{"a":' * (levels - 1) + b"{}" + b"}" * (levels - 1)


def test_all_faults_are_found_at_once_each_at_its_line_and_pointer() -> None:
    assert seen(FIVE_FAULTS) == [
        ("number-out-of-range", "/heat/cure_c", 3, 22),
        ("null", "/heat/dry_c", 3, 38),
        ("bidirectional-character", "/layers/1/what", 6, 20),
        ("not-a-number", "/layers/1/load_pct", 6, 41),
        ("duplicate-key", "/grade", 8, 3),
    ]


def test_what_is_raised_belongs_to_the_registrys_errors_and_says_all_of_it() -> None:
    with pytest.raises(Unreadable) as caught:
        read(b'{\n  "a": null,\n  "b": NaN\n}')
    assert isinstance(caught.value, RegistryError)
    assert [fault.code for fault in caught.value.faults] == ["null", "not-a-number"]
    assert str(caught.value) == (
        "line 2, column 8 (/a): found 'null'; allowed is a value that is known; leave out what is unknown\n"
        "line 3, column 8 (/b): 'NaN' is no number; allowed are decimal numbers; leave out what is unknown"
    )
    assert pickle.loads(pickle.dumps(caught.value)).faults == caught.value.faults  # noqa: S301  our own bytes


def test_a_clean_text_has_no_faults_and_reads_as_written() -> None:
    data = '{"grade": "lit-200", "note": "20 µm, null and void", "wide": [914, 1067.5], "ok": true}'.encode()
    assert faults(data) == []
    assert read(data) == {
        "grade": "lit-200",
        "note": "20 µm, null and void",
        "wide": [914, 1067.5],
        "ok": True,
    }


@pytest.mark.parametrize(
    ("written", "value"),
    [("98.0", 98), ("-0.0", 0), ("-0", 0), ("1e2", 100), ("0.1", 0.1), ("1e-400", 0), ("5e-1", 0.5)],
)
def test_a_number_reads_as_one_value_however_it_is_written(written: str, value: float) -> None:
    found = read(f'{{"n": {written}}}'.encode())["n"]
    assert (found, type(found)) == (value, type(value))
    assert str(found) != "-0"


@pytest.mark.parametrize(
    "number", ["9007199254740992", "-9007199254740992", "9007199254740992.0", "1e16", "1e400", "-1e400"]
)
def test_a_number_past_2_to_53_is_refused_in_every_notation(number: str) -> None:
    assert seen(f'{{"n": {number}}}') == [("number-out-of-range", "/n", 1, 7)]


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity"])
def test_what_is_no_number_is_refused(number: str) -> None:
    assert seen(f'{{"n": [1, {number}]}}') == [("not-a-number", "/n/1", 1, 11)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [("syntax", "", 1, 1)]),
        (" \n\n", [("syntax", "", 1, 1)]),
        ("{", [("syntax", "", 1, 2)]),
        ('{\n"a": 1\n\n', [("syntax", "", 2, 7)]),
        ('{"a": 1,}', [("syntax", "", 1, 8)]),
        ('{"a": [1,\n]}', [("syntax", "/a", 1, 9)]),
        ('{"a": [,]}', [("syntax", "/a", 1, 8)]),
        ('{"a": 1,, "b": null}', [("syntax", "", 1, 9), ("null", "/b", 1, 16)]),
        ('{"a": 1\n "b": null}', [("syntax", "", 2, 2), ("null", "/b", 2, 7)]),
        ('{"a": [1 2 null]}', [("syntax", "/a", 1, 10), ("syntax", "/a", 1, 12), ("null", "/a/2", 1, 12)]),
        ('{"a" 1, "b": null}', [("syntax", "/a", 1, 6), ("null", "/b", 1, 14)]),
        ('{"a": , "b": null}', [("syntax", "/a", 1, 7), ("null", "/b", 1, 14)]),
        ('{"a", "b": null}', [("syntax", "/a", 1, 5), ("null", "/b", 1, 12)]),
        ('{"a":: 1}', [("syntax", "/a", 1, 6)]),
        ('{"a"}', [("syntax", "/a", 1, 5)]),
        ("{a: null}", [("syntax", "", 1, 2), ("null", "/a", 1, 5)]),
        ('{"a": 1,\f\u00a0"b": null}', [("syntax", "", 1, 9), ("null", "/b", 1, 16)]),
        ("{1: 2}", [("syntax", "", 1, 2)]),
        ('{[1]: 2, "b": null}', [*[("syntax", "", 1, at) for at in (2, 5, 7)], ("null", "/b", 1, 15)]),
        ('{"a": \'x\', "b": null}', [("syntax", "/a", 1, 7), ("null", "/b", 1, 17)]),
        ('{"a": [01, +1, .5, True]}', [("syntax", "/a", 1, at) for at in (8, 12, 16, 20)]),
        ('// note\n{"a": null}', [("syntax", "", 1, 1), ("null", "/a", 2, 7)]),
        ('{"a": 1 // note\n, "b": null}', [("syntax", "", 1, 9), ("null", "/b", 2, 8)]),
        ('{"a": [1}', [("syntax", "/a", 1, 9)]),
        ('{"a": 1]}', [("syntax", "", 1, 8)]),
        ('{"a": 1} {}', [("syntax", "", 1, 10)]),
        ('{"a": 1}}', [("syntax", "", 1, 9)]),
        (", {}", [("syntax", "", 1, 1)]),
        ('{"a": "x,\n "b": null}', [("syntax", "/a", 1, 7), ("null", "/b", 2, 7)]),
        ('{"a": "x', [("syntax", "/a", 1, 7), ("syntax", "", 1, 9)]),
        (r'{"a": "\q\u12"}', [("syntax", "/a", 1, 8), ("syntax", "/a", 1, 10)]),
    ],
)  # fmt: skip
def test_a_slip_of_syntax_is_placed_and_hides_no_other_fault(text: str, expected: list[Seen]) -> None:
    assert seen(text) == expected


def test_a_merge_that_git_left_is_one_fault_and_each_side_is_read_by_itself() -> None:
    text = '{\n<<<<<<< ours\n"a": 1,\n=======\n"a": null,\n>>>>>>> theirs: reason\n"b": 2\n}'
    assert seen(text) == [("merge-conflict", "", 2, 1), ("null", "/a", 5, 6)]
    (fault,) = faults(text.replace("null", "2").encode())
    assert fault.message == "both sides of a merge changed this file at line 2"
    assert "write each place as it is to be, without git's own lines" in fault.remedy


def test_all_places_that_git_could_not_merge_are_one_fault_also_with_what_was_there_before() -> None:
    place = '<<<<<<< ours\n"{0}": 1,\n||||||| before\n"{0}": 0,\n=======\n"{0}": 2,\n>>>>>>> theirs\n'
    text = "{\n" + "".join(place.format(name) for name in "abcdefg") + '"h": 2\n}'
    (fault,) = faults(text.encode())
    assert (fault.code, fault.line) == ("merge-conflict", 2)
    assert fault.message.endswith("at lines 2, 9, 16, 23, 30 and 2 more")


@pytest.mark.parametrize("mark", ["<<<<<<< ours", "=======", ">>>>>>> theirs", "||||||| before"])
def test_a_mark_that_is_left_alone_is_a_fault_and_hides_no_other(mark: str) -> None:
    assert seen(f'{{"a": 1,\r\n{mark}\r\n"b": 2}}') == [("merge-conflict", "", 2, 1)]
    assert seen(f'{{"b": null\n{mark}\n}}') == [("null", "/b", 1, 7), ("merge-conflict", "", 2, 1)]


@pytest.mark.parametrize("text", ["[{}]", '"x"', "3", "true"])
def test_only_an_object_is_a_document(text: str) -> None:
    assert seen(text) == [("not-an-object", "", 1, 1)]


def test_keys_that_differ_in_unicode_form_only_are_the_same_key() -> None:
    assert seen('{"m": {"\u00e9": 1, "e\u0301": 2}}') == [("duplicate-key", "/m/e\u0301", 1, 16)]
    assert seen('{"m": {"\\u00e9": 1, "e\\u0301": 2}}') == [("duplicate-key", "/m/e\u0301", 1, 21)]
    assert seen('{"\u00e9": 1, "e": 2}') == []


@pytest.mark.parametrize("character", ["\n", "\t", "\0", "\x7f", "\x85", "\u2028", "\u2029"])
@pytest.mark.parametrize("form", [str, lambda character: f"\\u{ord(character):04x}"])
def test_a_control_character_is_refused_raw_and_escaped_in_keys_and_texts(
    character: str, form: Callable[[str], str]
) -> None:
    assert seen(f'{{"a": "x{form(character)}"}}') == [("control-character", "/a", 1, 9)]
    assert seen(f'{{"x{form(character)}": 1}}') == [("control-character", "/x\ufffd", 1, 4)]


def test_every_short_escape_of_a_control_character_is_refused() -> None:
    assert {code for code, *_ in seen(r'{"a": "\b\f\n\r\t"}')} == {"control-character"}
    assert len(seen(r'{"a": "\b\f\n\r\t"}')) == len("bfnrt")
    assert read(rb'{"a": "\"\\n \/ \u00b5\ud83d\ude00"}') == {"a": '"\\n / \u00b5\U0001f600'}


@pytest.mark.parametrize(
    "character", "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)
def test_a_bidirectional_control_is_refused_raw_and_escaped(character: str) -> None:
    assert seen(f'{{"a": "{character}"}}') == [("bidirectional-character", "/a", 1, 8)]
    assert seen(f'{{"a": "\\u{ord(character):04X}"}}') == [("bidirectional-character", "/a", 1, 8)]


def test_an_answer_never_carries_the_character_that_it_complains_of() -> None:
    for fault in faults('{"\u202e\\ud800\\n": {"\x9b": null}}'.encode()):
        assert str(fault).isprintable()


def test_bytes_that_are_not_utf_8_keep_their_place_and_hide_nothing() -> None:
    assert seen(b'{"caf\xe9": "\xc3\xa9\xff\xfe", "b": null}') == [
        ("not-utf-8", "/caf\ufffd", 1, 6),
        ("not-utf-8", "/caf\ufffd", 1, 12),
        ("null", "/b", 1, 22),
    ]
    assert seen(b'{"a": \xff}') == [("not-utf-8", "", 1, 7)]


def test_a_byte_order_mark_is_refused_and_the_rest_is_read() -> None:
    assert seen(b'\xef\xbb\xbf{"a": null}') == [("byte-order-mark", "", 1, 1), ("null", "/a", 1, 7)]


def test_a_text_of_256_kib_is_read_and_one_byte_more_is_not() -> None:
    data = b'{"a": "' + b"x" * (256 * 1024 - 9) + b'"}'
    assert len(data) == 256 * 1024
    assert len(read(data)["a"]) == len(data) - 9
    assert seen(b"\n\n" + data[1:]) == [("too-large", "", 3, 256 * 1024 - 1)]


def test_32_levels_are_read_and_the_33rd_is_placed() -> None:
    assert faults(nested(32)) == []
    assert seen(nested(33)) == [("too-deep", "/a" * 32, 1, 32 * 5 + 1)]
    assert seen(b'{"a":' + b"[" * 32 + b"]" * 32 + b',"b":null}') == [
        ("too-deep", "/a" + "/0" * 31, 1, 37),
        ("null", "/b", 1, 75),
    ]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"[" * 100_000, "too-deep"),
        (b'{"a":' * 50_000, "too-deep"),
        (b"[" * 130_000 + b"}" * 130_000, "too-deep"),
        (b'{"n": ' + b"9" * 100_000 + b"}", "number-out-of-range"),
        (b'{"n": 0.' + b"9" * 100_000 + b"x}", "syntax"),
        (b'{"a": "x' + b'\\"\n' * 80_000 + b'"y"}', "syntax"),
        (b'{"a": "x' + b'\\"\n' * 80_000, "syntax"),
        (b'{"a": "' + b" \n" * 120_000 + b'"y}', "syntax"),
        (b'{"' + b"k" * 100_000 + b'": [' + b"null," * 30_000 + b"1]}", "null"),
    ],
)
def test_a_hostile_text_is_gone_through_a_few_times_only(
    data: bytes, code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked = _Looked()
    for name, pattern in vars(scanning).items():
        if isinstance(pattern, re.Pattern):
            monkeypatch.setattr(scanning, name, looked.by(pattern))
    found = [fault.code for fault in faults(data)]
    assert code in found
    assert len(found) <= MOST_FAULTS + 1
    assert looked.characters <= 8 * len(data)


class _Looked:
    """Counts the characters that regular expressions look at: work that does not depend on the machine."""

    def __init__(self) -> None:
        self.characters = 0

    def by(self, pattern: re.Pattern[str]) -> SimpleNamespace:
        def counting(method: Callable[..., re.Match[str] | None]) -> Callable[..., re.Match[str] | None]:
            def look(text: str, at: int = 0) -> re.Match[str] | None:
                match = method(text, at)
                stop = match.end() if match else len(text) if method == pattern.search else at + 1
                self.characters += stop - at
                return match

            return look

        return SimpleNamespace(
            match=counting(pattern.match),
            search=counting(pattern.search),
            fullmatch=counting(pattern.fullmatch),
        )


def test_faults_beyond_the_first_hundred_are_counted() -> None:
    found = faults(b'{"a": [' + b"null,\n" * 250 + b"1]}")
    assert [fault.code for fault in found] == ["null"] * 100 + ["more-faults"]
    assert (found[-1].line, found[-1].column) == (101, 1)
    assert found[-1].message == "150 more faults from here on; told one by one are 100"
    assert len(faults(b'{"a": [' + b"null," * 100 + b"1]}")) == 100


def test_a_quoted_value_and_a_pointer_stay_short() -> None:
    (fault,) = faults(b'{"n": ' + b"9" * 100_000 + b"}")
    assert fault.message.startswith(f"'{'9' * 60}… (100000 characters)' is out of range")
    (fault,) = faults(b'{"a": {"' + b"k" * 2000 + b'": [null]}}')
    assert fault.pointer == "/a/0"


def test_want_of_stack_is_not_blamed_on_the_text() -> None:
    def dive(levels: int) -> dict[str, Json]:
        return read(nested(32)) if levels == 0 else dive(levels - 1)

    assert dive(0)
    answers = set()
    for levels in range(sys.getrecursionlimit() + 1):
        try:
            dive(levels)
        except RecursionError:
            answers.add("no stack")
        except Unreadable:
            answers.add("unreadable")
    assert answers == {"no stack"}


def test_every_value_is_located_a_member_at_its_key() -> None:
    data = b'{\n  "a/b": [1, {"c": "x"}],\n  "\\u0064": {}\n}'
    assert locate(data) == {
        "": Position(1, 1),
        "/a~1b": Position(2, 3),
        "/a~1b/0": Position(2, 11),
        "/a~1b/1": Position(2, 14),
        "/a~1b/1/c": Position(2, 15),
        "/d": Position(3, 3),
    }
    with pytest.raises(Unreadable):
        locate(b'{"a": null}')


SCHEMA: dict[str, Json] = {
    "$ref": "#/$defs/Mode",
    "$defs": {
        "Mode": {
            "properties": {
                "name": {"type": "string"},
                "layers": {"items": {"$ref": "#/$defs/Layer"}},
                "heat": {"$ref": "#/$defs/Heat"},
                "units": {"additionalProperties": {"$ref": "#/$defs/Heat"}},
                "modes": {"patternProperties": {"^[a-z]+$": {"$ref": "#/$defs/Heat"}}},
                "widths": {"items": {"type": "number"}},
                "any": True,
            }
        },
        "Layer": {"properties": {"what": {}, "load_pct": {}}},
        "Heat": {"properties": {"dry_c": {}, "cure_c": {}}},
    },
}  # fmt: skip


def test_the_file_form_follows_the_schemas_order_through_every_kind_of_reference() -> None:
    document = {
        "zebra": 1,
        "apple": 2,
        "any": {"b": 1, "a": 2},
        "widths": [914, 1067.0],
        "modes": {"b": {"cure_c": 2, "dry_c": 1}, "9": {"z": 2, "a": 1}},
        "units": {"b": {"cure_c": 2, "dry_c": 1}, "a": {}},
        "heat": {"extra": 3, "cure_c": 98.0, "dry_c": 55.5},
        "layers": [{"load_pct": 200, "what": "colour"}],
        "name": 'µ "x"',
    }
    assert (
        file_form(document, SCHEMA).decode()
        == """{
  "name": "µ \\"x\\"",
  "layers": [
    {
      "what": "colour",
      "load_pct": 200
    }
  ],
  "heat": {
    "dry_c": 55.5,
    "cure_c": 98,
    "extra": 3
  },
  "units": {
    "a": {},
    "b": {
      "dry_c": 1,
      "cure_c": 2
    }
  },
  "modes": {
    "9": {
      "a": 1,
      "z": 2
    },
    "b": {
      "dry_c": 1,
      "cure_c": 2
    }
  },
  "widths": [914, 1067],
  "any": {
    "a": 2,
    "b": 1
  },
  "apple": 2,
  "zebra": 1
}
"""
    )


def test_an_array_of_scalars_stays_in_one_line_up_to_100_columns_with_its_comma() -> None:
    fits = {"a": ["x" * 88]}
    assert max(map(len, file_form({**fits, "b": 1}, {}).decode().splitlines())) == 100
    assert file_form(fits, {}).decode() == f'{{\n  "a": ["{"x" * 88}"]\n}}\n'
    assert file_form({"a": ["x" * 89]}, {}).decode() == f'{{\n  "a": [\n    "{"x" * 89}"\n  ]\n}}\n'
    assert file_form({"a": [], "b": [[]], "c": {}}, {}).decode() == (
        '{\n  "a": [],\n  "b": [\n    []\n  ],\n  "c": {}\n}\n'
    )


def test_the_file_form_writes_no_number_that_json_has_not() -> None:
    with pytest.raises(ValueError, match="Out of range"):
        file_form({"a": float("nan")}, {})


def levels(number: int) -> dict[str, Json]:
    document: dict[str, Json] = {}
    for _ in range(number - 1):
        document = {"a": document}
    return document


@pytest.mark.parametrize("document", [{"a": [1.5, "x"], "b": {"c": True}}, {"a": "µ"}, levels(32)])
def test_quick_reading_takes_what_is_in_the_file_form(document: dict[str, Json]) -> None:
    assert read_tidy(file_form(document, {}), {}) == document


@pytest.mark.parametrize(
    "data",
    [
        file_form(levels(33), {}),
        file_form({"a": None}, {}),
        file_form({"a": "\u202e"}, {}),
        file_form({"a": "\x7f"}, {}),
        file_form({"a": 2**53}, {}),
        file_form({"e\u0301": 1}, {}),
        b'{\n  "a": 1,\n  "a": 1\n}\n',
        b'{\n  "a": NaN\n}\n',
        b'{\n  "a": 98.0\n}\n',
        b'{\n  "a": "\\ud800"\n}\n',
        b'{\n  "a": "\xff"\n}\n',
        b'{\n  "a": 1\n}',
        b"[]\n",
        b'{"a":' * 100_000,
        b'{\n  "a": "' + b"x" * 262_144 + b'"\n}\n',
    ],
)
def test_quick_reading_leaves_everything_else_to_the_careful(data: bytes) -> None:
    assert read_tidy(data, {}) is None


def test_the_digest_is_that_of_the_sorted_dense_text() -> None:
    # printf '{"a":[1,0.5],"b":"\302\265"}' | sha256sum
    expected = "55871fce9ff213bc49412462778c207c2dff98c23f793d6a66a5940a9028e184"
    assert digest({"b": "µ", "a": [1.0, 0.5]}) == expected


def test_a_merge_patch_keeps_order_and_leaves_both_sides_alone() -> None:
    target = {"a": {"x": [1]}, "b": {"y": 1, "z": 2}, "c": 3}
    patch = {"d": {"n": None, "m": [4]}, "b": {"y": None}, "c": None}
    before = copy.deepcopy((target, patch))
    merged = merge_patch(target, patch)
    assert json.dumps(merged) == json.dumps({"a": {"x": [1]}, "b": {"z": 2}, "d": {"m": [4]}})
    merged["a"]["x"].append(2)
    merged["d"]["m"].append(5)
    assert (target, patch) == before


def test_pointers_are_taken_apart_and_put_together() -> None:
    assert split_pointer("/a~1b/m~0n//0") == ("a/b", "m~n", "", "0")
    assert join_pointer(["a/b", "m~n", "", "0"]) == "/a~1b/m~0n//0"
    assert split_pointer("") == ()


@pytest.mark.parametrize(("pointer", "reason"), [("a", "begin with '/'"), ("/a~", "'~0'"), ("/a~2", "'~0'")])
def test_what_is_no_pointer_is_refused_with_what_it_must_be(pointer: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        split_pointer(pointer)


@pytest.mark.parametrize("pointer", ["/b", "/a/x", "/a/0/1", "/a/2", "/s/0"])
def test_a_pointer_to_nothing_says_which(pointer: str) -> None:
    with pytest.raises(KeyError, match=pointer):
        lookup({"a": [1, 2], "s": "text"}, pointer)


def test_reading_a_good_text_loads_nothing_that_only_a_bad_one_needs() -> None:
    program = (
        'import sys; from registry.canonical import read; read(\'{"note": "20 µm"}\'.encode());'
        "print(*sys.modules, sep='\\n')"
    )
    command = [sys.executable, "-c", program]
    loaded = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
    unwanted = {
        "registry.canonical.scanning",
        "unicodedata",
        "rfc8785",
        "hashlib",
        "pydantic",
        "click",
        "git",
    }
    assert "registry.canonical.reading" in loaded
    assert unwanted.isdisjoint(loaded)


def test_of_two_keys_that_look_alike_it_is_said_why_they_are_one() -> None:
    """Unicode Standard Annex 15: é is e with an acute, composed."""
    said = {
        text: faults(text.encode())[0].message for text in ('{"a": 1, "a": 2}', '{"\u00e9": 1, "e\u0301": 2}')
    }
    assert ["in Unicode form NFC" in each for each in said.values()] == [False, True]
