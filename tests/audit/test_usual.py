"""The table of what usually explains a defect names only what there is."""

from typing import get_args

import pytest

from registry.audit.usual import EVENT_EFFECT, USUAL, is_usual
from registry.model.shape import shape_of
from registry.model.words import Defect, EventKind

KIND = {
    "mode": "print-mode",
    "substrate": "substrate",
    "printer": "printer",
    "unit": "unit",
    "display": "display",
    "job": "run",
}


def test_every_defect_has_something_that_usually_explains_it() -> None:
    assert set(USUAL) == set(get_args(Defect))
    assert all(USUAL.values())


def test_every_kind_of_event_has_an_effect_on_colour() -> None:
    assert set(EVENT_EFFECT) == set(get_args(EventKind))


@pytest.mark.parametrize("defect", USUAL)
def test_every_entry_names_a_setting_or_a_kind_of_event(defect: str) -> None:
    for entry in USUAL[defect]:
        place, _, what = entry.partition("/")
        if place == "event":
            assert what in EVENT_EFFECT
        elif place == "profile":
            assert what == ""
        else:
            what = "layers" if what.startswith("layers.") else what  # of one layer by its name
            paths = shape_of(KIND[place]).settings
            assert any(path == what or path.startswith(f"{what}.") for path in paths), entry


@pytest.mark.parametrize("defect", USUAL)
def test_no_entry_stands_twice(defect: str) -> None:
    assert len(set(USUAL[defect])) == len(USUAL[defect])


def test_a_setting_is_usual_by_its_whole_name_only() -> None:
    assert is_usual("cast", "mode", "ink.black_generation")
    assert is_usual("cast", "mode", "ink_set")
    assert not is_usual("cast", "mode", "ink_setting")
    assert not is_usual("", "mode", "ink_set")
