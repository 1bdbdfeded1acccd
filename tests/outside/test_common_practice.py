"""The demo's numbers and advice beside what the trade says; every check is common practice, no source."""

from collections.abc import Iterator
from typing import Any

import pytest

from registry import canonical
from registry.demo.replay import tell
from registry.index.advice import MODE_SIDE, Judge
from registry.model.kinds import place_at

FOOT_M = 0.3048  # exact: the international foot, NIST SP 811 (from memory)
FOREIGN = {"solvent", "uv-curable"}

Records = dict[str, dict[str, dict[str, Any]]]


def _load_pct(mode: dict[str, Any]) -> float:
    return float(max(layer["load_pct"] for layer in mode["layers"] if layer["what"] == "colour"))


def _records(state: dict[str, bytes]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, data in state.items():
        place = place_at(path)
        assert place is not None, path
        if not place.attachment:
            yield place.kind, place.id, canonical.read(data)


@pytest.fixture(scope="module")
def modes() -> list[dict[str, Any]]:
    """Every revision that there ever was of every mode."""
    blobs = {
        (path, data): None
        for told in tell()
        for path, data in told.state.items()
        if (place := place_at(path)) and place.kind == "print-mode" and not place.attachment
    }
    return [canonical.read(data) for _, data in blobs]


@pytest.fixture(scope="module")
def present() -> Records:
    """The records at the end of the story, by kind and id."""
    *_, last = tell()
    records: Records = {}
    for kind, rid, document in _records(last.state):
        records.setdefault(kind, {})[rid] = document
    return records


@pytest.fixture(scope="module")
def heavy(modes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """How the widest-used printer moves under heavy backlit ink, without pauses."""
    return [
        mode["motion"]
        for mode in modes
        if mode["printer"] == "marshwing" and _load_pct(mode) >= 190 and not mode["motion"].get("pause_s")
    ]


def test_the_printers_usual_backlit_loads_overlap_what_the_trade_says(present: Records) -> None:
    # 170 to 230 %: common practice, no source.
    for printer in present["printer"].values():
        usual = printer["backlit_load_pct"]
        assert usual["low_pct"] < 230
        assert usual["high_pct"] > 170


def test_heavy_backlit_ink_takes_16_to_20_passes(heavy: list[dict[str, Any]]) -> None:
    # Common practice, no source.
    assert {motion["passes"] for motion in heavy} == {16, 20}


def test_heavy_backlit_ink_is_printed_at_about_54_square_feet_an_hour(heavy: list[dict[str, Any]]) -> None:
    # 54 ft²/h: common practice, no source; the conversion is exact.
    usual = 54 * FOOT_M**2
    assert usual == pytest.approx(5.0, abs=0.05)
    assert all(0.7 * usual <= motion["speed_m2_h"] <= 1.1 * usual for motion in heavy)
    assert any(motion["speed_m2_h"] == round(usual, 1) for motion in heavy)


def test_films_coated_for_solvent_or_uv_curable_ink_are_refused_or_withdrawn(present: Records) -> None:
    # Resin ink on such a coating re-wets: common practice, no source.
    refusing = [Judge(rid, rule) for rid, rule in present["guidance"].items() if rule["level"] == "refuse"]
    found = set()
    for mode in present["print-mode"].values():
        substrate, printer = present["substrate"][mode["substrate"]], present["printer"][mode["printer"]]
        if substrate["coating"] in FOREIGN:
            case = {"mode": mode, "substrate": substrate, "printer": printer}
            refused = any(judge.holds(MODE_SIDE, case) for judge in refusing if judge.looks_at(MODE_SIDE))
            assert refused or mode["status"] == "withdrawn", mode["title"]
            found.add(substrate["coating"])
    assert found == FOREIGN


def test_an_aqueous_coated_film_used_as_printed_is_warned_of_scratches(present: Records) -> None:
    # It is the coating that scratches: common practice, no source.
    rule = present["guidance"]["aqueous-coating-scratches"]
    assert rule["level"] in {"warn", "advise"}
    assert "scratches" in rule["text"]
    substrates = present["substrate"]
    coated = [
        mode
        for mode in present["print-mode"].values()
        if substrates[mode["substrate"]]["coating"] == "aqueous"
    ]
    judge = Judge("aqueous-coating-scratches", rule)
    told = [
        mode
        for mode in coated
        if judge.holds(MODE_SIDE, {"mode": mode, "substrate": substrates[mode["substrate"]]})
    ]
    protected = {"film-laminate", "liquid-laminate", "acrylic-face"}
    bare = [mode for mode in coated if not protected & set(mode.get("finishing", ["none"]))]
    # A fabric in a frame wants no laminate, which would crease with it: common practice, no source.
    cloth = [mode for mode in bare if substrates[mode["substrate"]]["construction"] == "fabric"]
    assert cloth
    assert told == [mode for mode in bare if mode not in cloth]


@pytest.mark.parametrize("coating", sorted(FOREIGN))
def test_a_foreign_coating_whose_maker_lists_resin_ink_is_for_trials_only(
    present: Records, coating: str
) -> None:
    # Common practice, no source.
    def said(taken: list[str]) -> set[str]:
        case = {
            "substrate": {"coating": coating, "ink_chemistries": taken},
            "printer": {"ink_chemistry": "water-based-resin"},
            "mode": {},
        }
        judges = [Judge(rid, rule) for rid, rule in present["guidance"].items() if "withdrawn" not in rule]
        rules = [judge for judge in judges if judge.looks_at(MODE_SIDE) and judge.holds(MODE_SIDE, case)]
        return {judge.level for judge in rules if "resin ink" in judge.text}

    assert "refuse" in said([coating])
    assert said([coating, "water-based-resin"]) == {"warn"}


def test_plain_vinyl_gets_more_fixing_fluid_than_a_coated_film(present: Records) -> None:
    # It drinks nothing: common practice, no source.
    load: dict[str, list[float]] = {"coated": [], "plain": []}
    for mode in present["print-mode"].values():
        substrate = present["substrate"][mode["substrate"]]
        fluid = mode["ink"]["fixing_fluid_pct"]
        if substrate["base"] == "pvc" and substrate["coating"] == "none":
            load["plain"].append(fluid)
        elif substrate["coating"] == "aqueous" and substrate["construction"] == "film":
            load["coated"].append(fluid)
    assert min(load["plain"]) > max(load["coated"]) >= 0


def test_ink_upon_ink_round_a_white_lays_black_on_both_sides(present: Records) -> None:
    # A sandwich without black has no depth when it is lit: common practice, no source.
    sandwiches = [
        mode
        for mode in present["print-mode"].values()
        if [layer["what"] for layer in mode["layers"]] == ["colour", "white", "colour"]
    ]
    assert sandwiches
    assert all(mode["ink"]["black_limit_pct"] > 0 for mode in sandwiches)


def test_a_re_wet_trial_says_how_damp_it_was_and_how_long_the_print_had_rested(
    modes: list[dict[str, Any]],
) -> None:
    # Damp softens resin ink, a rest hides what a roll wound at once would show: common practice, no source.
    trials = [trial for mode in modes for trial in mode.get("trials", []) if trial["what"] == "re-wet"]
    assert trials
    assert all({"humidity_pct", "after_h"} <= trial.keys() for trial in trials)
