"""A revision that is there twice, since two shops wrote it side by side; and what is none."""

from collections.abc import Callable

import pytest

from registry.check import Finding, check
from registry.model.kinds import path_of
from tests.check.mutations.mutation import Change, Told, patched, revised
from tests.check.small import WINDOW, Small

SITE = path_of("site", "mill-lane")
RENAMED = revised("site", "mill-lane", {"title": "Mill Lane shop"})
SHORTER = patched("site", "mill-lane", {"title": "Mill", "reason": "shorter"})


def reformed(now: Small) -> None:
    """Write a record in another form: a landing that changes nothing of what it says."""
    now.files[SITE] = now.files[SITE].replace(b"\n", b"\n ")


def found(
    pristine: Small, landed: tuple[Change, ...], change: Callable[[Small], object], *, merging: bool = False
) -> list[Finding]:
    now, states = pristine.copy(), [pristine]
    for landing in landed:
        landing(now)
        states.append(now.copy())
    change(now)
    findings = check(now, history=Told(states, merging=merging))
    return [finding for finding in findings if finding.code == "revision-repeated"]


@pytest.mark.parametrize("merging", [True, False])
@pytest.mark.parametrize(
    ("landed", "change"),
    [
        ((RENAMED,), lambda _: None),
        ((RENAMED, revised("site", "mill-lane", {"title": "Mill"})), lambda _: None),
        ((RENAMED, reformed), lambda _: None),
        ((RENAMED,), revised("site", "mill-lane", {"title": "Mill"})),
        ((RENAMED,), reformed),
        ((RENAMED, SHORTER), revised("site", "mill-lane", {"title": "Mill Lane shop"})),
        ((RENAMED, SHORTER, revised("site", "mill-lane", {"title": "M"})), lambda _: None),
    ],
    ids=["landed", "landed on", "other form", "a next one", "in another form", "brought back", "since then"],
)
def test_nothing_is_found_where_each_change_has_a_number_of_its_own(
    pristine: Small, landed: tuple[Change, ...], change: Callable[[Small], object], merging: bool
) -> None:
    assert found(pristine, landed, change, merging=merging) == []


def test_without_a_merge_a_change_without_a_number_is_not_called_one_of_two_shops(pristine: Small) -> None:
    assert found(pristine, (RENAMED,), SHORTER) == []


def test_what_one_shop_changed_and_the_other_took_back_is_named(pristine: Small) -> None:
    load = pristine.document("print-mode", WINDOW)["layers"][0]["load_pct"]
    layers = [{"what": "colour", "load_pct": load + 5}]
    one = revised("print-mode", WINDOW, {"layers": layers, "notes": ["warm"]})
    other = patched(
        "print-mode", WINDOW, {"layers": [{"what": "colour", "load_pct": load}], "reason": "cool"}
    )
    (landed,) = found(pristine, (one, other), lambda _: None)
    assert "landing says something else, and takes back: load, colour: found 2 twice" in str(landed)
    assert f"litstock diff {WINDOW}@r2 {WINDOW}@r3, and bring it back with litstock revise" in landed.remedy
    (merged,) = found(pristine, (one,), other, merging=True)
    assert "revision 2 has landed, and this one says something else, and takes back: load, colour" in str(
        merged
    )
    assert merged.remedy.endswith(f"{WINDOW}@draft, and set the revision to 3")
