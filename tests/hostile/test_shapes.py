"""A record of the wrong shape, landed or as a draft, never crashes a question or a command: it is told."""

import random
import subprocess
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from registry import canonical
from registry.cli.main import main
from registry.model.kinds import KINDS, Place
from registry.model.sound import is_sound
from tests.hostile.broken import broken
from tests.hostile.conftest import Tried
from tests.hostile.shop import Shop, readers, writers

_EACH = 8
"""So many commands are tried on each broken record."""


pytestmark = pytest.mark.usefixtures("at_harbour_yard")


def asked(shop: Shop, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["-C", str(shop.folder), *arguments])


def crashed(result: Result) -> bool:
    return result.exit_code not in range(4) or "Traceback" in result.stderr


def is_told(result: Result, path: str) -> bool:
    """Whether a question for a broken record says which, and what is the matter."""
    fault = "cannot be read" in result.stderr or "does not fit its schema" in result.stderr
    return result.exit_code in (2, 3) and path in result.stderr and (fault or "line " in result.stderr)


def fits(place: Place, data: bytes) -> bool:
    try:
        return is_sound(place.kind, canonical.read(data))
    except canonical.Unreadable:
        return False


def drawn(shop: Shop, rng: random.Random, count: int) -> Iterator[tuple[str, Place, bytes]]:
    """Yield broken records: of every kind as often as of any other."""
    by_kind = {
        kind: [(path, *each) for path, each in shop.records.items() if each[0].kind == kind] for kind in KINDS
    }
    for number in range(count):
        path, place, good = rng.choice(by_kind[list(KINDS)[number % len(KINDS)]])
        yield path, place, broken(rng, place.kind, good)


def failures(shop: Shop, commands: Sequence[tuple[str, ...]], what: bytes) -> list[str]:
    bad = []
    for command in commands:
        result = asked(shop, *command)
        if crashed(result):
            bad.append(f"{command} upon {what[:3000]!r}: {result.exit_code} {result.stderr[-1500:]}")
    return bad


@pytest.fixture
def others() -> Callable[[str], list[tuple[str, ...]]]:
    """Return the questions to which the record at a path says nothing."""
    rests_on = {
        ("show", "tidecloth/gull-510", "--format", "json"): ("tidecloth", "registry.json"),
        ("history", "lumenfold/dayfilm-210", "--format", "json"): (
            "dayfilm-210/substrate.json",
            "registry.json",
        ),
        ("show", "guidance:heavy-ink"): ("guidance/heavy-ink.json", "registry.json"),
        ("show", "site:mill-lane"): ("mill-lane", "registry.json"),
    }
    return lambda path: [command for command, on in rests_on.items() if not any(each in path for each in on)]


def test_what_landed_of_a_wrong_shape_is_told(
    shop: Shop, tmp_path: Path, times: int, tried: Tried, others: Callable[[str], list[tuple[str, ...]]]
) -> None:
    rng = random.Random(7)
    before = {command: asked(shop, *command).stdout for command in others("")}
    runs, bad = 0, []
    for path, place, data in drawn(shop, rng, 13 * times):
        try:
            commit = shop.branch.land({path: data})
            ask = rng.sample([*readers(shop, place, tmp_path), *writers(shop, place, ())], _EACH)
            bad += failures(shop, ask, data)
            for command in others(path):
                now = (
                    asked(shop, *command)
                    .stdout.replace(commit, shop.good)
                    .replace(commit[:12], shop.good[:12])
                )
                if now != before[command]:
                    bad.append(f"{command} is answered otherwise upon {data[:2000]!r}:\n{now}")
            runs += len(ask) + len(others(path))
            if not fits(place, data):
                runs += 1
                shown = asked(shop, "show", path)
                if not is_told(shown, path):
                    bad.append(f"{path} {data[:2000]!r} is not told: {shown.exit_code} {shown.output}")
        finally:
            shop.mend()
    tried("commands upon a landed record of a wrong shape", runs)
    assert not bad, f"{len(bad)} of {runs}:\n" + "\n".join(bad)


def test_a_draft_of_a_wrong_shape_is_told(shop: Shop, tmp_path: Path, times: int, tried: Tried) -> None:
    rng = random.Random(8)
    runs, bad = 0, []
    for path, place, data in drawn(shop, rng, 13 * times):
        try:
            (shop.folder / path).write_bytes(data)
            ask = rng.sample(readers(shop, place, tmp_path, when="@draft"), _EACH)
            bad += failures(shop, ask, data)
            runs += len(ask)
            if not fits(place, data):
                runs += 1
                shown = asked(shop, "show", f"{path}@draft")
                if not is_told(shown, path):
                    bad.append(f"{path} {data[:2000]!r} is not told: {shown.exit_code} {shown.output}")
        finally:
            shop.mend()
    tried("questions about a draft of a wrong shape", runs)
    assert not bad, f"{len(bad)} of {runs}:\n" + "\n".join(bad)


def test_what_is_committed_and_handed_over_of_a_wrong_shape_is_told(
    shop: Shop, tmp_path: Path, times: int, tried: Tried
) -> None:
    rng = random.Random(9)
    folder = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", str(shop.folder), str(folder)], check=True)
    clone = Shop(folder)
    runs, bad = 0, []
    for number, (path, place, data) in enumerate(drawn(shop, rng, 13 * times)):
        file = tmp_path / f"{number % 50}.json"
        file.write_bytes(data)
        try:
            if rng.random() < 0.5:
                clone.branch.land({path: data})
            ask = rng.sample(writers(clone, place, [file]), _EACH)
            bad += failures(clone, ask, data)
            runs += len(ask)
        finally:
            clone.mend()
    tried("writers upon a record of a wrong shape that was committed or handed over", runs)
    assert not bad, f"{len(bad)} of {runs}:\n" + "\n".join(bad)
