"""Rule: no name at the top is taken for another one."""

import re
import unicodedata
from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["look_alike"]

_MEANT = (".git", ".gitattributes", ".gitmodules", "records")
# Short names that Windows gives: the first six letters, or four of a check sum, and a number.
_SHORT = {"git": ".git", "gitatt": ".gitattributes", "gi7d29": ".gitattributes", "gitmod": ".gitmodules"}
_SHORT |= {"gi7eba": ".gitmodules", "record": "records"}


@rule("look-alike", "error")
def look_alike(checked: Checked) -> Iterator[Remark]:
    """No file or folder at the top is called almost .git, .gitattributes, .gitmodules or records.

    Windows and macOS take capitals, points and blanks at the end, invisible characters and short names such
    as GITATT~1 for the plain name: what does nothing on one machine then rules the checkout on another.

    To mend: give it another name, or its plain one.
    """
    for name in sorted(checked.snapshot.checkout().top):
        meant = _meant(name)
        if meant and meant != name and checked.asked(name):
            yield Remark(
                name,
                f"some machines take this for {meant}",
                "give it another name, or put what it holds into the plain one",
                found=ascii(name),
                allowed=meant,
            )


def _meant(name: str) -> str:
    """Return what a name is taken for, empty where it is for nothing of ours.

    >>> _meant(".GitAttributes"), _meant("GITATT~1"), _meant("records. "), _meant("notes")
    ('.gitattributes', '.gitattributes', 'records', '')
    """
    shown = (letter for letter in unicodedata.normalize("NFKC", name) if unicodedata.category(letter) != "Cf")
    plain = "".join(shown).casefold().partition(":")[0].rstrip(" .")
    short = re.fullmatch(r"([a-z0-9]+)~[0-9]+", plain)
    return _SHORT.get(short[1], "") if short else plain if plain in _MEANT else ""
