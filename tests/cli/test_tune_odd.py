"""`litstock tune` on ladders and places that a shop may have: incomplete, of a clear film, of no lamp."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.goldens import run
from tests.lit.lighted import LightedShop, reading
from tests.tune.ladders import ladder_text


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry with a lit box, one whose lamp nobody knows, and films of which one is impossible."""
    folder = tmp_path_factory.mktemp("tune") / "registry"
    made = LightedShop(folder)
    light = {"transmittance_pct": 38, "reflectance_back_pct": 55}
    with made.series:
        made.lit_film("maker/film", reading())
        made.lit_film("maker/mirror", light={**light, "reflectance_back_pct": 80, "scattering": "diffusing"})
        made.lit_film("maker/clear", light={**light, "scattering": "clear"})
        twice = [{"what": "colour", "load_pct": 110}, {"what": "white", "load_pct": 60}]
        made.lit_film("maker/two-faces", mode_layers=[*twice, twice[0]])
        made.put("display", "harbour-yard/dark", ambient_lx=100)
        made.registry()
    return folder


@pytest.fixture
def narrow(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a registry to write into: two coloured channels, and a mode that holds all layers to 300 %."""
    for name in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{name}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{name}_EMAIL", "specialist@example.invalid")
    made = LightedShop(tmp_path / "registry")
    channels = [{"name": name, "role": "colour"} for name in ("cyan", "magenta")]
    channels.append({"name": "white", "role": "white"})
    with made.series:
        made.put("printer", "two", channels=channels, passes=[16, 20], resolutions=["720x720"])
        made.lit_film(
            "maker/film",
            reading(),
            mode_printer="two",
            mode_ink={"profile_max_pct": 200, "coverage_limit_pct": 340},
            mode_layers=[
                {"what": "colour", "load_pct": 100},
                {"what": "white", "load_pct": 60, "passes": 18},
            ],
        )
        made.registry()
    return tmp_path / "registry"


def drafted(shop: Path, tmp_path: Path, text: str, *args: str) -> tuple[dict[str, Any], str]:
    """Tune into a draft, which has to land, and return it and what was said to beware of."""
    path = tmp_path / "ladder.txt"
    path.write_text(text, encoding="utf-8")
    asked = ("--substrate", "maker/film", "--printer", "two", "--passes", "16", *args)
    result = run(shop, "tune", str(path), *asked, *_DRAFT)
    assert result.exit_code == 0, result.stderr
    modes = shop / "records/substrates/maker/film/modes"
    return json.loads((modes / "new.json").read_text(encoding="utf-8")), result.stderr


def test_a_draft_after_a_mode_keeps_to_the_coverage_limit_copied(narrow: Path, tmp_path: Path) -> None:
    document, said = drafted(narrow, tmp_path, ladder_text(), "--like", "maker/film/mode")
    assert [layer["load_pct"] for layer in document["layers"]] == [140, 60]  # 2 × 140 + 60 = 340
    assert document["layers"][1]["passes"] == 16
    assert "held at 140 % instead of 190 %" in said
    assert document["sources"]["/layers"]["note"].startswith(
        "ladder.txt: held at 140 % by the coverage limit"
    )


def test_a_draft_holds_inks_back_by_the_names_of_the_printers_channels(narrow: Path, tmp_path: Path) -> None:
    """Cyan and yellow stop early; the printer has no channel of yellow's name."""
    text = re.sub(
        r"(?m)^(\d+\t\S+\t)([CY])(\t\d+\t16\tyes\t\S+\t)(\S+)",
        lambda line: f"{line[1]}{line[2]}{line[3]}{float(line[4]) * 2:g}",
        ladder_text(mottles_pct=12.0),
    )
    document, _ = drafted(narrow, tmp_path, text)
    limits = document["ink"]["channels"]
    assert [each["channel"] for each in limits] == ["cyan"]
    assert limits[0]["limit_pct"] < 100
    assert document["sources"]["/ink/channels"]["kind"] == "computed"
    assert document["mirrored"] is False
    assert document["print_side"] == "first-surface"


@pytest.mark.parametrize(("low", "high", "doubted"), [(150, 200, False), (100, 150, True), (195, 230, True)])
def test_a_load_outside_what_the_printer_usually_lays_is_doubted(
    tmp_path: Path, low: int, high: int, *, doubted: bool
) -> None:
    made = LightedShop(tmp_path / "registry")
    with made.series:
        made.put("printer", "usual", backlit_load_pct={"low_pct": low, "high_pct": high}, passes=[16])
        made.lit_film("maker/film", reading())
        made.registry()
    path = tmp_path / "ladder.txt"
    path.write_text(ladder_text(), encoding="utf-8")
    asked = ("tune", str(path), "--substrate", "maker/film", "--printer", "usual", "--passes", "16")
    said = " ".join(run(tmp_path / "registry", *asked).stdout.split())
    assert "Load 190 % in 16 passes" in said
    words = f"the load lies outside the printer's usual backlit range, {low} to {high} %"
    assert (words in said) is doubted


def test_a_ladder_in_passes_that_the_printer_lacks_is_doubted(narrow: Path, tmp_path: Path) -> None:
    path = tmp_path / "ladder.txt"
    path.write_text(ladder_text(), encoding="utf-8")
    asked = ("tune", str(path), "--substrate", "maker/film", "--printer", "two")
    words = "the printer offers no 12 passes: 16, 20"
    assert words in " ".join(run(narrow, *asked, "--passes", "12").stdout.split())
    assert "the printer offers no" not in run(narrow, *asked).stdout


def without(text: str, pattern: str) -> str:
    """Return a ladder without the sets that match."""
    kept = [line for line in text.splitlines() if not re.search(pattern, line)]
    sets = sum(bool(re.match(r"\d+\t", line)) for line in kept)
    return re.sub(r"NUMBER_OF_SETS\s+\d+", f"NUMBER_OF_SETS\t{sets}", "\n".join(kept) + "\n")


def tune(shop: Path, tmp_path: Path, text: str, *args: str, film: str = "maker/film") -> tuple[int, str, str]:
    path = tmp_path / "ladder.txt"
    path.write_text(text, encoding="utf-8")
    result = run(shop, "tune", str(path), "--substrate", film, "--printer", "wide", *args)
    return result.exit_code, " ".join(result.stdout.split()), result.stderr


@pytest.mark.parametrize(("white_pct", "doubted"), [(38.0, False), (41.5, False), (42.5, True), (33.0, True)])
def test_a_ladder_of_another_film_is_doubted(
    shop: Path, tmp_path: Path, white_pct: float, *, doubted: bool
) -> None:
    _, output, _ = tune(shop, tmp_path, ladder_text(white_pct=white_pct), "--passes", "16")
    words = f"the film reads {white_pct:.1f} % under the lamp, its record says 38 %: is it this film?"
    assert (words in output) is doubted


@pytest.mark.parametrize(
    ("pattern", "says"),
    [
        (r"\tK\t\d+\t16\t", "K was read at 0 loads in 16 passes"),
        (r"\tCMY\t(1[6-9]|2)\d+\t16\t", "overprints were tried up to 140 % only"),
        (r"\tCMY\t", "no overprint was tried"),
        (r"\tC\t(?!60|80|100)\d+\t16\t", "chroma and hue of C: 3 loads are too few"),
    ],
)
def test_a_ladder_that_lacks_something_is_answered_and_drawn(
    shop: Path, tmp_path: Path, pattern: str, says: str
) -> None:
    drawn = tmp_path / "ladder.svg"
    code, output, _ = tune(
        shop, tmp_path, without(ladder_text(), pattern), "--passes", "16", "-o", str(drawn)
    )
    assert code == 0
    assert says in output
    assert drawn.stat().st_size > 5000


def test_an_ink_too_dark_to_read_is_answered_and_drawn(shop: Path, tmp_path: Path) -> None:
    lines = [
        "\t".join([*line.split("\t")[:8], *["0"] * 36]) if re.search(r"\tK\t2[0-8]0\t16\t", line) else line
        for line in ladder_text().splitlines()
    ]
    drawn = tmp_path / "ladder.svg"
    code, output, _ = tune(shop, tmp_path, "\n".join([*lines, ""]), "--passes", "16", "-o", str(drawn))
    assert code == 0
    assert "K reads as black itself from 200 % on" in output


_DRAFT = ("--draft", "maker/film/new", "--reason", "x", "--site", "mill-lane")
_CONTRAST = ("--for", "harbour-yard/box", "--contrast", "20")


@pytest.mark.parametrize(
    ("film", "args", "says"),
    [
        ("maker/film", ("--resolution", "720"), "'720' is no resolution"),
        ("maker/mirror", _CONTRAST, "add up to at most 1"),
        ("maker/clear", _CONTRAST, "one sees through it"),
        ("maker/film", ("--for", "harbour-yard/dark", "--contrast", "20"), "not known of"),
        ("maker/film", (*_DRAFT, "--like", "maker/two-faces/mode"), "lays colour twice"),
    ],
)
def test_what_cannot_be_answered_is_refused_with_the_reason(
    shop: Path, tmp_path: Path, film: str, args: tuple[str, ...], says: str
) -> None:
    code, _, error = tune(shop, tmp_path, ladder_text(), *args, film=film)
    assert code == 2
    assert says in error


def test_an_unknown_lamp_is_said(shop: Path, tmp_path: Path) -> None:
    code, output, _ = tune(shop, tmp_path, ladder_text(), "--for", "harbour-yard/dark")
    assert code == 0
    assert "is unknown: colours are computed under D50" in output
    assert "stand against the lit white, lamp D50" in output


def test_a_slip_at_a_light_load_is_pointed_at(shop: Path, tmp_path: Path) -> None:
    text = re.sub(r"(\tC\t80\t16\t)yes", r"\1no", ladder_text())
    code, output, _ = tune(shop, tmp_path, text, "--passes", "16")
    assert code == 0
    assert (
        "Load 57 % in 16 passes: 5 % under 60 %, the heaviest that stayed dry (at 80 % C did not dry)"
        in output
    )
    assert "C did not dry at 80 % in 16 passes, and yet stood at 280 %: look at that line" in output
