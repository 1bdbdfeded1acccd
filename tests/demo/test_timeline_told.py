"""The long life of the demo's chief mode on one axis of time."""

import json
from pathlib import Path

from registry.store.repository import Repository
from tests.goldens import run

MODE = "lumenfold/dayfilm-210/marshwing-backlit"


def test_a_timeline_is_one_screen_and_full_is_all(replayed: Repository) -> None:
    lines = run(replayed.root, "history", MODE, "--timeline").stdout.splitlines()
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 100
    entries = json.loads(run(replayed.root, "history", MODE, "--timeline", "--format", "json").stdout)[
        "entries"
    ]
    full = run(replayed.root, "history", MODE, "--timeline", "--full").stdout
    assert len(entries) > len(lines)
    assert sum(line.startswith("  20") for line in full.splitlines()) == len(entries)


def test_a_timeline_is_drawn_with_a_lane_for_each_sort_of_entry(replayed: Repository, tmp_path: Path) -> None:
    path = tmp_path / "time.svg"
    asked = ("history", MODE, "--timeline", "-o", str(path))
    assert f"drawn in {path}" in run(replayed.root, *asked).stdout
    drawn = path.read_text(encoding="utf-8")
    entries = json.loads(run(replayed.root, *asked, "--format", "json").stdout)["entries"]
    for what in {each["what"] for each in entries}:
        assert f"<!-- {what} -->" in drawn
    first = drawn
    run(replayed.root, *asked)
    assert path.read_text(encoding="utf-8") == first
