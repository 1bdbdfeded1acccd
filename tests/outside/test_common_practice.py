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
    """How the 64-inch resin printer moves under heavy backlit ink, without pauses."""
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
    assert bare
    assert told == bare
