"""`litstock light`, `nearest` and `tune`, and what `find` and `diff` compute of light."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.goldens import golden, printed, run
from tests.lit.lighted import BOX as BOX_RECORD
from tests.lit.lighted import LightedShop, reading
from tests.tune.ladders import ladder_text

_DEMANDS: list[dict[str, Any]] = [
    {"of": "mode", "setting": "lit.contrast", "at_least": 25, "why": "departure times are read from afar"},
    {"of": "mode", "setting": "lit.white_cd_m2", "at_least": 600, "at_most": 800, "why": "as its neighbours"},
]
_BRIGHT = {"transmittance_pct": 56, "reflectance_back_pct": 36, "scattering": "diffusing"}


@pytest.fixture(scope="module")
def lighted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry with a lit box, three films with readings and one without."""
    folder = tmp_path_factory.mktemp("lighted") / "registry"
    shop = LightedShop(folder, demands=_DEMANDS)
    with shop.series:
        shop.lit_film("lumenfold/day", reading(), base="polyester", thickness_um=210, finish="matte")
        shop.lit_film("lumenfold/pale", reading(56, 240, seed=12), light=_BRIGHT, thickness_um=175)
        shop.lit_film("lumenfold/thin", reading(38, 60, seed=13))
        shop.lit_film("lumenfold/unread")
        front = reading(85, 100, seed=14, kind="reflection", geometry="reflection, 45:0")
        light = {"transmittance_pct": 7, "reflectance_back_pct": 85}
        shop.lit_film("lumenfold/poster", front, light=light, mode_lighting="frontlit")
        shop.put("display", "harbour-yard/other", **{**BOX_RECORD, "lamp": {"illuminant": "LED-B5"}})
        shop.registry()
    return folder


@pytest.fixture(scope="module")
def ladder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a ladder's file: ink that pools, with noise."""
    path = tmp_path_factory.mktemp("ladder") / "ladder.txt"
    path.write_text(ladder_text(pooling_pct=520.0, noise_density=0.004, solid_density=0.78), encoding="utf-8")
    return path


BOX, DAY, PALE = "harbour-yard/box", "lumenfold/day/mode", "lumenfold/pale/mode"


@pytest.mark.parametrize(
    ("name", "args", "exit_code"),
    [
        ("one.txt", (BOX, DAY), 1),
        ("two.txt", (BOX, DAY, PALE), 1),
        ("two.csv", (BOX, DAY, PALE, "--format", "csv"), 1),
        ("two.md", (BOX, DAY, PALE, "--format", "markdown"), 1),
        ("one.json", (BOX, DAY, "--format", "json"), 1),
        ("beside.txt", (BOX, DAY, "--beside", "harbour-yard/other"), 1),
        ("beside.json", (BOX, DAY, "--beside", "harbour-yard/other", "--format", "json"), 1),
        ("front-lit.txt", (BOX, "lumenfold/poster/mode"), 1),
        ("unread.txt", (BOX, "lumenfold/unread/mode"), 1),
        ("tried.txt", (BOX, DAY, "--lamp", "LED-B1", "--ambient", "2000", "--panel", "behind:47:40"), 1),
        ("application.txt", ("light-box", DAY, "--lamp", "D65", "--luminance", "900", "--ambient", "100"), 0),
    ],
)
def test_what_light_prints(lighted: Path, name: str, args: tuple[str, ...], exit_code: int) -> None:
    code, output, error = printed(lighted, "light", *args)
    assert (code, error) == (exit_code, "")
    assert output == golden(f"light/{name}", output)


@pytest.mark.parametrize(
    "panel", ["beside:90", "front", "front:0", "front:120", "behind:60:50", "front:x", "front:90:-2"]
)
def test_a_panel_that_cannot_be_is_refused(lighted: Path, panel: str) -> None:
    result = run(lighted, "light", BOX, DAY, "--panel", panel)
    assert result.exit_code == 2
    assert "is no panel: write none, front:92" in result.stderr


def test_a_front_lit_place_has_nothing_to_compute(tmp_path: Path) -> None:
    shop = LightedShop(tmp_path / "registry", lighting="frontlit")
    with shop.series:
        shop.lit_film("lumenfold/day", reading())
        shop.registry()
    result = run(tmp_path / "registry", "light", BOX, DAY)
    assert result.exit_code == 3
    assert "is front-lit" in result.stderr


