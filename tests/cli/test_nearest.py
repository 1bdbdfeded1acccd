"""What `litstock nearest` refuses, and what it says to do next."""

import json
import shlex
from pathlib import Path

import pytest

from tests.goldens import printed, run
from tests.lit.lighted import LightedShop, reading


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry with two films, and guidance that refuses solvent coatings."""
    return built(tmp_path_factory.mktemp("nearest") / "registry")


@pytest.fixture
def own_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the same, to be written to."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@example.invalid")
    return built(tmp_path / "registry")


def built(folder: Path) -> Path:
    made = LightedShop(folder)
    with made.series:
        solvent = {"/substrate/coating": {"const": "solvent"}}
        made.put("guidance", "re-wets", when=solvent, level="refuse", text="It re-wets.")
        made.lit_film("lumenfold/day", reading())
        made.lit_film("lumenfold/several", coating="multi")
        made.registry()
    return folder


@pytest.mark.parametrize("word", ["solvent", "Solvent", "SOLVENT"])
def test_case_does_not_get_round_a_refusal(shop: Path, word: str) -> None:
    code, output, _ = printed(shop, "nearest", f"coating={word}", "base=pvc")
    assert code == 1
    assert output.startswith("Refused: no setting here makes this material known to work.")
    assert "lumenfold" not in output


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        (("coating=aquous",), 'did you mean "aqueous"?'),
        (("coating=aqueous", "construction=foo"), 'allowed "film", "sheet"'),
        (("coating=aqueous", "finish=shiny"), 'allowed "matte", "lustre" or "gloss"'),
        (("coating=aqueous", "thickness_um=-5"), "found -5 µm, allowed from 10 to 10000 µm"),
        (("coating=aqueous", "light.transmittance_pct=460"), "found 460 %, allowed from 0 to 100 %"),
        (("coating=aqueous", "title=foo"), "title says nothing of what a substrate is like"),
        (("coating=solvent", "coating=aqueous"), "coating is given twice"),
        (("aqueous",), "write PATH=VALUE, such as coating=aqueous"),
    ],
)
def test_what_no_material_could_be_is_a_question_that_cannot_be_read(
    shop: Path, facts: tuple[str, ...], words: str
) -> None:
    result = run(shop, "nearest", *facts)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr


def test_what_lets_no_light_through_is_answered_plainly(shop: Path) -> None:
    code, output, error = printed(shop, "nearest", "coating=aqueous", "light.transmittance_pct=0")
    assert (code, error) == (1, "")
    assert output.splitlines()[0] == (
        "Nothing to start from: no light goes through it: there is nothing to print that is lit from behind."
    )


def commands(output: str) -> list[list[str]]:
    """Return the commands that an answer ends with, as a shell parts them."""
    told = [line.removeprefix("   next       ").strip() for line in output.splitlines()]
    begun = "\n".join(told[next(n for n, line in enumerate(told) if line.startswith("litstock new")) :])
    lines = begun.replace("\\\n", " ").splitlines()
    return [shlex.split(line)[1:] for line in lines if line.startswith("litstock new")]


def test_the_answer_ends_with_commands_that_can_be_typed(own_shop: Path) -> None:
    facts = ("coating=aqueous", "light.transmittance_pct=46", "adhesive.liner=140 g/m² paper")
    substrate, mode = commands(run(own_shop, "nearest", *facts, "--limit", "1").stdout)
    own = {"MAKER/GRADE": "acme/film", "MAKER/GRADE/MODE": "acme/film/lit", "REASON": "To be tried"}
    own |= {"construction=CONSTRUCTION": "construction=adhesive-film", "base=BASE": "base=polyester"}
    for command in (substrate, mode):
        made = run(own_shop, *(own.get(word, word) for word in command), "--site", "harbour-yard")
        assert made.exit_code == 0, made.stderr
    film, trial = (
        json.loads((own_shop / "records/substrates/acme/film" / name).read_bytes())
        for name in ("substrate.json", "modes/lit.json")
    )
    assert (film["coating"], film["light"], film["adhesive"]["liner"]) == (
        "aqueous",
        {"transmittance_pct": 46},
        "140 g/m² paper",
    )
    assert (trial["status"], trial["layers"][0]["load_pct"]) == ("trial", 210)


def test_every_relative_has_its_commands_in_json(shop: Path) -> None:
    answer = json.loads(run(shop, "nearest", "coating=aqueous", "--format", "json").stdout)
    told = [each["next"][1] for each in answer["relatives"]]
    assert [command.split("--like ")[1].split()[0] for command in told] == [
        "lumenfold/day/mode@r1",
        "lumenfold/several/mode@r1",
    ]


def test_where_nothing_is_to_be_started_no_command_is_given(shop: Path) -> None:
    assert "litstock new" not in run(shop, "nearest", "coating=solvent").stdout
    assert "litstock new" not in run(shop, "nearest", "coating=aqueous", "light.transmittance_pct=0").stdout


def test_a_table_without_rows_says_why_beside_it(shop: Path) -> None:
    refused = run(shop, "nearest", "coating=solvent", "--format", "csv")
    assert (refused.exit_code, refused.stderr) == (1, "refused: It re-wets.\n")
    opaque = run(shop, "nearest", "coating=aqueous", "light.transmittance_pct=0", "--format", "csv")
    assert opaque.stderr.startswith("refused: no light goes through it")
