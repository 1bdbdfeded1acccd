"""What a measurement's header may say of the print without being taken for another's."""

import pytest

from registry.check import check
from registry.model.kinds import path_of
from tests.check.mutations.naming import with_reading
from tests.check.small import BACKLIT, FILM, SHEET, WINDOW, Small, ladder, sha256


@pytest.mark.parametrize(
    "note",
    [
        "simulated",
        WINDOW,
        f"{WINDOW}, beside {BACKLIT}",
        f"{SHEET}: load 120 %, 12 passes, 600x600 dpi",
        f"{SHEET} rather than {FILM}",
        "Window, second surface; Dayfilm 210",
        "Clear 2, load 80 %",
        "load of 120 % and 80% load, in 8 or 12 passes",
        "nobody/nothing/here, nobody/nothing, backlit, and/or 12-pass",
        "unload 200 % later; overload of 300 %",
    ],
)
def test_what_names_the_mode_or_nothing_known_is_not_found(small: Small, note: str) -> None:
    with_reading(note)(small)
    assert check(small) == []


def test_colour_in_two_layers_may_be_told_as_one_load(small: Small) -> None:
    layers = [{"what": "colour", "load_pct": 60}, {"what": "white", "load_pct": 80}]
    small.patch("print-mode", WINDOW, {"layers": [*layers, {"what": "colour", "load_pct": 70}]})
    with_reading("load 130 %")(small)
    assert check(small) == []


def test_what_was_found_and_what_the_mode_is_are_both_told(small: Small) -> None:
    with_reading(f"{BACKLIT}, load 200 %")(small)
    assert [(each.severity, each.found, each.allowed) for each in check(small)] == [
        ("warning", BACKLIT, WINDOW),
        ("warning", "200 %", "80 %, 120 %"),
    ]


def test_a_ladder_may_name_many_loads_but_no_other_mode(small: Small) -> None:
    for note, found in ((f"{WINDOW}, load 130 %, 16 passes", []), (f"{BACKLIT}, loads", [BACKLIT])):
        data = ladder(note)
        small.files[path_of("measurement", f"{SHEET}/loads")] = data
        named = {"file": "loads.txt", "sha256": sha256(data)}
        small.patch("print-mode", WINDOW, {"evidence": {"ladder": named}})
        assert [(each.code, each.found) for each in check(small)] == [
            ("measurement-of-another", each) for each in found
        ]


def test_neither_the_reference_nor_the_ladder_hides_the_other(small: Small) -> None:
    with_reading(f"{BACKLIT}")(small)
    data = ladder()
    small.files[path_of("measurement", f"{SHEET}/loads")] = data
    small.patch("print-mode", WINDOW, {"evidence": {"ladder": {"file": "loads.txt", "sha256": sha256(data)}}})
    assert [each.pointer for each in check(small)] == ["/evidence/measurement/file"]
