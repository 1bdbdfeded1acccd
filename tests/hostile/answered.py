"""The program's answers about landed, identity and in force, put as `plainly.py` puts them."""

import re

from registry.card.verifying import verify
from registry.errors import RegistryError
from registry.question.registry import Registry
from registry.question.when import Version, version
from tests.hostile.plainly import Answer

__all__ = ["CANNOT_TELL", "Asked"]

CANNOT_TELL = {"several", "cut off", "unreadable"}
"""What an answer begins with where it says that nobody can tell."""

_DAY = r"(?P<day>[\d-]+)"
_SAID = {
    rf"\S+ was removed on {_DAY}: ask for an earlier revision": "removed",
    rf"\S+ was removed on {_DAY}(; \S+ is the last that can be read)?": "removed",
    rf"\S+, as it landed on {_DAY}, .*: litstock check says more": "unreadable",
    rf"\S+, as it landed on {_DAY}, .*; litstock check says more(; .*)?": "unreadable",
    r"\S+ used \S+, of which no revision can be read": "unreadable",
    rf"\S+ had not landed by \S+: .* landed on {_DAY}": "not landed yet",
    r"\S+ had not landed by then, so it was not in force at \S+": "not landed yet",
    r"this clone knows nothing before \S+: run git fetch --unshallow and ask again": "cut off",
    r"\S+ has no r\d+: .*, and this clone none before: run git fetch .*": "cut off",
    r"\S+ has no settings \S+: this clone is cut off, .*: run git fetch --unshallow and ask again": "cut off",
    r"there is no \S+ \S+ among what has landed, as far as this clone knows, .*; .*": "cut off",
    r"there is no \S+ \S+ among what has landed; .*": "no such record",
    r"\S+ has no r\d+: (it has|none of its revisions can be read).*": "no such number",
    r"\S+ has no settings \S+: no branch here has or had them": "nowhere",
}
_CAME_ALONG = r"r\d+ was written on .* and (was merged away|replaced before it landed\b.*)"
_ELSEWHERE = {
    "this clone is cut off": "cut off",
    "they are on ": "on a branch",
    " came in with the landing of ": "merged away",
    " and replaced before it landed": "merged away",
    "were forced away": "forced away",
}


class Asked:
    """One registry, asked as commands ask it."""

    def __init__(self, registry: Registry) -> None:
        self.registry = registry

    def version(self, text: str) -> Answer:
        """Ask for `RECORD@WHEN`; of what was in force also how that is known."""
        try:
            found = version(self.registry, text)
        except RegistryError as error:
            return _refused(error)
        used = found.evidence
        if used is None:
            return _told(found)
        if used.how == "landed":
            return ("assumed", *_told(found))
        assert found.beside == bool(re.search(_CAME_ALONG, used.mismatch))
        return (used.how, used.since, used.record, _agreeing(used.mismatch), *_told(found))

    def verdict(self, code: str) -> Answer:
        """Ask how a card stands, and which revision is to be used."""
        try:
            _, found = verify(self.registry, code)
        except RegistryError as error:
            return _refused(error)
        if elsewhere := _elsewhere(found.words):
            assert found.standing == ("unknown revision" if elsewhere == "cut off" else "not landed")
            return (elsewhere,)
        if found.use is None:
            return (str(found.standing),)
        return (str(found.standing), found.use, found.use_digest)


def _told(found: Version) -> Answer:
    assert not found.draft
    assert found.landed is not None
    return ("told", found.number, found.digest, found.beside, found.landed.commit, found.landed.landed)


def _refused(error: RegistryError) -> Answer:
    """Tell what a refusal says; one in other words than are known here fails."""
    words = str(error)
    if re.fullmatch(r"\d+ revisions of .* call themselves r\d+: .*: write one of these", words):
        assert error.exit_code == 2
        return ("several", frozenset(re.findall(r"@([0-9a-f]{12}) \(r", words)))
    if found := re.search(r": they are on (.*) \(commit (\w+)\), and have not landed$", words):
        return ("on a branch", found[2], frozenset(found[1].split(" and ")))
    lost = r": commit (\w+) had them, and no branch holds it any more: they were forced away$"
    if found := re.search(lost, words):
        return ("forced away", found[1])
    for form, kind in _SAID.items():
        if match := re.fullmatch(form, words):
            assert error.exit_code == (3 if type(error) is RegistryError else 2)
            return (kind, *match.groupdict().values())
    raise AssertionError(words)


def _agreeing(mismatch: str) -> str:
    """Tell how evidence agrees with what has landed."""
    if not mismatch or re.fullmatch(_CAME_ALONG, mismatch):
        return "agrees"
    if re.fullmatch(rf"\S+ names r\d+, its settings are those of r\d+(; {_CAME_ALONG})?", mismatch):
        return "other number"
    if elsewhere := _elsewhere(mismatch):
        assert "never landed" not in mismatch
        return elsewhere
    assert mismatch.endswith(" that never landed")
    return "nowhere"


def _elsewhere(words: str) -> str:
    return next((kind for said, kind in _ELSEWHERE.items() if said in words), "")
