"""`litstock measure` as people and programs read it."""

import csv
import hashlib
import io
import json
import os
import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from registry.measurement import Measurement, Table, read_cgats, write_cgats
from tests.goldens import golden, printed, run
from tests.measurement.made import PRINTED, TRANSMISSION, film
from tests.small import FILM, FRONT, MODE, mode_path
from tests.tune.ladders import ladder_text

CXF = Path(__file__).parents[1] / "measurement/print.cxf"
REFLECTION = TRANSMISSION | {
    "MEASUREMENT_GEOMETRY": "reflection, 45:0",
    "MEASUREMENT_SOURCE": "ISO 13655 M1",
    "SAMPLE_BACKING": "white",
}


LADDER = read_cgats(ladder_text(loads="100 200 300").encode())
NAMED = Table(
    {
        "MEASUREMENT_GEOMETRY": ("reflection, 45:0",),
        "TABLE_NAME": ("proof",),
        **dict.fromkeys(TRANSMISSION, ("",)),
    }
    | {"MEASUREMENT_GEOMETRY": ("reflection, 45:0",)},
    ("SAMPLE_ID", "XYZ_X", "XYZ_Y", "XYZ_Z"),
    ({"SAMPLE_ID": "1", "XYZ_X": 90.0, "XYZ_Y": 93.0, "XYZ_Z": 78.0},),
)
"""A second table, of one patch."""


def kept(folder: Path, measurement: Measurement, name: str = "lit.txt") -> str:
    path = folder / name
    path.write_bytes(write_cgats(measurement))
    return str(path)


@pytest.fixture
def registry(own_registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A registry whose mode has a reference measurement in transmission."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "colour specialist, mill-lane")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "colour@mill-lane.invalid")
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(own_registry))
    monkeypatch.setenv("LITSTOCK_SITE", "mill-lane")
    attached = attach(kept(tmp_path, film(), "reference.txt"))
    assert attached.exit_code == 0, attached.output
    return own_registry


def attach(file: str, *more: str, mode: str = MODE) -> Result:
    reason = f"Read lit: {Path(file).name}"
    arguments = ["measure", file, "--mode", mode, "--attach", "--reason", reason, *more]
    return CliRunner().invoke(main, arguments, catch_exceptions=False)


