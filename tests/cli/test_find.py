"""`litstock find`: what an operator reads, and what a program reads."""

import csv
import io
import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from registry.cli.find import command
from tests import small
from tests.find.shop import SITE, Shop
from tests.goldens import golden, printed, run


@pytest.mark.parametrize(
    ("name", "asked", "exit_code"),
    [
        ("application.txt", ["--for", "ticket-counter"], 0),
        ("display.txt", ["--for", f"{SITE}/hall", "--limit", "1"], 0),
        ("display-us.txt", ["--for", f"{SITE}/hall", "--limit", "1", "--units", "us"], 0),
        ("application.json", ["--for", "ticket-counter", "--limit", "1", "--format", "json"], 0),
        ("application.csv", ["--for", "ticket-counter", "--format", "csv"], 0),
        ("application.md", ["--for", "ticket-counter", "--format", "markdown"], 0),
        ("site.txt", ["bestfilm", "--site", "mill-lane", "--min-width", "1500"], 0),
        ("shared.txt", ["twinfilm", "--where", "light.transmittance_pct>=40", "--limit", "1"], 0),
        ("near.txt", ["--for", "ticket-counter", "--where", "heat.cure_c<=80"], 1),
        ("kept-out.txt", ["gonefilm"], 1),
        ("kept-out.csv", ["gonefilm", "--format", "csv"], 1),
        ("kept-out-refused.txt", ["--for", "ticket-counter", "--coating", "solvent"], 1),
        ("kept-out-near.txt", ["bestfilm", "--where", "layers.colour.load_pct<200"], 1),
        ("near.json", ["darkfilm", "--for", "ticket-counter", "--format", "json"], 1),
        ("near.csv", ["darkfilm", "--for", "ticket-counter", "--format", "csv"], 1),
        ("named.txt", ["darkfilm", "--coating", "none", "--base", "pvc"], 1),
        ("named.json", ["darkfilm", "--coating", "none", "--base", "pvc", "--format", "json"], 1),
        ("nothing.txt", ["--coating", "none", "--base", "pvc"], 1),
        ("nothing.json", ["--coating", "none", "--base", "pvc", "--format", "json"], 1),
        ("words.txt", ["bestfilm", "for", "the", "counter"], 1),
        ("words-found.txt", ["matte", "for", "tickets", "--limit", "1"], 1),
        ("little-words.txt", ["for", "a", "--limit", "1"], 0),
        ("unheard.txt", ["bestflim", "--for", "ticket-counter"], 1),
        ("unheard-near.txt", ["bestflim", f"{SITE}/hall", "--base", "pvc", "--limit", "1"], 1),
        ("unheard-none.txt", ["metallic", "--base", "pvc", "--coating", "none"], 1),
        ("unheard.json", ["bestflim", "--for", "ticket-counter", "--format", "json"], 1),
        ("why-in.txt", ["--for", f"{SITE}/hall", "--why", "lumenfold/best"], 0),
        ("why-out.txt", ["--for", "ticket-counter", "--why", "lumenfold/wet"], 1),
        ("why-withdrawn.txt", ["--why", "lumenfold/gone/mode"], 1),
    ],
)
def test_an_answer_reads_as_it_did(counter: Path, name: str, asked: list[str], exit_code: int) -> None:
    code, output, error = printed(counter, "find", *asked)
    assert (code, error) == (exit_code, "")
    assert output == golden(f"find/{name}", output)


def test_no_line_is_wider_than_the_page(counter: Path) -> None:
    for asked in (["--for", "ticket-counter"], ["--for", "ticket-counter", "--why", "lumenfold/wet"]):
        lines = run(counter, "find", *asked).stdout.splitlines()
        assert max(map(len, lines)) <= 100


def test_the_small_registrys_film_is_found_for_its_light_box(small_registry: Path) -> None:
    answer = json.loads(
        run(small_registry, "find", "--for", "concourse-light-box", "--format", "json").stdout
    )
    (found,) = answer["finds"]
    assert (found["mode"], found["revision"], found["revision_on_trial"]) == (small.MODE, 3, 4)
    assert found["settings"]["mode"]["layers.colour.load_pct"] == 200


