"""Text that steers a terminal, hides, runs in a spreadsheet or is laid out by a forge."""

import random
import sys
import unicodedata

__all__ = ["FORMULAS", "MARKUP", "hidden", "raw", "text"]

FORMULAS = ("=HYPERLINK(1)", "+1+1", "-2+3", "@SUM(1)", "\uff1d1+1", " =1+1", "=cmd|' /C calc'!A0")
MARKUP = (
    "<b>bold</b>",
    "<img src=x onerror=y>",
    "![image](https://a.invalid/b.png)",
    "[link](https://a.invalid)",
    "`code`",
    "*loud* __louder__ ~~gone~~",
    "a|b",
    "&lt;b&gt;",
    "https://a.invalid/b",
    "back\\slash",
)

# What steers or hides by its category. Marks that are seen, and stand before a number in Arabic, Syriac and
# Kaithi writing, count as format characters too, but show.
_SEEN = {*range(0x600, 0x606), 0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x110BD, 0x110CD}
_CATEGORIES = {"Cc", "Cf", "Cs", "Zl", "Zp"}


def raw(text: str, keep: str = "") -> set[str]:
    """Return the code points in a text that no reader should get raw."""
    return {
        f"U+{ord(each):04X}"
        for each in text
        if unicodedata.category(each) in _CATEGORIES and ord(each) not in _SEEN and each not in keep
    }


def hidden() -> list[str]:
    """Return every character of these categories."""
    return [chr(point) for point in range(sys.maxunicode + 1) if raw(chr(point))]


def text(rng: random.Random, letters: list[str]) -> str:
    """Return a text with some of these letters among ordinary ones and markup."""
    parts = [rng.choice(("gull", "é", "層", "0.5", *FORMULAS, *MARKUP)) for _ in range(rng.randint(1, 3))]
    for _ in range(rng.randint(1, 3)):
        parts.insert(rng.randint(0, len(parts)), rng.choice(letters))
    return "".join(parts)