def document(folder: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads((folder / mode_path(MODE)).read_bytes())
    return found


@pytest.mark.parametrize(
    ("name", "measurement", "exit_code"),
    [
        ("film.txt", film((*PRINTED, PRINTED[4])), 0),
        ("reflection.txt", film(header=REFLECTION | {"WEIGHTING_FUNCTION": "Status T"}), 0),
        ("several.txt", replace(film(), tables=(film().tables[0], NAMED)), 0),
        ("doubtful.txt", film(PRINTED[1:], {}, white=1.4), 1),
    ],
)
def test_what_measure_prints_of_a_file(
    tmp_path: Path, small_registry: Path, name: str, measurement: Measurement, exit_code: int
) -> None:
    code, output, error = printed(small_registry, "measure", kept(tmp_path, measurement))
    assert (code, error) == (exit_code, "")
    assert output == golden(f"measure/{name}", output)


def test_what_measure_prints_of_a_ladder(
    tmp_path: Path, small_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, output, error = printed(small_registry, "measure", Path(kept(tmp_path, LADDER)).name)
    assert (code, error) == (0, "")
    assert output == golden("measure/ladder.txt", output)


def test_what_measure_prints_of_cxf(small_registry: Path) -> None:
    code, output, error = printed(small_registry, "measure", str(CXF))
    assert (code, error) == (1, "")
    assert output == golden("measure/cxf.txt", output)


@pytest.mark.parametrize(
    ("name", "form"), [("against.txt", "text"), ("against.csv", "csv"), ("against.md", "markdown")]
)
def test_what_measure_prints_against_a_mode(registry: Path, tmp_path: Path, name: str, form: str) -> None:
    file = kept(tmp_path, film(PRINTED[:-1], thinner=0.95))
    code, output, error = printed(registry, "measure", file, "--mode", f"{MODE}@r5", "--format", form)
    assert (code, error) == (0, "")
    assert output == golden(f"measure/{name}", output)


def test_a_file_needs_no_registry_to_be_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert CliRunner().invoke(main, ["measure", kept(tmp_path, film())]).exit_code == 0


def test_what_was_read_otherwise_is_told_but_not_compared(registry: Path, tmp_path: Path) -> None:
    file = kept(tmp_path, film(header=REFLECTION))
    result = run(registry, "measure", file, "--mode", f"{MODE}@r5")
    assert result.exit_code == 1
    assert "refused    this file was read in reflection, the reference in transmission" in result.stdout
    table = run(registry, "measure", file, "--mode", f"{MODE}@r5", "--format", "csv")
    assert table.stderr == "not compared: this file was read in reflection, the reference in transmission\n"
    assert "de00" not in table.stdout


def test_a_mode_without_a_reference_is_said_to_have_none(registry: Path, tmp_path: Path) -> None:
    result = run(registry, "measure", kept(tmp_path, film()), "--mode", FRONT)
    assert result.exit_code == 1
    assert "refused    the mode has no reference measurement: attach one" in result.stdout


def test_of_a_mode_on_trial_the_last_known_good_revision_is_the_measure(
    registry: Path, tmp_path: Path
) -> None:
    result = run(registry, "measure", kept(tmp_path, film()), "--mode", MODE)
    assert f"against {MODE} r3, known-good; r5 is on trial" in result.stdout


def test_a_file_that_is_no_measurement_is_refused_with_every_fault(
    tmp_path: Path, small_registry: Path
) -> None:
    file = tmp_path / "cut.txt"
    file.write_text("CGATS.17\nBEGIN_DATA_FORMAT\nLAB_L LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1 x\n")
    result = run(small_registry, "measure", str(file))
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr.splitlines() == [
        f"litstock: {file} is no measurement:",
        "  the file ends without END_DATA; it may have been cut off",
    ]
    told = json.loads(run(small_registry, "measure", str(file), "--format", "json").stdout)
    assert (told["exit_code"], "cut off" in told["refused"]) == (3, True)


def test_of_very_many_faults_the_first_are_told(tmp_path: Path, small_registry: Path) -> None:
    file = tmp_path / "commas.txt"
    file.write_bytes(write_cgats(film(PRINTED * 300)).replace(b".", b","))
    result = run(small_registry, "measure", str(file))
    first, *faults, more = result.stderr.splitlines()
    assert (result.exit_code, first) == (3, f"litstock: {file} is no measurement:")
    assert len(faults) == 20
    assert faults[0].endswith("which is no number; write a point before decimals")
    assert more.strip().endswith(" more")


def test_spectra_in_percent_that_do_not_say_so_are_a_fault_with_its_remedy(
    registry: Path, tmp_path: Path
) -> None:
    (table,) = film().tables
    text = write_cgats(film()).decode()
    percent = text
    for each in table.sets:
        for name in table.fields:
            if name.startswith("SPECTRAL"):
                percent = percent.replace(f"\t{each[name]!r}", f"\t{float(each[name]) * 100!r}")
    file = tmp_path / "percent.txt"
    file.write_text(percent)
    result = run(registry, "measure", str(file))
    assert result.exit_code == 1
    assert 'write SPECTRAL_NORM "100"' in " ".join(result.stdout.split())
    assert attach(str(file)).exit_code == 3
    file.write_text(
        percent.replace("\nMEASUREMENT_GEOMETRY", '\nSPECTRAL_NORM "100"\nMEASUREMENT_GEOMETRY', 1)
    )
    assert run(registry, "measure", str(file), "--mode", f"{MODE}@r5").exit_code == 0


def test_json_has_the_keys_that_the_help_names(registry: Path, tmp_path: Path) -> None:
    result = run(registry, "measure", kept(tmp_path, film()), "--mode", f"{MODE}@r5", "--format", "json")
    answer = json.loads(result.stdout)
    words = set(re.findall("[a-z_0-9]+", run(registry, "measure", "--help").stdout))
    table = answer["tables"][0]
    keys = [*answer, *table, *table["solids"][0], *answer["against"]]
    assert [key for key in keys if key not in words] == []
    assert (answer["against"]["matched"], answer["against"]["mean"]) == (len(PRINTED), 0.0)
    assert answer["sha256"] == hashlib.sha256((tmp_path / "lit.txt").read_bytes()).hexdigest()


def test_csv_has_one_row_a_patch(small_registry: Path, tmp_path: Path) -> None:
    output = run(small_registry, "measure", kept(tmp_path, film()), "--format", "csv").stdout
    rows = list(csv.DictReader(io.StringIO(output)))
    assert [row["patch"] for row in rows] == ["-".join(map(str, device)) for device in PRINTED]
    assert rows[4]["K_pct"] == "100"


def test_attaching_copies_hashes_raises_the_revision_and_commits(registry: Path, tmp_path: Path) -> None:
    before = document(registry)
    file = kept(tmp_path, film(thinner=0.9), "Lit print_2.ti3")
    result = attach(file)
    place = f"records/substrates/{FILM}/measurements/lit-print-2.txt"
    assert result.stdout.split() == [place, mode_path(MODE)]
    assert (registry / place).read_bytes() == Path(file).read_bytes()
    after = document(registry)
    assert after["revision"] == int(str(before["revision"])) + 1
    assert after["evidence"] == {
        "measurement": {
            "file": "lit-print-2.txt",
            "sha256": hashlib.sha256(Path(file).read_bytes()).hexdigest(),
        },
        "sample": "drawer 3",
    }
    log = subprocess.run(
        ["git", "-C", str(registry), "log", "-1", "--format=%an %s"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert log.stdout == f"colour specialist, mill-lane Revise {MODE}: Read lit: Lit print_2.ti3\n"


def test_a_dry_run_writes_nothing(registry: Path, tmp_path: Path) -> None:
    before = document(registry)
    result = attach(kept(tmp_path, film(thinner=0.9)), "--dry-run")
    assert (result.exit_code, "dry run: nothing was written" in result.stderr) == (0, True)
    assert document(registry) == before


def test_cxf_is_kept_as_text_that_names_it(registry: Path, tmp_path: Path) -> None:
    file = tmp_path / "lit.cxf"
    wide = " ".join(["0.4"] * 36)
    text = CXF.read_text().replace("0.4 0.45 0.5", wide).replace("0.01 0.01 0.01", " ".join(["0.01"] * 36))
    file.write_text(text)
    result = attach(str(file), "--format", "json")
    path = json.loads(result.stdout)["files"][0]
    written = (registry / path).read_text(encoding="utf-8")
    assert path.endswith("/measurements/lit.txt")
    assert f"lit.cxf, CxF3 (ISO 17972-1), SHA-256 {hashlib.sha256(file.read_bytes()).hexdigest()}" in written
    assert run(registry, "measure", str(file), "--mode", f"{MODE}@r6").stdout.count("mean 0.00") == 1


def test_doubts_are_said_while_attaching(registry: Path, tmp_path: Path) -> None:  # noqa: ARG001 (attach uses it)
    result = attach(kept(tmp_path, film(PRINTED[1:])))
    assert result.exit_code == 0
    assert "doubtful: no unprinted patch: nobody can tell what the material does by itself" in result.stderr


@pytest.mark.parametrize(
    ("header", "said"),
    [
        (REFLECTION, "was read in reflection"),
        ({}, "says neither: write it into MEASUREMENT_GEOMETRY"),
    ],
)
def test_what_is_not_read_in_transmission_is_no_reference_of_a_backlit_mode(
    registry: Path, tmp_path: Path, header: dict[str, str], said: str
) -> None:
    before = document(registry)
    file = kept(tmp_path, film(header=header))
    result = attach(file)
    assert result.exit_code == 2
    assert f"the reference of a backlit mode is read in transmission, and {file} {said}" in result.stderr
    assert document(registry) == before


def test_a_ladder_is_no_reference_and_may_be_kept_as_the_modes_ladder(registry: Path, tmp_path: Path) -> None:
    before, file = document(registry), kept(tmp_path, LADDER, "loads.txt")
    for refused in (attach(file), run(registry, "revise", MODE, "--attach", file, "--reason", "Loads")):
        assert refused.exit_code == 2
        assert "loads.txt is a ladder of loads, and a reference shows what one load prints" in refused.stderr
        assert f"litstock measure FILE --mode {MODE} --attach --as ladder" in refused.stderr
    assert document(registry) == before
    assert attach(file, "--as", "ladder").exit_code == 0
    evidence = document(registry)["evidence"]
    assert isinstance(evidence, dict)
    assert evidence["ladder"]["file"] == "loads.txt"
    assert evidence["measurement"]["file"] == "reference.txt"


def test_a_chart_is_no_ladder_nor_is_one_of_reflection_of_use(registry: Path, tmp_path: Path) -> None:
    before = document(registry)
    chart = attach(kept(tmp_path, film(thinner=0.9)), "--as", "ladder")
    assert (chart.exit_code, "no ladder of loads: one holds INK, LOAD_PCT" in chart.stderr) == (2, True)
    (table,) = LADDER.tables
    header = {**table.header, "MEASUREMENT_GEOMETRY": ("reflection, 45:0",)}
    back = attach(kept(tmp_path, Measurement("CGATS.17", (replace(table, header=header),))), "--as", "ladder")
    assert (back.exit_code, "a ladder of loads is read in transmission" in back.stderr) == (2, True)
    assert document(registry) == before


def test_the_reference_itself_is_known_as_such(registry: Path, tmp_path: Path) -> None:
    asked = ("--mode", f"{MODE}@r5")
    same, other = (
        run(registry, "measure", kept(tmp_path, each, "anew.txt"), *asked)
        for each in (film(), film(thinner=0.95))
    )
    said = "this is the reference itself: nothing else was compared with it"
    assert (same.exit_code, said in same.stdout, said in other.stdout) == (0, True, False)
    assert "may differ" not in same.stdout
    told = run(registry, "measure", kept(tmp_path, film()), *asked, "--format", "json")
    assert json.loads(told.stdout)["against"]["itself"] is True


def test_a_ladder_is_compared_with_no_reference(registry: Path, tmp_path: Path) -> None:
    result = run(registry, "measure", kept(tmp_path, LADDER), "--mode", f"{MODE}@r5")
    assert result.exit_code == 1
    assert "refused    this file is a ladder of loads" in result.stdout


def test_a_front_lit_mode_is_read_in_reflection(registry: Path, tmp_path: Path) -> None:  # noqa: ARG001
    assert attach(kept(tmp_path, film(header=REFLECTION, thinner=0.9)), mode=FRONT).exit_code == 0
    assert attach(kept(tmp_path, film(), "through.txt"), mode=FRONT).exit_code == 2


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--attach", "--mode", MODE), "--attach and --reason TEXT go together"),
        (("--reason", "Read lit", "--mode", MODE), "--attach and --reason TEXT go together"),
        (("--attach", "--reason", "Read lit"), "say which mode the measurement is the reference of"),
        (("--as", "ladder"), "--as ladder says as what --attach records the file"),
    ],
)
def test_attaching_takes_a_mode_and_a_reason(
    small_registry: Path, tmp_path: Path, more: tuple[str, ...], said: str
) -> None:
    result = run(small_registry, "measure", kept(tmp_path, film()), *more)
    assert (result.exit_code, said in result.stderr) == (2, True)


def test_the_mode_is_completed(small_registry: Path) -> None:
    words = f"litstock -C {small_registry} measure lit.txt --mode lumen"
    environment = os.environ | {"_LITSTOCK_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": "6"}
    done = subprocess.run(["litstock"], env=environment, capture_output=True, text=True, check=False)
    assert MODE in done.stdout


def test_a_reference_that_was_altered_is_not_compared_with(registry: Path, tmp_path: Path) -> None:
    path = registry / mode_path(MODE)
    path.write_bytes(
        re.sub(rb'"sha256": "[0-9a-f]{64}"', b'"sha256": "' + b"0" * 64 + b'"', path.read_bytes())
    )
    for command in (("add", "records"), ("commit", "-q", "-m", "Touch")):
        subprocess.run(["git", "-C", str(registry), *command], check=True)
    result = run(registry, "measure", kept(tmp_path, film()), "--mode", f"{MODE}@draft")
    assert (
        result.exit_code,
        "refused    reference.txt has not landed as the mode names it" in result.stdout,
    ) == (1, True)


def test_a_reference_whose_spectra_cannot_be_told_is_not_compared_with(
    registry: Path, tmp_path: Path
) -> None:
    (table,) = film().tables
    percent = Table({**table.header, "SPECTRAL_NORM": ("7",)}, table.fields, table.sets)
    file = kept(tmp_path, Measurement("CGATS.17", (percent,)))
    result = run(registry, "measure", file, "--mode", f"{MODE}@r5")
    assert result.exit_code == 1
    assert "refused    SPECTRAL_NORM is '7'; write 1 for fractions or 100 for percent" in result.stdout


@pytest.mark.parametrize(
    ("name", "place"), [("A b_C.icc", "profiles/a-b-c.icc"), ("Lit.TXT", "measurements/lit.txt")]
)
def test_what_revise_attaches_is_known_by_its_ending(
    registry: Path, tmp_path: Path, name: str, place: str
) -> None:
    file = tmp_path / name
    icc = next(Path(__file__).parents[2].glob("records/substrates/*/*/profiles/*.icc"))
    file.write_bytes(icc.read_bytes() if name.endswith("icc") else write_cgats(film(thinner=0.7)))
    more = ("revise", MODE, "--attach", str(file), "--reason", f"Add {name}", "--dry-run")
    assert place in run(registry, *more).stdout
    other = tmp_path / "lit.pdf"
    other.write_bytes(b"x")
    refused = run(registry, "revise", MODE, "--attach", str(other), "--reason", "Add it")
    assert "'lit.pdf' is neither a measurement (.txt, .cxf) nor a profile (.icc)" in refused.stderr
    assert (
        "only a print mode takes attachments"
        in run(registry, "revise", FILM, "--attach", str(file), "--reason", "Add it").stderr
    )
