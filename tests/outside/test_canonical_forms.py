"""Reading and both forms against what the standards print.

Sources: RFC 8785 (JSON Canonicalization Scheme), RFC 7396 (JSON Merge Patch), RFC 6901 (JSON Pointer),
RFC 8259 (JSON), RFC 7493 (I-JSON), and the Unicode Character Database of the Python in use.
"""

import hashlib
import json
import struct
import unicodedata

import pytest

from registry.canonical import Json, digest, faults, lookup, merge_patch, read, split_pointer
from registry.canonical.limits import MOST_FAULTS

# RFC 8785, section 3.2.2: the sample input.
SAMPLE = rb"""{
  "numbers": [333333333.33333329, 1E30, 4.50,
              2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""

# RFC 8785, section 3.2.4: the bytes that it becomes.
SAMPLE_FORM = bytes.fromhex("""
    7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72
    75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
    5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31
    65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37
    5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30
    30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
""")

# RFC 8785, section 3.2.3: keys for verifying the order, then the values in the order expected.
UNSORTED = rb"""{
  "\u20ac": "Euro Sign",
  "\r": "Carriage Return",
  "\ufb33": "Hebrew Letter Dalet With Dagesh",
  "1": "One",
  "\ud83d\ude00": "Emoji: Grinning Face",
  "\u0080": "Control",
  "\u00f6": "Latin Small Letter O With Diaeresis"
}"""
SORTED = (
    '{"\\r":"Carriage Return",'
    '"1":"One",'
    '"\x80":"Control",'
    '"\xf6":"Latin Small Letter O With Diaeresis",'
    '"\u20ac":"Euro Sign",'
    '"\U0001f600":"Emoji: Grinning Face",'
    '"\ufb33":"Hebrew Letter Dalet With Dagesh"}'
)

# RFC 8785, appendix B: the bits of a double, and how it is written.
NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]

# RFC 7396, appendix A: original, patch, result.
PATCHES = [
    ('{"a":"b"}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"b"}', '{"b":"c"}', '{"a":"b","b":"c"}'),
    ('{"a":"b"}', '{"a":null}', "{}"),
    ('{"a":"b","b":"c"}', '{"a":null}', '{"b":"c"}'),
    ('{"a":["b"]}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"c"}', '{"a":["b"]}', '{"a":["b"]}'),
    ('{"a":{"b":"c"}}', '{"a":{"b":"d","c":null}}', '{"a":{"b":"d"}}'),
    ('{"a":[{"b":"c"}]}', '{"a":[1]}', '{"a":[1]}'),
    ('["a","b"]', '["c","d"]', '["c","d"]'),
    ('{"a":"b"}', '["c"]', '["c"]'),
    ('{"a":"foo"}', "null", "null"),
    ('{"a":"foo"}', '"bar"', '"bar"'),
    ('{"e":null}', '{"a":1}', '{"e":null,"a":1}'),
    ("[1,2]", '{"a":"b","c":null}', '{"a":"b"}'),
    ("{}", '{"a":{"bb":{"ccc":null}}}', '{"a":{"bb":{}}}'),
]

# RFC 6901, section 5: the document, and what each pointer evaluates to.
POINTED = json.loads(r"""{
  "foo": ["bar", "baz"],
  "": 0,
  "a/b": 1,
  "c%d": 2,
  "e^f": 3,
  "g|h": 4,
  "i\\j": 5,
  "k\"l": 6,
  " ": 7,
  "m~n": 8
}""")
POINTERS = [
    ("", POINTED),
    ("/foo", ["bar", "baz"]),
    ("/foo/0", "bar"),
    ("/", 0),
    ("/a~1b", 1),
    ("/c%d", 2),
    ("/e^f", 3),
    ("/g|h", 4),
    ("/i\\j", 5),
    ('/k"l', 6),
    ("/ ", 7),
    ("/m~0n", 8),
]


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def codes(data: bytes) -> set[str]:
    return {fault.code for fault in faults(data)}


def test_the_digest_of_the_sample_is_that_of_the_bytes_printed_for_it() -> None:
    assert digest(json.loads(SAMPLE)) == sha256(SAMPLE_FORM)


def test_the_digest_sorts_keys_by_utf_16() -> None:
    assert digest(json.loads(UNSORTED)) == sha256(SORTED.encode())


@pytest.mark.parametrize(("bits", "written"), NUMBERS)
def test_the_digest_writes_a_double_as_in_the_table(bits: str, written: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert digest(number) == sha256(written.encode())


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000"])
def test_a_double_that_the_table_calls_not_permitted_has_no_digest(bits: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    with pytest.raises(ValueError, match="not representable"):
        digest({"value": number})


def test_the_sample_is_no_document_here_for_its_null_its_number_past_2_to_53_and_its_controls() -> None:
    found = {(fault.code, fault.pointer, fault.line) for fault in faults(SAMPLE)}
    assert found == {
        ("number-out-of-range", "/numbers/1", 2),
        ("control-character", "/string", 4),
        ("null", "/literals/0", 5),
    }


@pytest.mark.parametrize(("original", "patch", "result"), PATCHES)
def test_a_merge_patch_does_as_in_the_appendix(original: str, patch: str, result: str) -> None:
    assert merge_patch(json.loads(original), json.loads(patch)) == json.loads(result)


@pytest.mark.parametrize(("pointer", "value"), POINTERS)
def test_a_pointer_evaluates_as_in_section_5(pointer: str, value: Json) -> None:
    assert lookup(POINTED, pointer) == value


def test_pointers_unescape_in_the_order_that_section_4_demands() -> None:
    # RFC 6901, section 4: "~01" becomes "~1" and not "/".
    assert split_pointer("/~01") == ("~1",)


# RFC 6901, section 4: no leading zeros; "-" is the element after the last, which does not exist.
@pytest.mark.parametrize("index", ["-", "00", "01", "+1", "1.0", "1e0", "-1", "\u0661", "2", "9" * 5000])
def test_an_index_that_section_4_does_not_allow_points_to_nothing(index: str) -> None:
    with pytest.raises(KeyError):
        lookup(POINTED, f"/foo/{index}")


def test_the_unpaired_surrogate_of_rfc_8259_section_8_2_is_refused() -> None:
    assert codes(rb'{"text": "\uDEAD"}') == {"lone-surrogate"}
    assert codes(rb'{"\uDEAD": "text"}') == {"lone-surrogate"}


def test_the_names_may_not_be_the_same_once_decoded_as_rfc_7493_section_2_3_demands() -> None:
    assert codes(rb'{"a": 1, "\u0061": 2}') == {"duplicate-key"}


@pytest.mark.parametrize("sign", ["", "-"])
def test_the_range_of_whole_numbers_is_that_of_rfc_7493_section_2_2(sign: str) -> None:
    assert read(f'{{"n": {sign}9007199254740991}}'.encode()) == {"n": int(f"{sign}9007199254740991")}
    assert codes(f'{{"n": {sign}9007199254740992}}'.encode()) == {"number-out-of-range"}


# Unicode Standard Annex 9, section 2: explicit directional formatting characters, by bidirectional class; the
# three implicit marks (section 2.6) have the classes of letters, so they stand here by name.
EXPLICIT = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
IMPLICIT = {"ARABIC LETTER MARK", "LEFT-TO-RIGHT MARK", "RIGHT-TO-LEFT MARK"}


def expected_refusal(character: str) -> str | None:
    if unicodedata.bidirectional(character) in EXPLICIT or unicodedata.name(character, "") in IMPLICIT:
        return "bidirectional-character"
    return {
        "Cc": "control-character",
        "Zl": "control-character",
        "Zp": "control-character",
        "Cs": "lone-surrogate",
    }.get(unicodedata.category(character))


# The planes that hold signs and format characters; the others are ideographs, private or empty.
@pytest.mark.parametrize("plane", [0, 1, 14])
def test_the_refused_characters_are_those_of_the_unicode_database(plane: int) -> None:
    characters = [chr(plane << 16 | low) for low in range(0x10000)]
    expected = {character: refusal for character in characters if (refusal := expected_refusal(character))}
    found = {}
    for first in range(0, len(characters), MOST_FAULTS):
        block = characters[first : first + MOST_FAULTS]
        for fault in faults(json.dumps({"all": block}).encode()):
            found[block[int(fault.pointer.removeprefix("/all/"))]] = fault.code
    assert found == expected
