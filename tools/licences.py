#!/usr/bin/env python3
"""List the licences of what litstock installs, and of what its tests add.

litstock is MIT: what a user installs with it may not put further conditions on it. What only the tests use is
listed, not judged: it is never shipped.
"""

import sys
from collections.abc import Iterator
from importlib.metadata import Distribution, distribution

from packaging.requirements import Requirement

NAME = "litstock"
FITTING = (
    *("MIT", "BSD", "Apache", "ISC", "PSF", "Python Software Foundation", "0BSD", "Unlicense", "Zlib"),
    *("Mozilla Public License 2.0", "MPL-2.0", "HPND", "CC0-1.0"),
)
COPYLEFT = ("GPL", "GNU", "EUPL", "CC-BY-SA", "SSPL", "Proprietary")


def needed(name: str, extras: frozenset[str], seen: set[tuple[str, str]]) -> Iterator[Distribution]:
    """Yield what a distribution needs, with what that needs, each once for every extra."""
    for text in distribution(name).requires or ():
        each = Requirement(text)
        if each.marker and not any(each.marker.evaluate({"extra": extra}) for extra in extras):
            continue
        more = frozenset({"", *each.extras})
        new = {(each.name.lower(), extra) for extra in more} - seen
        if not new:
            continue
        seen |= new
        yield distribution(each.name)
        yield from needed(each.name, more, seen)


def licence(found: Distribution) -> str:
    """Return what a distribution says of its licence: as SPDX has it, by classifier, or in its own words."""
    said = found.metadata.json
    classified = [
        str(each).rpartition(" :: ")[2]
        for each in said.get("classifier", ())
        if str(each).startswith("License :: ") and not str(each).endswith("OSI Approved")
    ]
    own = str(said.get("license", "")).partition("\n")[0]
    return str(said.get("license_expression") or "; ".join(classified) or own)


def fits(words: str) -> bool:
    """Whether a licence lets litstock stay as free as it is."""
    return any(each in words for each in FITTING) and not any(each in words for each in COPYLEFT)


def listed(extra: str = "") -> dict[str, str]:
    """Return the licence of each distribution by name and version."""
    by_name = {
        f"{each.metadata['Name']} {each.version}": licence(each)
        for each in needed(NAME, frozenset({"", extra}), set())
    }
    return {name: by_name[name] for name in sorted(by_name, key=str.lower)}


def main() -> int:
    """Return 0 when all that is shipped along fits."""
    shipped = listed()
    tests = {name: words for name, words in listed("test").items() if name not in shipped}
    for title, group in (("installed with litstock", shipped), ("for the tests alone", tests)):
        print(title)
        for name, words in group.items():
            print(f"  {name:36} {words}")
    bad = {name: words for name, words in shipped.items() if not fits(words)}
    for name, words in bad.items():
        print(f"{name}: {words or 'says no licence'}: litstock is MIT and cannot require it")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
