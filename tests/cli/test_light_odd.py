"""`light`, `find` and `diff` on readings that a shop may have: grey, short, sent light, black as nothing."""

import json
from pathlib import Path

import pytest

from tests.goldens import run
from tests.lit.lighted import BOX as LIT
from tests.lit.lighted import LightedShop, flat_reading, reading

BOX = "harbour-yard/box"
_GREY = {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.01), "g": ((0, 0, 0, 50), 0.1)}
_SENT_LIGHT = {"w": ((255, 255, 255), 0.4), "k": ((0, 0, 0), 0.01), "r": ((255, 0, 0), 0.1)}
_FILMS = {
    "maker/whole": reading(),
    "maker/grey": flat_reading(_GREY),
    "maker/short": flat_reading(_GREY, wavelengths=range(450, 651, 10)),
    "maker/sent-light": flat_reading(_SENT_LIGHT, channels=("RGB_R", "RGB_G", "RGB_B")),
    "maker/no-light": flat_reading({**_GREY, "k": ((0, 0, 0, 100), 0.0)}),
    "maker/only-film": flat_reading({"p": _GREY["p"]}),
    "maker/front": flat_reading(_GREY, "reflection, 45:0"),
    "maker/front-short": flat_reading(_GREY, "reflection, 45:0", wavelengths=range(500, 601, 10)),
    "maker/percent": flat_reading({name: (of, 100 * share) for name, (of, share) in _GREY.items()}),
}
MODES = [f"{film}/mode" for film in _FILMS]


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry of odd readings, a lit box and one whose lamp nobody knows."""
    folder = tmp_path_factory.mktemp("odd") / "registry"
    demands = [{"of": "mode", "setting": "lit.contrast", "at_least": 20, "why": "read from afar"}]
    shop = LightedShop(folder, demands=demands)
    with shop.series:
        for film, text in _FILMS.items():
            shop.lit_film(film, text)
        shop.put("display", "harbour-yard/dark", ambient_lx=100)
        shop.lamp("whole")
        shop.lamp("part", range(450, 651, 10))
        for lamp in ("whole", "part", "none"):
            said = {"illuminant": "LED-B3", "spectrum": f"{lamp}.txt"}
            shop.put("display", f"harbour-yard/{lamp}", **{**LIT, "lamp": said})
        shop.registry()
    return folder


@pytest.mark.parametrize("mode", MODES)
def test_every_reading_is_computed_or_the_reason_said(odd: Path, mode: str) -> None:
    result = run(odd, "light", BOX, mode, "--format", "json")
    told = json.loads(result.stdout)["modes"][0]
    assert result.exit_code in {0, 1}
    computed = {"whole", "grey", "sent-light", "no-light", "only-film"}
    assert bool(told["why_not"]) is (mode.split("/")[1] not in computed)
    assert "Infinity" not in result.stdout
    assert "NaN" not in result.stdout


@pytest.mark.parametrize("mode", MODES)
def test_a_mode_of_which_nothing_can_be_computed_is_told_in_words(odd: Path, mode: str) -> None:
    beside = run(odd, "light", BOX, mode, MODES[0])
    assert beside.exit_code in {0, 1}, beside.output
    assert MODES[0] in beside.stdout


def test_what_cannot_be_computed_has_its_reason(odd: Path) -> None:
    text = " ".join(run(odd, "light", BOX, *MODES).stdout.split())
    assert "450 to 650 nm is too short" in text
    assert "500 to 600 nm is too short" in text
    assert "readings up to 40 are no fractions" in text
    assert "no patch darker than the unprinted one was read" in text
    assert "the darkest patch reads 0" in text


def test_a_demand_on_a_contrast_that_is_not_told_is_never_met(odd: Path) -> None:
    told = json.loads(run(odd, "light", BOX, "maker/only-film/mode", "--format", "json").stdout)
    assert [each["answer"] for each in told["modes"][0]["demands"]] == ["unknown"]


def test_find_judges_every_reading(odd: Path) -> None:
    found = json.loads(run(odd, "find", "--for", BOX, "--limit", "20", "--format", "json").stdout)
    answers = {
        each["mode"].split("/")[1]: of["answer"]
        for each in found["finds"]
        for of in each["requirements"]
        if of["path"] == "lit.contrast"
    }
    assert answers["short"] == answers["only-film"] == answers["front"] == "unknown"
    assert answers["whole"] == answers["no-light"] == "not surely"


@pytest.mark.parametrize("mode", MODES[1:])
def test_diff_tells_of_every_reading_or_why_not(odd: Path, mode: str) -> None:
    result = run(odd, "diff", MODES[0], mode, "--format", "json")
    colour = json.loads(result.stdout)["colour"]
    assert result.exit_code == 1
    assert bool(colour["readings"]) is not bool(colour["untold"])
    assert bool(colour["readings"]) is (mode.split("/")[1] in {"grey", "no-light"})


def test_a_grey_print_is_drawn_though_it_has_no_gamut(odd: Path, tmp_path: Path) -> None:
    path = tmp_path / "grey.svg"
    assert run(odd, "light", BOX, "maker/grey/mode", "-o", str(path)).exit_code == 1
    assert path.read_text(encoding="utf-8").count('<g id="axes_') == 7


def test_in_a_place_of_unknown_lamp_only_what_to_record_is_said(odd: Path, tmp_path: Path) -> None:
    result = run(odd, "light", "harbour-yard/dark", "maker/whole/mode")
    assert "the lamp (lamp.illuminant, or a measured spectrum)" in " ".join(result.stdout.split())
    assert "L* a* b*" not in result.stdout
    drawn = run(odd, "light", "harbour-yard/dark", "maker/whole/mode", "-o", str(tmp_path / "dark.svg"))
    assert drawn.exit_code == 3
    assert "there is nothing to draw" in drawn.stderr


@pytest.mark.parametrize(
    ("display", "lamp", "assumed"),
    [
        ("whole", "measured: whole.txt", False),
        ("part", "CIE LED-B3, the illuminant nearest to the lamps", True),
        ("none", "CIE LED-B3, the illuminant nearest to the lamps", True),
    ],
)
def test_a_measured_lamp_is_taken_where_it_can_be_used(
    odd: Path, display: str, lamp: str, *, assumed: bool
) -> None:
    result = run(odd, "light", f"harbour-yard/{display}", "maker/whole/mode", "--format", "json")
    told = json.loads(result.stdout)
    assert told["lamp"] == lamp
    unread = f"the measured lamp {display}.txt could not be read: CIE illuminant taken"
    assert (unread in told["modes"][0]["assumed"]) is assumed
