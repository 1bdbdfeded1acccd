import errno
import fcntl
import os
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.store import turn as turns
from registry.store import worktree
from registry.store.repository import Repository
from registry.store.turn import MARK, Busy, Under, turn, under_way
from registry.store.worktree import IndexBusy
from registry.store.write import Signature, commit

Run = Callable[..., str]


def _refused(*_: object) -> None:
    raise OSError(errno.ENOTSUP, "not supported")


STEP = Under("refs/heads/main", "a", "b")


def test_whoever_holds_the_turn_goes_on_and_another_waits_in_vain(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turns, "PATIENCE_S", 0.05)
    caught: list[Busy] = []

    def other() -> None:
        try:
            with turn(tmp_path):
                pass
        except Busy as busy:
            caught.append(busy)

    with turn(tmp_path) as held, turn(tmp_path) as again:
        assert again is held
        thread = threading.Thread(target=other)
        thread.start()
        thread.join()
    assert str(tmp_path) in str(caught[0])
    assert "wait until it has ended" in str(caught[0])
    with turn(tmp_path, wait=False):
        pass
    assert list(tmp_path.iterdir()) == []


def test_what_is_told_stays_until_it_is_done(tmp_path: Path) -> None:
    with turn(tmp_path) as held:
        held.tell(STEP)
    assert under_way(tmp_path) == STEP
    with turn(tmp_path) as held:
        assert held.left() == STEP
        held.done()
    assert under_way(tmp_path) is None
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("data", [b"", b"{", b"[1]", b"null", b"\xff\xfe", b"\0" * 30])
def test_a_note_that_is_none_tells_of_nothing(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "litstock-writing").write_bytes(data)
    assert under_way(tmp_path) is None
    with turn(tmp_path) as held:
        assert held.left() is None


def test_where_the_file_system_knows_neither_locks_nor_links_a_commit_is_made_all_the_same(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    held: list[bytes] = []

    plain = os.replace
    monkeypatch.setattr(fcntl, "flock", _refused)
    monkeypatch.setattr(os, "link", _refused)
    monkeypatch.setattr(
        Path,
        "replace",
        lambda self, to: (held.append((registry / ".git/index.lock").read_bytes()), plain(self, to))[1],  # type: ignore[func-returns-value]
    )
    commit(Repository(registry), {"records/b.json": b"1\n"}, "plain", author=signature)
    assert set(held) == {MARK}
    assert git(registry, "status", "--porcelain") == ""
    assert not list((registry / ".git").glob("*.lock"))
    assert not list((registry / ".git").glob("litstock-*"))


def test_a_lock_that_a_litstock_took_is_only_taken_over_where_none_can_live(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    lock = registry / ".git/index.lock"
    lock.write_bytes(MARK)
    monkeypatch.setattr(worktree, "PATIENCE_S", 0.05)
    with monkeypatch.context() as patched:
        patched.setattr(fcntl, "flock", _refused)
        with pytest.raises(IndexBusy):
            commit(Repository(registry), {"records/b.json": b"1\n"}, "late", author=signature)
    assert lock.read_bytes() == MARK
    commit(Repository(registry), {"records/b.json": b"1\n"}, "next", author=signature)
    assert git(registry, "status", "--porcelain") == ""
    assert not lock.exists()
