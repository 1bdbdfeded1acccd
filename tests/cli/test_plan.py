"""`litstock plan`: what an operator reads, what a program reads, and what the shell completes."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import click
import pypdf
import pytest
from click.shell_completion import ShellComplete

from registry.cli.main import main
from registry.cli.plan import command
from registry.contribute.happenings import withdraw
from registry.contribute.prepare import Writer
from tests import small
from tests.goldens import golden, printed, run
from tests.small import Teller, mode_path

JOB = ("--piece", "poster=900x1200x5", "--set", "wall=700x1500x3", "--coverage", "60", "--bleed", "5")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A registry with a sheet whose sizes are recorded, beside what the small one holds."""
    folder = tmp_path_factory.mktemp("plan") / "registry"
    teller = Teller(folder)
    with teller.series:
        small._found(teller)  # noqa: SLF001 (the small registry's first records)
        small._tune(teller)  # noqa: SLF001
        for path, document in _SHEET.items():
            teller.create("2025-12-01", "mill-lane", path, document)
        teller.revise("2025-12-02", "mill-lane", _BOARD_MODE, {"layers": _WHITE}, "White behind the colour")
        writer = Writer("mill-lane", "2025-12-03")
        gone = withdraw(teller, mode_path(f"{_BOARD}/old"), "The print lifted", f"{_BOARD}/white", writer)
        teller.land("2025-12-03", "mill-lane", gone, reason="Withdraw the old mode")
        teller.series.finish()
    return folder


_BOARD = "brackenpane/board"
_BOARD_MODE = mode_path(f"{_BOARD}/white")
_WHITE = [{"what": "colour", "load_pct": 120}, {"what": "white", "load_pct": 100}]
_SHEET: dict[str, dict[str, Any]] = {
    f"records/substrates/{_BOARD}/substrate.json": {
        "title": "Board 3",
        "maker": "brackenpane",
        "grade": "board",
        "construction": "sheet",
        "base": "acrylic",
        "coating": "none",
        "widths_mm": [1250, 2050],
        "sheets": [{"width_mm": 1250, "length_mm": 2500}, {"width_mm": 2050, "length_mm": 3050}],
        "storage": {"acclimatise_h": 24},
        "cautions": ["heavy: two people for a full sheet"],
    },
    **{
        mode_path(f"{_BOARD}/{name}"): {
            "title": "Board, second surface",
            "substrate": _BOARD,
            "printer": "broadreach-64",
            "lighting": "backlit",
            "print_side": "second-surface",
            "mirrored": True,
            "status": "trial",
            "layers": [{"what": "colour", "load_pct": 120}],
            "motion": {"passes": 12, "resolution": "720x720"},
        }
        for name in ("white", "old")
    },
}


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("roll", (small.MODE, *JOB)),
        ("roll-us", (small.MODE, "--piece", "poster=36x48x5", "--coverage", "60", "--units", "us")),
        ("placed", (small.MODE, "--piece", "900x1200", "--for", "concourse-light-box", "--lead-in", "0.5")),
        ("too-wide", (small.MODE, "--piece", "hall=3200x2400", "--piece", "600x400", "--set", "1700x900x2")),
        ("nothing", (small.MODE, "--piece", "3200x2400")),
        ("sheet", (f"{_BOARD}/white", "--piece", "600x800x7", "--coverage", "C=20,M=15,Y=10,K=5")),
        ("unknown", (small.FRONT, "--piece", "600x800x7")),
        ("withdrawn", (f"{_BOARD}/old", "--piece", "600x800")),
    ],
)
def test_what_an_operator_reads(shop: Path, name: str, args: tuple[str, ...]) -> None:
    code, output, error = printed(shop, "plan", *args)
    assert error == ""
    assert f"{output}exit code {code}\n" == golden(f"plan/{name}.txt", f"{output}exit code {code}\n")


@pytest.mark.parametrize("form", ["json", "csv", "markdown"])
def test_what_a_program_reads(shop: Path, form: str) -> None:
    _, output, _ = printed(shop, "plan", small.MODE, *JOB, "--format", form)
    assert output == golden(f"plan/roll.{'md' if form == 'markdown' else form}", output)