@pytest.mark.parametrize("ending", ["pdf", "png", "svg"])
def test_a_drawing_is_the_same_bytes_again(lighted: Path, tmp_path: Path, ending: str) -> None:
    drawn = []
    for number in (1, 2):
        path = tmp_path / f"{number}.{ending}"
        assert run(lighted, "light", BOX, DAY, PALE, "-o", str(path)).exit_code == 1
        drawn.append(path.read_bytes())
    assert drawn[0] == drawn[1]
    assert len(drawn[0]) > 5000


def test_a_drawing_of_another_kind_is_refused(lighted: Path, tmp_path: Path) -> None:
    result = run(lighted, "light", BOX, DAY, "-o", str(tmp_path / "light.doc"))
    assert result.exit_code == 2
    assert "ends in none of .pdf, .png, .svg" in result.stderr


def test_find_judges_what_a_display_demands_of_the_lit_print(lighted: Path) -> None:
    code, output, _ = printed(lighted, "find", "--for", BOX)
    assert code == 0
    assert output == golden("light/find.txt", output)


def test_find_leaves_what_has_no_readings_unknown_and_never_met(lighted: Path) -> None:
    answer = json.loads(run(lighted, "find", "--for", BOX, "--format", "json").stdout)
    told = {
        each["mode"]: {
            of["path"]: of["answer"] for of in each["requirements"] if "lit." in (of["path"] or "")
        }
        for each in answer["finds"]
    }
    assert told == {
        "lumenfold/day/mode": {"lit.contrast": "not surely", "lit.white_cd_m2": "not surely"},
        "lumenfold/pale/mode": {"lit.contrast": "not surely", "lit.white_cd_m2": "not surely"},
        "lumenfold/unread/mode": {"lit.contrast": "unknown", "lit.white_cd_m2": "unknown"},
    }


def test_a_condition_on_the_lit_print_needs_its_place(lighted: Path) -> None:
    result = run(lighted, "find", "--where", "lit.contrast>=20")
    assert result.exit_code == 2
    assert "name it with --for" in result.stderr
    found = json.loads(
        run(lighted, "find", "--for", BOX, "--where", "lit.contrast>=35", "--format", "json").stdout
    )
    assert [each["mode"] for each in found["finds"]] == ["lumenfold/pale/mode"]


@pytest.mark.parametrize(
    ("name", "args", "exit_code"),
    [
        ("near.txt", ("coating=aqueous", "base=polyester", "light.transmittance_pct=46"), 0),
        ("near.json", ("coating=aqueous", "base=polyester", "--format", "json"), 0),
        ("near.csv", ("coating=aqueous", "--format", "csv"), 0),
        ("none.txt", ("coating=solvent",), 1),
    ],
)
def test_what_nearest_prints(lighted: Path, name: str, args: tuple[str, ...], exit_code: int) -> None:
    code, output, error = printed(lighted, "nearest", *args)
    assert (code, error) == (exit_code, "")
    assert output == golden(f"nearest/{name}", output)


@pytest.mark.parametrize(
    ("name", "args", "exit_code"),
    [
        ("stops.txt", (), 0),
        ("density.txt", ("--density", "1.4"), 0),
        ("contrast.txt", ("--for", BOX, "--contrast", "25"), 0),
        ("too-deep.txt", ("--density", "2.5"), 1),
        ("stops.json", ("--format", "json"), 0),
        ("stops.csv", ("--format", "csv"), 0),
    ],
)
def test_what_tune_prints(
    lighted: Path, ladder: Path, name: str, args: tuple[str, ...], exit_code: int
) -> None:
    code, output, error = printed(
        lighted, "tune", str(ladder), "--substrate", "lumenfold/day", "--printer", "wide", *args
    )
    assert (code, error) == (exit_code, "")
    assert output == golden(f"tune/{name}", output)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--contrast", "20"), "name it with --for"),
        (("--for", BOX, "--contrast", "5000"), "no black reaches a contrast of 5000:1"),
        (("--draft", "lumenfold/day/tuned"), "needs its reason"),
        (
            ("--draft", "lumenfold/pale/tuned", "--reason", "x", "--site", "harbour-yard"),
            "begins with its substrate",
        ),
    ],
)
def test_what_tune_cannot_answer_is_refused(
    lighted: Path, ladder: Path, args: tuple[str, ...], says: str
) -> None:
    result = run(lighted, "tune", str(ladder), "--substrate", "lumenfold/day", "--printer", "wide", *args)
    assert result.exit_code == 2
    assert says in result.stderr