def test_every_key_of_the_json_is_documented(counter: Path) -> None:
    asked = (
        ["--for", f"{SITE}/hall", "--why", "lumenfold/wet"],
        ["--why", "lumenfold/dark", "--site", "mill-lane"],
    )
    help_text = " ".join(run(counter, "find", "--help").stdout.split())
    documented = set(re.findall(r"[a-z_0-9]+", help_text.partition("JSON keys:")[2]))
    for each in asked:
        answer = json.loads(run(counter, "find", "darkfilm", *each, "--format", "json").stdout)
        assert _keys(answer) - documented == set()


def _keys(value: Any) -> set[str]:
    if isinstance(value, list):
        return {key for each in value for key in _keys(each)}
    if not isinstance(value, dict):
        return set()
    below = (each for key, each in value.items() if key != "settings")
    return value.keys() | {key for each in below for key in _keys(each)}


def test_json_tells_values_as_they_are_and_us_units_where_asked(counter: Path) -> None:
    asked = ["find", "bestfilm", "--where", "widths_mm>=1500", "--format", "json"]
    metric, us = (
        json.loads(run(counter, *asked, "--units", units).stdout)["finds"][0] for units in ("metric", "us")
    )

    def width(found: dict[str, Any]) -> dict[str, Any]:
        return next(each for each in found["requirements"] if each["path"] == "widths_mm")

    assert (width(metric)["found"], width(metric)["margin"], width(metric)["unit"]) == (
        [1067, 1524],
        24,
        "mm",
    )
    assert width(us)["found"][1] == pytest.approx(60)
    assert (width(us)["unit"], width(us)["margin_in"]) == ("inch", "inch")
    assert metric["settings"] == us["settings"]
    assert metric["settings"]["substrate"]["widths_mm"] == [1067, 1524]
    assert metric["settings"]["mode"]["mirrored"] is False


def test_a_difference_of_temperatures_has_no_offset_and_no_percentage(small_registry: Path) -> None:
    asked = ["find", "--where", "heat.cure_c<=110", "--units", "us", "--format", "json"]
    (found,) = json.loads(run(small_registry, *asked).stdout)["finds"]
    cure = next(each for each in found["requirements"] if each["path"] == "heat.cure_c")
    assert (cure["found"], cure["margin"], cure["margin_in"], cure["margin_pct"]) == ([212], 18, "°F", None)


def test_csv_has_a_row_for_each_find_and_the_same_columns_for_near_misses(counter: Path) -> None:
    finds = list(csv.DictReader(io.StringIO(run(counter, "find", "--format", "csv").stdout)))
    assert [row["place"] for row in finds] == ["1", "2", "2", "4", "5"]
    near = list(csv.DictReader(io.StringIO(run(counter, "find", "--base", "pvc", "--format", "csv").stdout)))
    assert {row["place"] for row in near} == {""}
    assert near[0].keys() == finds[0].keys()


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (["--where", "heat.cure_c"], "is no condition"),
        (["--for", "nowhere"], "there is no application or display 'nowhere'"),
        (["--why", "nothing"], "there is no substrate or print-mode 'nothing'"),
        (["--site", "mil"], "there is no site 'mil'"),
        (["--coating", "aquous"], "'aquous' is not one of 'none', 'aqueous'"),
        (["--pencil", "10H"], "'10H' is not one of '9B', '8B', '7B'"),
        (["--where", "widths_mm.*>=1500"], "has a setting 'widths_mm.*'; did you mean widths_mm"),
        (["--min-width", "0"], "0.0 is not in the range 0<x<=100000"),
        (["--limit", "0"], "0 is not in the range x>=1"),
    ],
)
def test_a_question_that_cannot_be_read_ends_with_2(counter: Path, asked: list[str], message: str) -> None:
    result = run(counter, "find", *asked)
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr


def test_a_pencil_hardness_may_be_typed_in_small_letters(counter: Path) -> None:
    asked = ["find", "bestfilm", "--format", "json", "--pencil"]
    small, capital = (json.loads(run(counter, *asked, typed).stdout) for typed in ("hb", "HB"))
    assert small == capital
    assert small["finds"][0]["requirements"][-1]["wanted"] == "at least HB"


