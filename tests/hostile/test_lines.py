"""Command lines as nobody should type them: each ends in words and an exit code; a refusal writes nothing."""

import importlib
import random
import subprocess
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from registry.cli import main
from registry.cli.main import COMMANDS
from tests import small
from tests.hostile.conftest import Tried
from tests.hostile.nasty import raw

_LATIN_1 = b"caf\xe9".decode(errors="surrogateescape")
_KNOWN = (
    *(
        small.MODE,
        small.FRONT,
        small.FILM,
        small.BANNER,
        small.UNIT,
        small.OTHER_UNIT,
        "harbour-yard",
        "J100",
        "J140",
    ),
    *(
        f"{small.MODE}@r1",
        "harbour-yard/concourse-a",
        "HEAD",
        "HEAD~1",
        "records",
        "500x300",
        "2025-10-01",
        "mill-lane",
    ),
    *(
        "heat.cure_c=100",
        "heat.cure_c<=100",
        "title~gull",
        "known-good",
        "print-mode",
        "json",
        "csv",
        "markdown",
        "text",
    ),
)
_ODD = (
    *(
        "",
        " ",
        "-",
        "--",
        "@",
        "#",
        "=",
        "a=",
        "=b",
        "a@",
        "@r1",
        "%",
        "*",
        "?",
        "'",
        '"',
        "(",
        "\\",
        "/",
        "..",
        "~",
        ":",
    ),
    *(
        _LATIN_1,
        "\udcff",
        "\u202e",
        "\x1b[31m",
        "\x9b",
        "\U000e0041",
        "\u200b",
        "層",
        "é" * 500,
        "x" * 20_000,
        "a/" * 5_000,
    ),
    *(
        "nan",
        "inf",
        "-1",
        "0",
        "1e308",
        "9" * 400,
        "r0",
        "@r0",
        "@9999-12-31",
        "0000-00-00",
        "2025-02-30",
        "null",
        "{}",
    ),
)
_REFUSING = {"new", "revise", "confirm", "adopt", "run", "log-event", "withdraw"}
# They would build a registry of their own: tried in tests/cli/test_streams.py.
_READS_OR_WRITES = [name for name in COMMANDS if name not in ("demo", "start")]


def _line(rng: random.Random, name: str, command: click.Command) -> list[str]:
    """Return a line of a command's own options, with good and odd values, in any order."""
    words: list[list[str]] = []
    for _ in range(rng.randint(0, 5)):
        option = rng.choice([each for each in command.params if isinstance(each, click.Option)])
        value = [] if option.is_flag else [_word(rng, option)]
        if "-o" in option.opts:
            value = ["no-folder/drawn.svg"]
        words.append([rng.choice(option.opts), *value])
    words += [[_word(rng, None)] for _ in range(rng.choice((0, 1, 1, 2, 2, 3)))]
    if rng.random() < 0.05:
        words += [["--" + rng.choice(_ODD)]]
    if rng.random() < 0.03:
        words += [[rng.choice(_KNOWN)]] * 3_000
    rng.shuffle(words)
    return [name, *(word for group in words for word in group)]


def _word(rng: random.Random, option: click.Option | None) -> str:
    if option and isinstance(option.type, click.Choice) and rng.random() < 0.8:
        return str(rng.choice(list(option.type.choices)))
    if option and rng.random() < 0.3:
        return rng.choice(("5", "0.5", "2025-10-01", "it jams"))
    word = rng.choice(_KNOWN if rng.random() < 0.6 else _ODD)
    return word + rng.choice(_ODD) if rng.random() < 0.1 else word


def _state(folder: Path) -> tuple[str, list[str]]:
    """Return the commit, and every file outside of git's own folder."""
    head = (folder / ".git" / "refs" / "heads" / "main").read_text()
    return head, sorted(str(path) for path in folder.rglob("*") if ".git" not in path.parts)


def test_any_line_ends_in_words_and_a_refusal_writes_nothing(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch, times: int, tried: Tried
) -> None:
    monkeypatch.chdir(own_registry)
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    rng, each = random.Random(9), 25 * times
    for name in _READS_OR_WRITES:
        command = importlib.import_module(COMMANDS[name][0]).command
        for _ in range(each):
            line = _line(rng, name, command)
            before = _state(own_registry)
            result = CliRunner().invoke(main, line)
            where = f"{[ascii(word)[:60] for word in line[:20]]}: {result.exit_code} {result.stderr[-600:]}"
            assert result.exit_code in range(4), where
            assert "Traceback" not in result.stderr, where
            assert raw(result.stdout + result.stderr, keep="\n") == set(), where
            if (result.exit_code and name in _REFUSING) or (name not in _REFUSING and "--fix" not in line):
                assert _state(own_registry) == before, where
    tried("random command lines", each * len(_READS_OR_WRITES))


@pytest.mark.parametrize("name", list(COMMANDS))
def test_bytes_that_are_no_text_are_refused_or_named_wherever_they_are_typed(
    own_registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    command = importlib.import_module(COMMANDS[name][0]).command
    options = [each.opts[0] for each in command.params if isinstance(each, click.Option) and not each.is_flag]
    before = _state(own_registry)
    for line in ([_LATIN_1, _LATIN_1], *([option, _LATIN_1] for option in options)):
        result = CliRunner().invoke(main, ["-C", str(own_registry), name, *line])
        assert result.exit_code in (1, 2, 3), (line, result.output[-300:])
        assert result.stderr.count("Traceback") == 0
        assert "\udce9" not in result.output
    assert _state(own_registry) == before
    assert [path.name for path in tmp_path.iterdir()] == ["registry"]


@pytest.mark.parametrize("words", [["w{}"], ["--where", "title~{}"], ["--where", "heat.cure_c<=1{}"]])
def test_find_says_how_much_it_can_be_asked_at_once(small_registry: Path, words: list[str]) -> None:
    line = [word.format(number) for number in range(3000) for word in words]
    result = CliRunner().invoke(main, ["-C", str(small_registry), "find", *line])
    assert (result.exit_code, result.stderr) == (
        2,
        "litstock: 3,000 words and conditions are too many: ask for at most 100 at once\n",
    )
    result = CliRunner().invoke(main, ["-C", str(small_registry), "find", *line[: 100 * len(words)]])
    assert result.exit_code in (0, 1), result.stderr


def test_a_name_in_latin_1_is_told_with_the_remedy(own_registry: Path) -> None:
    settings = own_registry / ".git" / "config"
    settings.write_bytes(settings.read_bytes() + b"[user]\n\tname = Ren\xe9\n\temail = r@a.invalid\n")
    line = [
        "revise",
        small.MODE,
        "--set",
        "heat.cure_c=101",
        "--reason",
        "it re-wets",
        "--site",
        "harbour-yard",
    ]
    result = CliRunner().invoke(main, ["-C", str(own_registry), *line])
    assert result.exit_code == 3
    assert result.stderr.splitlines()[-1].startswith(
        r"litstock: your name in git's settings is not UTF-8 (Ren\xe9): run git config --global user.name"
    )
    ahead = subprocess.run(
        ["git", "-C", str(own_registry), "status", "--porcelain"], capture_output=True, check=True
    )
    assert ahead.stdout == b""
