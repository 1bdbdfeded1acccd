"""What becomes of an answer when nobody can be told: closed streams, full disks, narrow encodings."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests import small

_REVISE = f"revise {small.MODE} --set heat.cure_c=101 --reason 'it re-wets' --site harbour-yard"


def ran(folder: Path, command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a command line in a shell, which can close streams."""
    signed = {
        f"GIT_{role}_{what}": "a@b.invalid" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")
    }
    return subprocess.run(
        ["bash", "-c", f"'{sys.executable}' -m registry -C '{folder}' {command}"],
        check=False,
        capture_output=True,
        env=os.environ | signed | environment,
        encoding="utf-8",
        errors="surrogateescape",
    )


def head(folder: Path) -> str:
    done = subprocess.run(["git", "-C", str(folder), "rev-parse", "HEAD"], check=True, capture_output=True)
    return done.stdout.decode().strip()


@pytest.mark.parametrize("form", ["text", "json"])
@pytest.mark.parametrize(
    ("where", "why"), [("/dev/full", "no space left on device"), ("&-", "bad file descriptor")]
)
def test_what_was_committed_is_not_called_a_failure(
    own_registry: Path, form: str, where: str, why: str
) -> None:
    before = head(own_registry)
    done = ran(own_registry, f"{_REVISE} --format {form} >{where}")
    after = head(own_registry)
    assert after != before
    *_, last = done.stderr.splitlines()
    made = f"committed {after[:12]}, landed on the shared branch: Revise {small.MODE}: it re-wets"
    assert (done.returncode, last) == (0, f"{made}; only the answer could not be printed ({why})")


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("start '{}' --site our-shop --time-zone Europe/Berlin", "founded {}, committed "),
        (f"card {small.MODE} -o '{{}}/card.pdf'", "wrote {}/card.pdf; "),
    ],
)
def test_nor_is_what_was_founded_or_written(
    small_registry: Path, tmp_path: Path, command: str, words: str
) -> None:
    done = ran(small_registry, f"{command.format(tmp_path)} >/dev/full")
    assert done.returncode == 0, done.stderr
    assert any(line.startswith(words.format(tmp_path)) for line in done.stderr.splitlines())
    assert any(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("streams", "code"), [(">&-", 3), (">/dev/full", 3), ("2>&-", 0), ("<&- >&- 2>&-", 3), ("2>/dev/full", 0)]
)
def test_an_answer_that_cannot_be_printed_is_a_failure_without_a_traceback(
    small_registry: Path, streams: str, code: int
) -> None:
    done = ran(small_registry, f"find {streams}")
    assert done.returncode == code
    assert "Traceback" not in done.stderr
    assert bool(done.stdout) == (code == 0)


def test_words_that_cannot_be_told_do_not_keep_a_command_from_writing(own_registry: Path) -> None:
    before = head(own_registry)
    assert ran(own_registry, f"{_REVISE} 2>/dev/full").returncode == 0
    assert head(own_registry) != before


def test_a_refusal_keeps_its_exit_code_where_it_cannot_be_printed(own_registry: Path) -> None:
    done = ran(
        own_registry, "revise no/such/mode --set a=1 --reason r --site harbour-yard --format json >/dev/full"
    )
    assert done.returncode == 2
    assert "no/such/mode" in done.stderr


@pytest.mark.parametrize("encoding", ["cp1252", "latin-1", "ascii", "utf-8"])
def test_an_encoding_that_lacks_a_character_shows_an_escape(own_registry: Path, encoding: str) -> None:
    wanted = "Gull 層 ≤"
    done = ran(
        own_registry,
        f"revise {small.FILM} --set 'title={wanted}' --reason 'it is called so' --site harbour-yard",
    )
    assert done.returncode == 0, done.stderr
    shown = ran(own_registry, f"show {small.FILM}", PYTHONIOENCODING=encoding)
    assert shown.returncode == 0
    assert (wanted if encoding == "utf-8" else r"Gull \u5c64 \u2264") in shown.stdout
    told = ran(own_registry, f"show {small.FILM} --format json", PYTHONIOENCODING=encoding)
    assert told.returncode == 0
    assert wanted in str(json.loads(told.stdout))


def test_git_that_is_traced_answers_the_same(own_registry: Path) -> None:
    names = (
        "GIT_TRACE",
        "GIT_TRACE2",
        "GIT_TRACE2_PERF",
        "GIT_TRACE_SETUP",
        "GIT_CURL_VERBOSE",
        "GIT_TRACE_PACKET",
    )
    talkative = dict.fromkeys(names, "1")
    plain = ran(own_registry, "check --base HEAD~1")
    traced = ran(own_registry, "check --base HEAD~1", **talkative)
    assert (traced.returncode, traced.stdout, traced.stderr) == (0, plain.stdout, plain.stderr)
    before = head(own_registry)
    done = ran(own_registry, _REVISE, **talkative, GIT_TRACE_CURL="Ignoring path")
    assert done.returncode == 0, done.stderr
    assert head(own_registry) != before
    assert "trace" not in done.stderr