def test_what_the_help_says_of_lists_holds(counter: Path) -> None:
    help_text = " ".join(run(counter, "find", "--help").stdout.split())

    def found(condition: str) -> set[str]:
        result = run(counter, "find", "--where", condition, "--format", "json")
        return {each["substrate"] for each in json.loads(result.stdout)["finds"]}

    assert "layers.*.load_pct>150" in help_text
    assert found("layers.*.load_pct>150") == found("layers.colour.load_pct>150") != set()
    assert "widths_mm>=1500" in help_text
    assert found("widths_mm>=1500") == {"lumenfold/best", "lumenfold/glossy"}  # 1067 and 1524; 2000
    assert found("widths_mm!=1524") == {"lumenfold/one", "lumenfold/two", "lumenfold/glossy"}


def test_choices_are_those_of_the_shipped_schema() -> None:
    from registry.model.shape import shape_of

    choices = {each.name: getattr(each.type, "choices", None) for each in command.params}
    for name in ("construction", "base", "coating", "finish"):
        assert tuple(choices[name] or ()) == shape_of("substrate").settings[name].words
    assert tuple(choices["lighting"] or ()) == shape_of("print-mode").settings["lighting"].words
    assert tuple(choices["status"] or ()) == shape_of("print-mode").settings["status"].words
    assert set(choices["pencil"] or ()) == set(shape_of("substrate").settings["surface.pencil"].words)


def test_a_warm_find_imports_nothing_heavy(counter: Path) -> None:
    run(counter, "find")  # so that the read model is there
    program = (
        "import atexit, sys\n"
        "from registry.cli.main import main\n"
        "atexit.register(lambda: print(*sys.modules, file=sys.stderr))\n"
        "main()\n"
    )
    asked = ["-C", str(counter), "find", "film", "--for", "ticket-counter", "--base", "polyester"]
    ended = subprocess.run(
        [sys.executable, "-c", program, *asked], capture_output=True, text=True, check=False
    )
    assert ended.returncode == 0, ended.stderr
    loaded = {name.partition(".")[0] for name in ended.stderr.split()}
    heavy = {
        "pydantic",
        "jsonschema",
        "jsonschema_rs",
        "git",
        "typst",
        "tabulate",
        "numpy",
        "rfc8785",
        "segno",
    }
    assert loaded & heavy == set()
    assert {"click", "sqlite3", "registry"} <= loaded
    ours = {name for name in ended.stderr.split() if name.startswith("registry.")}
    assert {
        name for name in ours if name.startswith(("registry.check", "registry.card", "registry.change"))
    } == set()
    assert "registry.index.build" not in ours


BLADES = "Cut away from the hand: blades cut, and film edges cut as well. Wear gloves."


@pytest.fixture
def beware(tmp_path: Path) -> Path:
    """A registry whose records caution in the same words as others of them and a warning, or nearly."""
    shop = Shop(tmp_path / "registry")
    with shop.series:
        shop.put("application", "light-box", cautions=["isolate the box", "roll awnings in"])
        shop.put("guidance", "blades", level="warn", when={"/substrate/base": {}}, text=BLADES)
        shop.film(
            "maker/film",
            cautions=[BLADES, "never wear gloves near the rollers", "earth the take-up"],
            mode_cautions=["earth the take-up", "earth the take-up twice", "isolate the box"],
        )
        shop.registry()
    return tmp_path / "registry"


OWN = ("never wear gloves near the rollers", "earth the take-up", "earth the take-up twice")


def test_the_same_words_of_caution_are_said_once_and_others_never_left_out(beware: Path) -> None:
    said = run(beware, "find", "--for", "light-box").stdout
    assert " ".join(said.split()).count(BLADES) == 1
    assert f"   caution    {OWN[0]}\n              {OWN[1]}\n              {OWN[2]}\n\n" in said
    assert "where it hangs\n   caution    isolate the box\n              roll awnings in\n" in said
    assert said.count("isolate the box") == 1


@pytest.mark.parametrize(
    "asked", [("show", "maker/film/mode"), ("plan", "maker/film/mode", "--piece", "100x100")]
)
def test_what_a_warning_says_is_not_said_again_as_a_caution(beware: Path, asked: tuple[str, ...]) -> None:
    said = " ".join(run(beware, *asked).stdout.split())
    assert said.count(BLADES) == 1
    assert all(words in said for words in (*OWN, "isolate the box"))
