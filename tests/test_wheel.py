"""The built program, its source deleted: one line in a model is a setting everywhere."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from tests import small

ROOT = Path(__file__).parent.parent
LINE = '''    shade_c: float | MISSING = setting("shade of the test", "°C", effect="direct", ge=0, le=90)
    """A setting that only this test knows."""
'''
FOLDERS = ("registry", "schema", "records", "tools")
FILES = ("pyproject.toml", "README.md", "LICENSE")


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that holds the installed wheel of a source with one more setting; the source is gone."""
    source, wheels, installed = (tmp_path_factory.mktemp(name) for name in ("source", "wheels", "installed"))
    for name in FOLDERS:
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in FILES:
        shutil.copy(ROOT / name, source / name)
    model = source / "registry/model/mode.py"
    text = model.read_text(encoding="utf-8")
    model.write_text(text.replace("    dwell_s:", f"{LINE}    dwell_s:", 1), encoding="utf-8")
    run(source, "tools/export_schemas.py", path=source)
    run(source, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(wheels), path=source)
    (wheel,) = wheels.glob("*.whl")
    pip = ("-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-deps", "--no-compile")
    run(source.parent, *pip, "--target", str(installed), str(wheel), path=installed)
    shutil.rmtree(source)
    return installed


def run(folder: Path, *arguments: str, path: Path, code: int = 0, more: Mapping[str, str] = {}) -> str:
    env = os.environ | {"PYTHONPATH": str(path), "PYTHONSAFEPATH": "1"} | dict(more)
    done = subprocess.run(
        [sys.executable, *arguments], cwd=folder, env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == code, done.stderr[-2000:]
    return done.stdout


@pytest.fixture(scope="module")
def tuned(program: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A registry in which one mode has the new setting."""
    folder = tmp_path_factory.mktemp("tuned") / "registry"
    small.build(folder)
    revise = ("revise", small.MODE, "--set", "heat.shade_c=41", "--reason", "Shade", "--site", "mill-lane")
    identity = {
        f"GIT_{role}_{part}": "specialist@mill-lane.invalid"
        for role in ("AUTHOR", "COMMITTER")
        for part in ("NAME", "EMAIL")
    }
    run(folder, "-m", "registry", *revise, path=program, more=identity)
    return folder


def litstock(
    folder: Path,
    program: Path,
    *arguments: str,
    code: int = 0,
    more: Mapping[str, str] = {},
) -> str:
    return run(folder, "-m", "registry", *arguments, path=program, code=code, more=more)


def test_the_wheel_carries_schemas_records_and_the_story(program: Path, tmp_path: Path) -> None:
    shipped = program / "registry" / "shipped"
    assert (shipped / "records" / "registry.json").is_file()
    assert "shade_c" in (shipped / "schema" / "print-mode.json").read_text(encoding="utf-8")
    assert run(tmp_path, "-c", "import registry; print(registry.__file__)", path=program).startswith(
        str(program)
    )


def test_the_wheel_typesets_a_card(tuned: Path, program: Path, tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    litstock(tuned, program, "card", small.MODE, "-o", str(file))
    assert file.read_bytes().startswith(b"%PDF-")


def test_a_new_setting_is_searched(tuned: Path, program: Path) -> None:
    found = json.loads(
        litstock(
            tuned, program, "find", "--status", "trial", "--where", "heat.shade_c>=40", "--format", "json"
        )
    )
    assert [each["mode"] for each in found["finds"]] == [small.MODE]


def test_a_new_setting_is_compared_with_label_unit_and_effect(tuned: Path, program: Path) -> None:
    said = litstock(tuned, program, "diff", f"{small.MODE}@r4", small.MODE, code=1)
    (line,) = [line for line in said.splitlines() if "shade of the test" in line]
    assert line.split() == ["shade", "of", "the", "test", "unknown", "41", "°C", "direct", "model"]
    answer = json.loads(
        litstock(tuned, program, "diff", f"{small.MODE}@r4", small.MODE, "--format", "json", code=1)
    )
    (change,) = [each for each in answer["changes"] if each["path"] == "heat.shade_c"]
    assert (change["after"], change["unit"], change["effect"]) == (41, "°C", "direct")


def test_a_new_setting_is_shown_under_its_path(tuned: Path, program: Path) -> None:
    assert "shade of the test" in litstock(tuned, program, "show", small.MODE)
    assert "heat.shade_c" in litstock(tuned, program, "show", small.MODE, "--format", "json")


def test_a_new_setting_stands_on_the_card_in_its_group(tuned: Path, program: Path) -> None:
    card = json.loads(litstock(tuned, program, "card", f"{small.MODE}@r5", "--format", "json"))
    (heat,) = [group for group in card["settings"] if group["label"] == "heat"]
    assert ("shade of the test", "41") in [
        (each["label"], each["text"].split()[0]) for each in heat["entries"]
    ]


def test_a_new_setting_is_completed(tuned: Path, program: Path) -> None:
    typed = {
        "_LITSTOCK_COMPLETE": "bash_complete",
        "COMP_WORDS": "litstock find --where heat.sh",
        "COMP_CWORD": "3",
    }
    assert "heat.shade_c" in litstock(tuned, program, more=typed)


def test_a_new_setting_is_checked(tuned: Path, program: Path) -> None:
    path = tuned / small.mode_path(small.MODE)
    before = path.read_bytes()
    path.write_bytes(before.replace(b'"shade_c": 41', b'"shade_c": 410'))
    said = litstock(tuned, program, "check", code=1)
    path.write_bytes(before)
    (line,) = [line for line in said.splitlines() if "/heat/shade_c" in line]
    assert "'shade of the test' is out of range: found 410 °C, allowed from 0 to 90 °C" in line
