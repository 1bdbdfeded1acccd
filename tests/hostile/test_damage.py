"""Read models damaged in every way: the answer is that of an undamaged one, or it is refused in words."""

import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from registry.cli import main
from registry.index import opening
from registry.index.reading import connected
from tests import small
from tests.hostile.conftest import Tried

PAGE = 4096
QUESTIONS = (
    ("find", "--for", "concourse-light-box"),
    ("find", "--where", "lighting=backlit", "--format", "json"),
    ("show", small.MODE),
    ("history", small.MODE),
)


def flipped(draw: random.Random, data: bytes) -> bytes:
    made = bytearray(data)
    for _ in range(2 ** draw.randrange(8)):
        made[draw.randrange(len(made))] ^= 1 << draw.randrange(8)
    return bytes(made)


def cut(draw: random.Random, data: bytes) -> bytes:
    return data[: draw.choice((0, 1, 99, 100, PAGE, draw.randrange(len(data))))]


def swapped(draw: random.Random, data: bytes) -> bytes:
    pages = [data[at : at + PAGE] for at in range(0, len(data), PAGE)]
    one, other = draw.sample([n for n, page in enumerate(pages) if page.strip(b"\0")], 2)
    pages[one], pages[other] = pages[other], pages[one]
    return b"".join(pages)


def garbage(draw: random.Random, data: bytes) -> bytes:
    at, long = draw.randrange(len(data)), draw.randrange(1, 3 * PAGE)
    noise = draw.choice((draw.randbytes(long), bytes(long), b"\xff" * long))
    return draw.choice((noise, data + noise, data[:at] + noise, data[:at] + noise + data[at + long :]))


def stale(draw: random.Random, data: bytes) -> bytes:
    """Lose the tail of a write: from some page on, all is zero, or as it was a page before."""
    at = draw.randrange(1, len(data) // PAGE) * PAGE
    return data[:at] + draw.choice((bytes(len(data) - at), data[at - PAGE : len(data) - PAGE]))


DAMAGE = (flipped, flipped, cut, swapped, garbage, stale)


def altered(draw: random.Random, file: Path) -> None:
    """Change a value by SQL: the file is whole, but another program has been at it."""
    db = sqlite3.connect(file)
    change = draw.choice(
        (
            "UPDATE subject SET standing = 'known-good'",
            "UPDATE revision SET reason = 'x'",
            "DELETE FROM facet",
            "DROP TABLE rule",
            "UPDATE made SET tip = tip",
        )
    )
    db.execute(change)
    db.commit()
    db.close()


@pytest.fixture
def asked(own_registry: Path) -> Callable[[tuple[str, ...]], tuple[int, str, str]]:
    def ask(question: tuple[str, ...]) -> tuple[int, str, str]:
        result = CliRunner().invoke(main, ["-C", str(own_registry), *question])
        return result.exit_code, result.stdout, result.stderr

    return ask


Ask = Callable[[tuple[str, ...]], tuple[int, str, str]]


def test_a_damaged_read_model_never_answers_otherwise(
    own_registry: Path, asked: Ask, times: int, tried: Tried
) -> None:
    file = own_registry / ".git/litstock/read-model.sqlite"
    right = {question: asked(question) for question in QUESTIONS}
    assert [code for code, _, _ in right.values()] == [0, 0, 0, 0]
    data = file.read_bytes()
    draw = random.Random(5)
    for number in range(60 * times):
        question = draw.choice(QUESTIONS)
        if number % 10 == 9:
            file.write_bytes(data)
            altered(draw, file)
        else:
            file.write_bytes(draw.choice(DAMAGE)(draw, data))
        assert asked(question) == right[question], number
    assert file.stat().st_size == len(data)
    tried("damaged read models", 60 * times)


def test_what_stands_in_its_place_gives_way_or_is_named(own_registry: Path, asked: Ask, tried: Tried) -> None:
    file = own_registry / ".git/litstock/read-model.sqlite"
    right = asked(QUESTIONS[0])
    in_place: tuple[Callable[[], object], ...] = (
        lambda: None,
        file.mkdir,
        lambda: os.mkfifo(file),
        lambda: file.symlink_to("/dev/null"),
        lambda: file.symlink_to("/dev/zero"),
        lambda: file.symlink_to(file),
        lambda: file.symlink_to("nowhere/at/all"),
    )
    for put in in_place:
        file.unlink()
        put()
        assert asked(QUESTIONS[0]) == right
        assert file.is_file()
        assert not file.is_symlink()
    file.unlink()
    (file / "of somebody").mkdir(parents=True)
    code, _, words = asked(QUESTIONS[0])
    assert code == 3
    assert "cannot be built" in words
    assert str(file) in words
    shutil.rmtree(file)
    tried("things in a read model's place", len(in_place) + 1)


def test_one_damaged_while_it_is_read_is_said_or_answers_as_before(
    own_registry: Path, asked: Ask, monkeypatch: pytest.MonkeyPatch, times: int, tried: Tried
) -> None:
    """What is overwritten in place between the look at its sum and the question's end."""

    file = own_registry / ".git/litstock/read-model.sqlite"
    right = {question: asked(question) for question in QUESTIONS}
    whole = file.read_bytes()
    draw = random.Random(6)
    plain = connected

    def late(path: Path, data: bytes = b"") -> sqlite3.Connection:
        db = plain(path, data)
        db.execute("SELECT key FROM made").fetchone()
        if path == file:
            file.write_bytes(draw.choice((cut, garbage))(draw, whole))
        return db

    for number in range(20 * times):
        question = draw.choice(QUESTIONS)
        file.unlink(missing_ok=True)
        file.write_bytes(whole)
        with monkeypatch.context() as patched:
            patched.setattr(opening, "connected", late)
            code, out, words = asked(question)
        if code == 3:
            assert "was damaged" in words, number
        else:
            assert (code, out, words) == right[question], number
        assert asked(question) == right[question]
    tried("read models damaged while they are read", 20 * times)