def test_nothing_is_tuned_for_a_withdrawn_material_or_one_that_guidance_refuses(
    tmp_path: Path, ladder: Path
) -> None:
    shop = LightedShop(tmp_path / "registry")
    with shop.series:
        refuses = {
            "when": {"/substrate/coating": {"const": "solvent"}},
            "level": "refuse",
            "text": "It re-wets.",
        }
        shop.put("guidance", "re-wets", **refuses)
        shop.lit_film("lumenfold/day", reading(), coating="solvent")
        shop.lit_film("lumenfold/old", reading(), withdrawn={"date": "2025-10-02", "reason": "it curls"})
        shop.registry()
    for film, says in (("lumenfold/day", "It re-wets."), ("lumenfold/old", "is withdrawn since 2025-10-02")):
        asked = ("tune", str(ladder), "--substrate", film, "--printer", "wide")
        result = run(tmp_path / "registry", *asked)
        assert result.exit_code == 1
        assert result.stdout.startswith("Refused: nothing of this is to be printed.")
        assert says in result.stdout
        draft = ("--draft", f"{film}/x", "--reason", "x", "--site", "harbour-yard", "--resolution", "720x720")
        assert run(tmp_path / "registry", *asked, *draft).exit_code == 2


def test_a_ladder_is_drawn(lighted: Path, ladder: Path, tmp_path: Path) -> None:
    path = tmp_path / "ladder.svg"
    asked = ("--substrate", "lumenfold/day", "--printer", "wide", "-o", str(path))
    assert run(lighted, "tune", str(ladder), *asked).exit_code == 0
    text = path.read_text(encoding="utf-8")
    assert text.count('<g id="axes_') == 4


@pytest.fixture
def writable(tmp_path: Path) -> Path:
    """Return a registry to write a draft into."""
    shop = LightedShop(tmp_path / "registry")
    with shop.series:
        shop.lit_film("lumenfold/day", reading())
        shop.registry()
    return tmp_path / "registry"


def test_a_draft_is_a_mode_on_trial_with_its_ladder_beside_it(
    writable: Path, ladder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{name}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{name}_EMAIL", "specialist@example.invalid")
    asked = ["--substrate", "lumenfold/day", "--printer", "wide", "--density", "1.4", "--format", "json"]
    draft = ["--draft", "lumenfold/day/tuned", "--like", DAY, "--reason", "Tuned from the ladder"]
    result = run(writable, "tune", str(ladder), *asked, *draft, "--site", "harbour-yard")
    assert result.exit_code == 0, result.stderr
    assert json.loads(result.stdout)["landed"] is True
    shown = json.loads(run(writable, "show", "lumenfold/day/tuned", "--format", "json").stdout)
    text = json.dumps(shown)
    assert '"trial"' in text
    assert '"ladder.txt"' in text
    document = json.loads(
        (writable / "records/substrates/lumenfold/day/modes/tuned.json").read_text(encoding="utf-8")
    )
    tuned = json.loads(run(writable, "tune", str(ladder), *asked).stdout)
    assert document["layers"][0]["load_pct"] == round(tuned["load_pct"])
    assert document["sources"]["/layers"]["kind"] == "computed"
    assert "ladder.txt: K reaches a density of 1.40" in document["sources"]["/layers"]["note"]
    assert document["motion"]["passes"] == tuned["passes"]


def test_a_dry_run_of_a_draft_writes_nothing(writable: Path, ladder: Path) -> None:
    asked = ["--substrate", "lumenfold/day", "--printer", "wide", "--site", "harbour-yard", "--dry-run"]
    asked += ["--resolution", "720x720"]
    result = run(writable, "tune", str(ladder), *asked, "--draft", "lumenfold/day/tuned", "--reason", "A try")
    assert result.exit_code == 0, result.stderr
    assert not (writable / "records/substrates/lumenfold/day/modes/tuned.json").exists()
    assert not (writable / "records/substrates/lumenfold/day/measurements/ladder.txt").exists()


def test_diff_says_how_far_apart_the_readings_of_two_modes_lie(lighted: Path) -> None:
    code, output, _ = printed(lighted, "diff", DAY, PALE)
    assert code == 1
    assert output == golden("light/diff.txt", output)
    colour = json.loads(run(lighted, "diff", DAY, PALE, "--format", "json").stdout)["colour"]
    assert 0 < colour["readings"]["mean"] < colour["readings"]["p95"] <= colour["readings"]["largest"]
    assert colour["readings"]["patches"] == 20
    assert json.loads(run(lighted, "diff", DAY, DAY, "--format", "json").stdout)["colour"] is None
