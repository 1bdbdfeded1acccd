"""The first trial's settings: within what is usual, and for the printer that is to print."""

from typing import Any

from registry.nearest.start import start_from, with_load

_MODE: dict[str, Any] = {
    "printer": "one",
    "lighting": "backlit",
    "layers": [{"what": "colour", "load_pct": 200}],
    "motion": {"resolution": "720x720"},
}
_PRINTER: dict[str, Any] = {
    "backlit_load_pct": {"low_pct": 160, "high_pct": 220},
    "resolutions": ["600x600", "600x1200"],
}


def case(**said: Any) -> dict[str, Any]:
    return {"mode": {**_MODE, **said}, "printer": _PRINTER}


def test_only_the_load_is_set_on_the_same_printer() -> None:
    assert start_from(case(), 190.6, "one").settings == {"layers.colour.load_pct": 191}


def test_another_printer_is_named_with_a_resolution_that_it_offers() -> None:
    assert start_from(case(), 200, "two").settings == {
        "printer": "two",
        "motion.resolution": "600x600",
        "layers.colour.load_pct": 200,
    }


def test_a_heavier_load_than_usual_waits_for_a_ladder_and_a_lighter_one_is_not_raised() -> None:
    heavy, light = start_from(case(), 352, "one"), start_from(case(), 90, "one")
    assert [each.settings["layers.colour.load_pct"] for each in (heavy, light)] == [220, 90]
    assert "usual 220 % until a ladder of loads has been read" in heavy.held
    assert light.held == ""


def test_what_is_usual_for_backlit_work_does_not_hold_a_front_lit_load() -> None:
    start = start_from(case(lighting="frontlit"), 100, "one")
    assert (start.settings["layers.colour.load_pct"], start.held) == (100, "")


def test_several_colour_layers_keep_their_proportion() -> None:
    layers = [
        {"what": "colour", "load_pct": 200},
        {"what": "white", "load_pct": 280},
        {"what": "colour", "load_pct": 100},
    ]
    assert [each["load_pct"] for each in with_load({"layers": layers}, 220)["layers"]] == [220, 280, 110]
    assert start_from(case(layers=layers), 220, "one").settings == {
        "layers.colour.load_pct": 220,
        "layers.colour#2.load_pct": 110,
    }
