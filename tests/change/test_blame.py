"""The revision that gave each present value, against what git itself shows of every state of the file."""

import json
import random
import subprocess
from pathlib import Path
from typing import Any

import pytest

from registry.change.blame import blame
from registry.change.history import history
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from registry.question.registry import Registry, silent
from tests.index.histories import Grower
from tests.index.reconstruction import Reconstruction
from tests.index.slowly import Slow
from tests.small import MODE, mode_path


def blamed(registry: Registry, name: str) -> dict[str, str]:
    return {each.path: each.step.revision.label for each in blame(registry, history(registry, name))}


def test_each_value_is_blamed_on_the_revision_that_gave_it(small_open: Registry) -> None:
    found = blamed(small_open, MODE)
    states = [small_open.document(each.blob) for each in small_open.model.revisions(mode_path(MODE))]
    flat = [shape_of("print-mode").flatten(each) for each in states]
    for path in ("print_side", "layers.colour.load_pct", "heat.cure_c", "status"):
        values = [each[path].value if path in each else None for each in flat]
        since = max(n for n in range(len(values)) if not n or values[n] != values[n - 1])
        assert found[path] == f"r{since + 1}"
    assert len({*found.values()}) > 1
    assert not {"revision", "reason", "recorded.date"} & found.keys()


def test_a_value_that_came_back_was_given_when_it_came_back(own_registry: Path) -> None:
    path = own_registry / mode_path(MODE)
    first = json.loads(path.read_bytes())
    for number, cure in ((5, 91), (6, first["heat"]["cure_c"])):
        now = json.loads(path.read_bytes())
        now["heat"]["cure_c"] = cure
        path.write_text(
            json.dumps(dict(reversed(now.items())) | {"revision": number, "reason": f"{cure} °C"})
        )
        commit(own_registry)
    found = blamed(Registry(own_registry, {}, silent), MODE)
    assert found["heat.cure_c"] == "r6"
    assert "r5" not in found.values()  # it gave nothing that stands, and another order of keys gives nothing


def test_another_name_of_a_setting_gives_nothing(own_registry: Path) -> None:
    path = own_registry / mode_path(MODE)
    now = json.loads(path.read_bytes())
    for number, name in ((5, "overcoat_pct"), (6, "clear_coat_pct")):
        renamed = now | {"ink": now["ink"] | {name: 10}, "revision": number, "reason": name}
        path.write_text(json.dumps(renamed))
        commit(own_registry)
    assert blamed(Registry(own_registry, {}, silent), MODE)["ink.clear_coat_pct"] == "r5"


def commit(folder: Path) -> None:
    who = ["-c", "user.name=specialist", "-c", "user.email=specialist@mill-lane.invalid"]
    subprocess.run(["git", "-C", str(folder), *who, "commit", "-qam", "Revise"], check=True)


@pytest.mark.parametrize("seed", range(4))
def test_blame_is_what_git_shows_of_every_landed_state(tmp_path: Path, seed: int) -> None:
    subprocess.run(["git", "init", "--quiet", "--template=", "-b", "main", str(tmp_path)], check=True)
    grower = Grower(random.Random(seed))
    grower.grow(12)
    tip = grower.write(tmp_path)[-1]
    subprocess.run(["git", "-C", str(tmp_path), "reset", "--quiet", "--hard", tip], check=True)
    (tmp_path / "records/registry.json").touch()
    slow = Slow(tmp_path)
    told = Reconstruction(slow, tip)
    registry = Registry(tmp_path, {}, silent)
    landed: dict[str, list[Any]] = {}
    for each in sorted(told.revisions, key=lambda each: each.n):
        landed.setdefault(each.path, []).append(each)
    looked_at = 0
    for states in landed.values():
        last = states[-1]
        if last.kind not in KINDS or last.status == "D" or last.faulty:
            continue
        shape = shape_of(last.kind)
        given: dict[str, int] = {}
        before: dict[str, Any] = {}
        for state in states:
            if state.status == "D" or state.faulty:
                continue
            now = {path: found.value for path, found in shape.flatten(shown(tmp_path, state.blob)).items()}
            given |= {
                path: state.seq for path, value in now.items() if path not in before or before[path] != value
            }
            before = now
        found = {each.path: each.step.revision.seq for each in blame(registry, history(registry, last.path))}
        expected = {path: seq for path, seq in given.items() if path in before}
        assert found.items() <= expected.items()
        assert len(found) >= len(expected) - 6  # the bookkeeping of revisions, and the schema's address
        looked_at += len(found)
    assert looked_at > 100


def shown(folder: Path, blob: str) -> dict[str, Any]:
    text = subprocess.run(
        ["git", "-C", str(folder), "cat-file", "blob", blob], check=True, capture_output=True
    )
    document: dict[str, Any] = json.loads(text.stdout)
    return document