def test_every_key_of_the_json_is_named_in_the_help(shop: Path) -> None:
    answer = json.loads(run(shop, "plan", small.MODE, *JOB, "--format", "json").stdout)
    assert command.help is not None
    documented = set(command.help.partition("JSON keys:")[2].replace("(", " ").replace(")", " ").split())
    documented = {word.strip(",.:") for word in documented}
    assert {key for key in answer if key not in documented} == set()


def test_csv_has_a_row_for_each_piece(shop: Path) -> None:
    result = run(shop, "plan", small.MODE, *JOB, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert sorted((row["name"], row["number"]) for row in rows) == [
        *(("poster", str(number)) for number in range(1, 6)),
        *(("wall", str(number)) for number in range(1, 4)),
    ]
    assert [row["turned"] for row in rows if row["set"]] == ["no", "no", "no"]


def test_many_places_are_not_all_told(shop: Path) -> None:
    said = run(shop, "plan", small.MODE, "--piece", "200x200x50").stdout
    assert "10 more: --format csv gives them all" in said
    assert "200x200 41" not in said


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ((small.MODE,), "say what is to be printed"),
        ((small.MODE, "--piece", "wide"), "'wide' is no piece"),
        ((small.MODE, "--piece", "600x800", "--coverage", "300"), "the profile asks for 260 %"),
        ((small.MODE, "--piece", "600x800", "--gap", "-1"), "-1.0 is not in the range 0<=x<=100000"),
        (("no-such/mode/here", "--piece", "600x800"), "there is no print-mode"),
        ((small.MODE, "--piece", "600x800", "--for", "nowhere"), "there is no application or display"),
    ],
)
def test_what_cannot_be_planned_is_refused(shop: Path, args: tuple[str, ...], said: str) -> None:
    result = run(shop, "plan", *args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in result.stderr


def test_a_draft_is_planned_without_advice(shop: Path) -> None:
    file = shop / mode_path(small.MODE)
    before = file.read_bytes()
    file.write_bytes(before.replace(b'"load_pct": 210', b'"load_pct": 190'))
    try:
        answer = json.loads(run(shop, "plan", f"{small.MODE}@draft", *JOB, "--format", "json").stdout)
    finally:
        file.write_bytes(before)
    assert answer["mode"]["draft"] is True
    assert answer["inks"][0]["laid_pct"] == 114
    assert answer["guidance"] == []


def test_modes_and_places_are_completed(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(shop))
    shell = ShellComplete(main, {}, "litstock", "_LITSTOCK_COMPLETE")
    modes = [item.value for item in shell.get_completions(["plan"], "lumen")]
    places = [item.value for item in shell.get_completions(["plan", small.MODE, "--for"], "conc")]
    assert modes == [small.MODE]
    assert places == ["concourse-light-box"]
    assert isinstance(command, click.Command)


def test_a_card_carries_the_plan(shop: Path, tmp_path: Path) -> None:
    file, sheet = tmp_path / "plan.json", tmp_path / "card.pdf"
    file.write_text(run(shop, "plan", small.MODE, *JOB, "--format", "json").stdout)
    assert run(shop, "card", small.MODE, "--plan", str(file), "-o", str(sheet)).exit_code == 0
    said = json.loads(run(shop, "card", small.MODE, "--plan", str(file), "--format", "json").stdout)
    assert said["job"] == json.loads(file.read_text())["in_short"]
    assert {part["label"] for part in said["job"]} == {"pieces", "material", "time", "ink"}
    (page,) = pypdf.PdfReader(io.BytesIO(sheet.read_bytes())).pages
    assert "1067 mm: 10.65 m, 1 roll of 30 m, waste 24.8 %" in page.extract_text().replace("\u00a0", " ")


def test_a_card_of_another_revision_refuses_the_plan(shop: Path, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(run(shop, "plan", small.MODE, *JOB, "--format", "json").stdout)
    result = run(shop, "card", f"{small.MODE}@r4", "--plan", str(file), "--format", "json")
    assert (result.exit_code, result.stdout) == (3, "")
    assert "the plan was made with lumenfold/dayfilm-210/backlit-16 r3" in result.stderr


def test_many_kinds_of_piece_are_counted_in_short(shop: Path) -> None:
    pieces = [word for number in range(6) for word in ("--piece", f"{200 + number}x300x2")]
    answer = json.loads(run(shop, "plan", small.MODE, *pieces, "--format", "json").stdout)
    assert answer["in_short"][0] == {"label": "pieces", "text": "12 of 6 kinds"}
