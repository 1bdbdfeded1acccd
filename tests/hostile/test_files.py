"""What is handed to a command as a file, or lies among the records, and is none, or never ends."""

import os
import threading
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from registry.cli.main import COMMANDS, main
from registry.question.snapshots import FolderSnapshot
from registry.store.bounded import LARGEST_FILE, LARGEST_HANDED, NotReadable, read_file
from tests.hostile.conftest import Tried
from tests.lit.lighted import LightedShop, reading

_MODE = "maker/film/mode"
_WRITES = ("--reason", "why", "--dry-run", "--site", "harbour-yard")

ASKED: dict[str, tuple[str, ...]] = {
    "measure FILE": ("measure", "{}"),
    "measure --attach": ("measure", "{}", "--mode", _MODE, "--attach", *_WRITES),
    "tune LADDER": ("tune", "{}", "--substrate", "maker/film", "--printer", "wide"),
    "revise --attach": ("revise", _MODE, "--attach", "{}", *_WRITES),
    "revise --patch": ("revise", _MODE, "--patch", "{}", *_WRITES),
    "new --from": ("new", "substrate", "maker/new", "--from", "{}", *_WRITES),
    "new --like": ("new", "substrate", "maker/new", "--like", "{}", *_WRITES),
    "card --plan": ("card", _MODE, "--plan", "{}", "--format", "json"),
}
"""How each command is asked that reads a file."""
_STDIN = ("revise --patch", "new --from", "card --plan")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry with a film that was read."""
    folder = tmp_path_factory.mktemp("files") / "registry"
    made = LightedShop(folder)
    with made.series:
        made.lit_film("maker/film", reading())
        made.registry()
    return folder


def _sparse(path: Path, size: int) -> None:
    with path.open("wb") as file:
        file.truncate(size)


def no_files(folder: Path, ending: str) -> Iterator[Path]:
    """Yield what is no file, or none that may be read, under names with this ending."""
    made = {
        name: folder / f"{name}{ending}" for name in ("pipe", "device", "endless", "folder", "vast", "over")
    }
    os.mkfifo(made["pipe"])
    made["device"].symlink_to("/dev/zero")
    made["endless"].symlink_to(made["pipe"])
    made["folder"].mkdir()
    _sparse(made["vast"], 2 * 2**30)
    _sparse(made["over"], LARGEST_HANDED + 1)
    yield from made.values()
    if ending == ".txt":
        yield from map(Path, ("/dev/zero", "/dev/random"))


def _asked(shop: Path, *args: str, given: bytes | None = None) -> Result:
    result = CliRunner().invoke(main, ["-C", str(shop), *args], input=given)
    assert result.exit_code in {2, 3}, (args, result.exit_code, result.output)
    assert len(result.output) < 2000, args
    return result


def test_every_option_that_reads_a_file_is_asked() -> None:
    found = set()
    for name in COMMANDS:
        command = main.get_command(click.Context(main), name)
        assert command is not None
        for each in command.params:
            assert not isinstance(each.type, click.File), f"{name} {each.name}: it opens a pipe and waits"
            if isinstance(each.type, click.Path) and each.type.exists:
                found.add(f"{name} {each.opts[0] if isinstance(each, click.Option) else each.metavar}")
    assert found == set(ASKED) - {"measure --attach", "new --like"}  # the one by FILE, the other a record too


@pytest.mark.parametrize("way", ASKED)
@pytest.mark.parametrize("ending", [".txt", ".json", ".cxf", ".icc"])
def test_what_is_no_file_is_refused_at_once(
    shop: Path, tmp_path: Path, tried: Tried, way: str, ending: str
) -> None:
    count = 0
    for path in no_files(tmp_path, ending):
        result = _asked(shop, *(part.replace("{}", str(path)) for part in ASKED[way]))
        assert path.name in result.output or way == "new --like", (path, result.output)
        count += 1
    tried("files that are none, or too large", count)


@pytest.mark.parametrize("way", _STDIN)
def test_no_more_is_read_from_stdin_than_a_file_may_hold(shop: Path, way: str) -> None:
    result = _asked(shop, *(part.replace("{}", "-") for part in ASKED[way]), given=bytes(LARGEST_HANDED + 1))
    assert "'<stdin>' is too large: give a file of at most 16 MiB" in result.output


def test_a_file_that_grows_is_read_to_its_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "growing"
    path.write_bytes(bytes(10))
    stated = os.fstat

    def grown(number: int) -> os.stat_result:
        state = stated(number)
        if state.st_size == 10:
            path.write_bytes(bytes(5000))
        return state

    monkeypatch.setattr("registry.store.bounded.os.fstat", grown)
    with pytest.raises(NotReadable, match="too large"):
        read_file(path, 1000)


def test_a_file_just_small_enough_is_read(tmp_path: Path) -> None:
    _sparse(tmp_path / "file", LARGEST_HANDED)
    assert len(read_file(tmp_path / "file")) == LARGEST_HANDED


def test_a_pipe_to_which_someone_writes_is_refused_too(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    writer = threading.Thread(target=lambda: os.close(os.open(pipe, os.O_RDWR)))
    writer.start()
    with pytest.raises(NotReadable, match="device or pipe"):
        read_file(pipe)
    writer.join()


_AMONG = (
    "records/printers/new.json",
    "records/sites/harbour-yard/spectra/new.txt",
    "records/substrates/maker/film/modes/draft.json",
    "records/substrates/maker/film/measurements/new.txt",
    "records/substrates/maker/film/profiles/new.icc",
    "records/pipe",
)


@pytest.mark.parametrize("where", _AMONG)
@pytest.mark.parametrize("what", ["pipe", "vast", "device"])
def test_what_is_no_file_among_the_records_is_told_and_not_read(
    shop: Path, tried: Tried, where: str, what: str
) -> None:
    path = shop / where
    path.parent.mkdir(parents=True, exist_ok=True)
    if what == "pipe":
        os.mkfifo(path)
    elif what == "vast":
        _sparse(path, LARGEST_FILE + 1)
    else:
        path.symlink_to("/dev/zero")
    try:
        for args in (("check",), ("check", "--fix"), ("check", "--base", "HEAD"), ("check", str(path))):
            result = CliRunner().invoke(main, ["-C", str(shop), *args])
            assert result.exit_code == 1, result.output
            assert f"{where}:1:1: error: this is no file" in result.output
            assert "[not-a-file]" in result.output
        for draft in ("maker/film/draft@draft", "printer:new@draft"):
            _asked(shop, "show", draft)
    finally:
        path.unlink()
    tried("what is no file among the records", 7)


def test_a_folder_holds_no_more_than_can_be_read(shop: Path) -> None:
    found = FolderSnapshot(shop)
    assert not found.refused()
    assert all(found.read(path) for path in found.paths())
