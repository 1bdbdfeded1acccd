"""The readings are what the stated model makes of the stated numbers, within the stated noise."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from registry.light.tables import table
from registry.model.kinds import place_at
from registry.shipped import shipped
from tests.demo.telling import Landed, Records
from tools import simulate_lamp
from tools.cgats import header, rows
from tools.colour_tables import D50_WEIGHTS, DENSITY_PRODUCTS, WAVELENGTHS_NM
from tools.simulate_ladder import ladder_in
from tools.simulate_ladder import spectra_of as ladder_spectra_of
from tools.simulate_ladder import text_of as ladder_text_of
from tools.simulate_measurement import PATCHES, sample_in, spectra_of, text_of
from tools.simulated_ink import density, lab, xyz

TOP = Path(__file__).parents[2]
LADDERS = sorted(shipped("records").rglob("measurements/*-ladder-*.txt"))
FILES = sorted(set(shipped("records").rglob("measurements/*.txt")) - set(LADDERS))
LAMPS = sorted(shipped("records").rglob("spectra/*.txt"))
NAMES = [path.stem for path in FILES]
COLUMNS = [f"SPECTRAL_NM{wavelength}" for wavelength in WAVELENGTHS_NM]


def spectra_in(text: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    return np.array([[float(row[column]) for column in COLUMNS] for row in rows(text)])


def test_there_are_readings_of_both_kinds() -> None:
    kinds = [sample_in(path.read_text(encoding="utf-8")).kind for path in FILES]
    assert len(FILES) >= 12
    assert kinds.count("reflection") >= 2


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_a_reading_is_made_again_byte_for_byte_from_its_own_header(path: Path) -> None:
    text = path.read_bytes().decode()
    assert text_of(sample_in(text)) == text


@pytest.mark.parametrize("path", LADDERS, ids=[path.stem for path in LADDERS])
def test_a_ladder_is_made_again_and_lies_within_its_noise(path: Path) -> None:
    text = path.read_bytes().decode()
    ladder = ladder_in(text)
    assert ladder_text_of(ladder) == text
    deviation = np.log10(ladder_spectra_of(ladder) / spectra_in(text)) / ladder.noise_density
    assert np.abs(deviation).max() < 5
    assert deviation.std() == pytest.approx(1, abs=0.1)


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_a_reading_lies_within_its_stated_noise_of_the_model(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    sample = sample_in(text)
    deviation = np.log10(spectra_of(sample) / spectra_in(text)) / sample.noise_density
    assert deviation.shape == (len(PATCHES), len(WAVELENGTHS_NM))
    assert np.abs(deviation).max() < 5
    assert deviation.std() == pytest.approx(1, abs=0.1)
    assert deviation.mean() == pytest.approx(0, abs=0.15)


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_lab_xyz_and_densities_follow_from_the_spectra_in_the_file(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    spectra, table = spectra_in(text), rows(text)
    tristimulus = xyz(spectra)
    labs = lab(tristimulus)
    for number, row in enumerate(table):
        assert [float(row[f"XYZ_{axis}"]) for axis in "XYZ"] == pytest.approx(tristimulus[number], abs=0.002)
        assert [float(row[f"LAB_{axis}"]) for axis in "LAB"] == pytest.approx(labs[number], abs=0.02)
    for response in DENSITY_PRODUCTS:
        found = [float(row[response]) for row in table]
        assert found == pytest.approx(density(spectra, response), abs=0.001)


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_a_header_says_how_it_was_read_and_that_nothing_was_measured(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    said = header(text)
    assert text.startswith("CGATS.17\n")
    assert said["ORIGINATOR"] == "litstock demo, simulated"
    assert "simulated" in said["REMARK"]
    assert f"seed {said['SIMULATED_SEED']}" in said["REMARK"]
    assert "10 nm spectral product, not ISO 5-3 conforming" in said["WEIGHTING_FUNCTION"]
    if said["SIMULATED_KIND"] == "transmission":
        assert said["MEASUREMENT_GEOMETRY"].startswith("transmission, 0:d, ")
        assert "to the source" in said["MEASUREMENT_GEOMETRY"]
        assert "perfect transmitter under D50" in said["COMPUTATIONAL_PARAMETER"]
    else:
        assert said["MEASUREMENT_GEOMETRY"].startswith("reflection, 45:0, ")
        assert "ISO 13655 M1" in said["MEASUREMENT_SOURCE"]
        assert said["SAMPLE_BACKING"]


def test_every_reading_has_its_own_seed() -> None:
    seeds = [header(path.read_text(encoding="utf-8"))["SIMULATED_SEED"] for path in (*FILES, *LAMPS)]
    assert len(set(seeds)) == len(seeds)


def test_a_reading_was_made_of_the_mode_and_the_substrate_as_they_stood(history: tuple[Landed, ...]) -> None:
    checked = 0
    for landed in history:
        named = (
            landed.document.get("evidence", {}).get("measurement") if landed.kind == "print-mode" else None
        )
        if not named or named == (landed.before or {}).get("evidence", {}).get("measurement"):
            continue
        folder = landed.path.rpartition("/modes/")[0]
        sample = sample_in(landed.told.state[f"{folder}/measurements/{named['file']}"].decode())
        layers = landed.document["layers"]
        load = sum(layer["load_pct"] for layer in layers if layer["what"] == "colour")
        assert sample.load_pct == load, landed.path
        assert sample.created <= landed.document["recorded"]["date"]
        assert landed.id in sample.print_conditions
        through = landed.records("substrate", history)[landed.document["substrate"]]["light"][
            "transmittance_pct"
        ]
        if sample.kind == "transmission" and len(layers) == 1:
            assert sample.white_pct == through, landed.path
        elif sample.kind == "transmission":
            assert sample.white_pct < through, "a white layer takes light away"
        checked += 1
    assert checked >= 20


def test_more_load_makes_denser_solids_of_the_same_film() -> None:
    folder = shipped("records") / "substrates/lumenfold/dayfilm-210/measurements"
    loads, reds = [], []
    for name in ("2025-05", "2025-09", "2026-10"):
        text = (folder / f"dayfilm-210-marshwing-{name}.txt").read_text(encoding="utf-8")
        patches = {row["SAMPLE_NAME"]: row for row in rows(text)}
        loads.append(sample_in(text).load_pct)
        reds.append(float(patches["C100"]["D_RED"]) - float(patches["paper"]["D_RED"]))
    assert loads == [180, 200, 210]
    assert reds == sorted(reds)
    assert reds[1] / reds[0] == pytest.approx(200 / 180, abs=0.02)


def test_lamp_spectra_are_made_again_byte_for_byte_and_stay_within_their_noise(present: Records) -> None:
    assert len(LAMPS) == 2
    for path in LAMPS:
        text = path.read_bytes().decode()
        said = header(text)
        assert simulate_lamp.text_of(said) == text
        clean = simulate_lamp.power(float(said["SIMULATED_BLUE"]), float(said["SIMULATED_PHOSPHOR_NM"]))
        found = [float(rows(text)[0][column]) for column in COLUMNS]
        assert found == pytest.approx(clean, rel=0.0101, abs=0.001)
    display = present["display"]["harbour-yard/concourse-a"]
    assert display["lamp"]["spectrum"] in {path.name for path in LAMPS}


def test_the_tables_of_the_model_are_those_of_their_sources() -> None:
    # White of CIE D50 and the 2° observer: ASTM E308 gives X 96.422, Y 100, Z 82.521.
    assert D50_WEIGHTS.sum(axis=0) == pytest.approx((96.422, 100, 82.521), abs=0.01)
    # L* of a flat half is 76.0693, of a tenth 37.8424: exact by the definition of CIE 15.
    assert lab(xyz(np.full(36, 0.5))) == pytest.approx((76.0693, 0, 0), abs=1e-4)
    assert lab(xyz(np.full(36, 0.1)))[0] == pytest.approx(37.8424, abs=1e-4)
    # Peaks of Status A (ISO 5-3:1995): red 620, green 530, blue 440 nm; of the visual response 570 nm.
    held = table("density-products")
    peaks = {
        name: held.grid.wavelengths_nm[held.column(of).argmax()] for name, of in DENSITY_PRODUCTS.items()
    }
    assert peaks == {"D_VIS": 570, "D_RED": 620, "D_GREEN": 530, "D_BLUE": 440}
    for response in DENSITY_PRODUCTS:
        assert density(np.full(36, 0.01), response) == pytest.approx(2)


def test_the_tool_makes_a_reading_like_another_and_says_which_file_was_touched(tmp_path: Path) -> None:
    made = tmp_path / "made.txt"
    tool = [sys.executable, str(TOP / "tools/simulate_measurement.py")]
    subprocess.run([*tool, "--like", str(FILES[0]), "--seed", "5", "-o", str(made)], check=True)
    assert sample_in(made.read_text(encoding="utf-8")).seed == 5
    assert subprocess.run([*tool, "--again", "--check", str(made)], check=False).returncode == 0
    made.write_text(made.read_text(encoding="utf-8").replace('SEED\t"5"', 'SEED\t"6"'), encoding="utf-8")
    checked = subprocess.run([*tool, "--again", "--check", str(made)], check=False, capture_output=True)
    assert (checked.returncode, str(made).encode() in checked.stdout) == (1, True)
    subprocess.run([*tool, "--again", str(made)], check=True, capture_output=True)
    assert subprocess.run([*tool, "--again", "--check", str(made)], check=False).returncode == 0


def test_attachments_of_the_story_all_land_once() -> None:
    from registry.demo.story import FOLDER

    kept = {path.name for path in (FOLDER / "attachments").iterdir() if not path.name.startswith(".")}
    landed = [
        change["attachment"]
        for path in (FOLDER / "start.json", *sorted((FOLDER / "steps").iterdir()))
        for commit in json.loads(path.read_bytes())["commits"]
        for where, change in commit["files"].items()
        if "attachment" in change and where.endswith(f"/{change['attachment']}") and place_at(where)
    ]
    assert sorted(landed) == sorted(kept)
