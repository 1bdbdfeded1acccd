"""The README says what the program does."""

import os
import shlex
import subprocess
import sys
from pathlib import Path

from tools.update_readme import README, written

ROOT = README.parent


def test_every_command_in_the_readme_prints_what_it_says(tmp_path: Path) -> None:
    text = README.read_text(encoding="utf-8")
    assert written(text, tmp_path).splitlines() == text.splitlines(), "run python tools/update_readme.py"


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, _ = README.read_text(encoding="utf-8").split("\n\n", 2)
    assert title == "# litstock"
    assert all(word in paragraph for word in ("settings", "backlit", "card", "complains"))


def test_the_way_to_a_registry_of_ones_own_can_be_walked(tmp_path: Path) -> None:
    section = (
        README.read_text(encoding="utf-8").partition("## A registry of your own")[2].partition("\n## ")[0]
    )
    lines = [line.strip() for line in section.splitlines() if line.startswith("    litstock ")]
    (tmp_path / "records").symlink_to(ROOT / "records")
    reading = next((ROOT / "records/substrates/lumenfold/dayfilm-210/measurements").glob("*.txt"))
    (tmp_path / "lit-solids.txt").write_bytes(reading.read_bytes())
    identity = {
        f"GIT_{role}_{part}": "us@our-shop.invalid"
        for role in ("AUTHOR", "COMMITTER")
        for part in ("NAME", "EMAIL")
    }
    env = os.environ | identity
    ran = 0
    for line in lines:
        words = shlex.split(line)[1:]
        if "origin/main" in words:
            continue
        command = [sys.executable, "-m", "registry", *words]
        done = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True, check=False)
        assert done.returncode == 0, f"{line}\n{done.stderr}"
        env["LITSTOCK_REGISTRY"] = str(tmp_path / "our-settings")
        ran += 1
    assert ran >= 10
    found = subprocess.run(
        [sys.executable, "-m", "registry", "find", "--for", "light-box"],
        cwd=tmp_path,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "acme/film-1/backlit r4, known good" in found.stdout
