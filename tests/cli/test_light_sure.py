"""`litstock light` says how well it knows a number, names first what nobody measured, and what settles it."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.goldens import run
from tests.lit.lighted import BOX, LightedShop, reading

MODE = "lumenfold/day/mode"
MEASURED = {"kind": "measured", "method": "read there", "date": "2025-08-30"}
GUESSED = {"": MEASURED, "/box_reflectance_pct": {"kind": "unknown", "note": "from the paint's sheet"}}
DEMANDS = [{"of": "mode", "setting": "lit.white_cd_m2", "at_least": 450, "at_most": 1100, "why": "as beside"}]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film, and one box three times: measured, guessed, and read with the film on."""
    folder = tmp_path_factory.mktemp("sure") / "registry"
    shop = LightedShop(folder, sources={"": MEASURED}, demands=DEMANDS)
    with shop.series:
        shop.lit_film("lumenfold/day", reading(), sources={"": MEASURED})
        shop.put("display", "harbour-yard/guessed", **BOX, sources=GUESSED, demands=DEMANDS)
        film_on = {"mean_cd_m2": 700, "substrate": "lumenfold/day", "measured": "2025-08-30"}
        shop.put(
            "display", "harbour-yard/settled", **BOX, sources=GUESSED, film_reading=film_on, demands=DEMANDS
        )
        for name, film in (("gone", "lumenfold/gone"), ("unread", "lumenfold/unread")):
            film_on = {"mean_cd_m2": 700, "substrate": film, "measured": "2025-08-30"}
            shop.put("display", f"harbour-yard/{name}", **BOX, film_reading=film_on, demands=DEMANDS)
        shop.put("substrate", "lumenfold/unread")
        shop.registry()
    return folder


def told(folder: Path, place: str) -> tuple[int, dict[str, Any]]:
    result = run(folder, "light", f"harbour-yard/{place}", MODE, "--format", "json")
    return result.exit_code, json.loads(result.stdout)["modes"][0]


def test_what_nobody_measured_is_named_first_with_what_settles_it(folder: Path) -> None:
    said = run(folder, "light", "harbour-yard/guessed", MODE).stdout.partition("in doubt")[2]
    text = " ".join(said.split())
    first = "the box's reflectance was never measured: 15 of the 21 % in doubt of lit white come from it; one"
    assert text.startswith(f"in brackets stands where a number lies with a chance of 95 % {first} reading")
    assert text.index("film_reading") < text.index("the ambient light:")


@pytest.mark.parametrize(
    ("place", "code", "answer", "never"),
    [
        ("box", 0, "met", []),
        ("guessed", 1, "not surely", ["the box's reflectance"]),
        ("settled", 0, "met", []),
    ],
)
def test_one_reading_with_the_film_on_settles_it(
    folder: Path, place: str, code: int, answer: str, never: list[str]
) -> None:
    exit_code, mode = told(folder, place)
    (demand,) = mode["demands"]
    assert (exit_code, demand["answer"], demand["never_measured"]) == (code, answer, never)
    assert demand["chance"] > 0.95
    assert ("never measured" in run(folder, "light", f"harbour-yard/{place}", MODE).stdout) is bool(never)


def test_json_gives_each_number_with_its_interval_and_the_share_of_each_input(folder: Path) -> None:
    mode = told(folder, "guessed")[1]
    for path, known in mode["certainty"].items():
        assert known["value"] == pytest.approx(mode["values"][path], rel=1e-4)
        assert known["low"] < known["value"] < known["high"]
        assert known["standard_uncertainty"] > 0
        assert 0.9 < sum(each["share"] for each in known["shares"]) <= 1.0001
    shares = mode["certainty"]["lit.white_cd_m2"]["shares"]
    assert shares == sorted(shares, key=lambda each: -each["share"])
    unmeasured = {each["input"] for each in shares if not each["measured"]}
    assert unmeasured == {"box-reflectance"}


def test_numbers_have_the_digits_that_they_deserve(folder: Path) -> None:
    lines = run(folder, "light", "harbour-yard/box", MODE).stdout.splitlines()
    (white,) = (each for each in lines if each.startswith("lit white  "))
    assert white.split()[3:] == ["690", "(570", "to", "860)"]


@pytest.mark.parametrize("place", ["gone", "unread"])
def test_a_reading_with_a_film_of_which_nothing_is_known_settles_nothing_and_is_said(
    folder: Path, place: str
) -> None:
    code, mode = told(folder, place)
    assert code == 1
    film = f"what the film that was on lets through and throws back (lumenfold/{place})"
    assert film in [each["why"] for each in mode["unknown"]]
    assert mode["demands"][0]["answer"] != "met"
