"""Nasty text in records, file names and answers: nothing raw is printed, and programs read the same text."""

import csv
import io
import json
import random
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from registry import canonical
from registry.cli import main
from registry.cli.output import say, tell, write_json, write_table
from registry.model.kinds import kind_at
from registry.model.sound import is_sound
from tests import small
from tests.hostile.conftest import Tried
from tests.hostile.nasty import FORMULAS, MARKUP, hidden, raw, text

_HIDDEN = hidden()
# A byte that is not UTF-8 is read as one of these; two other surrogates in a row are a character to JSON.
_PRINTED = [each for each in _HIDDEN if not "\ud800" <= each < "\udc80" and not "\udcff" < each <= "\udfff"]
_FORMS = ("text", "json", "csv", "markdown")
# What a canonical document may not hold never stands in a record that can be read.
_LANDED = [
    each for each in _HIDDEN if not canonical.faults(json.dumps({"a": each}, ensure_ascii=True).encode())
]
_NUMBER = re.compile(r"[-+]?[0-9.]+(e[-+]?[0-9]+)?")


def test_every_character_that_steers_or_hides_is_shown_by_its_code_point() -> None:
    assert len(_HIDDEN) > 2000
    for each in _HIDDEN:
        shown = canonical.visible(f"a{each}b")
        assert raw(shown) == set(), ascii(each)
        assert f"{ord(each):x}" in shown


def test_text_in_the_worlds_scripts_is_left_alone() -> None:
    written = "Größe 60×80 cm, 層, שלום, می\u200cخواهم, क्\u200dष, ☀, ≤ 5 µm, 5\u00a0°C, \u0600۱"
    assert canonical.visible(written) == written
    assert list(canonical.invisible(written)) == []


def test_a_joiner_elsewhere_is_seen_and_refused() -> None:
    assert canonical.visible("7\u200c1") == r"7\u200c1"
    assert list(canonical.invisible("J\u200d1")) == [(2, "U+200D")]


@pytest.fixture
def printing(capsys: pytest.CaptureFixture[str]) -> Any:
    def printed(call: Any, *given: Any) -> tuple[str, str]:
        call(*given)
        return capsys.readouterr()

    return printed


def test_no_way_of_printing_lets_anything_through(printing: Any, times: int, tried: Tried) -> None:
    rng = random.Random(7)
    count = 300 * times
    for _ in range(count):
        rows = [{"a": text(rng, _PRINTED), "b": [text(rng, _PRINTED), -0.5], "c": -0.25}]
        words = text(rng, _PRINTED)
        for out in (printing(say, words).out, printing(tell, words).err):
            assert raw(out, keep="\n") == set()
        out = printing(write_json, {"rows": rows, words: 1}).out
        assert raw(out, keep="\n") == set()
        assert json.loads(out) == {"rows": rows, words: 1}
        for form in ("csv", "markdown", "text"):
            out = printing(write_table, rows, {"a": "A", "b": "B", "c": "C"}, form).out
            assert raw(out, keep="\n") == set()
            if form == "csv":
                assert harmless(out) == 3
                assert list(csv.reader(io.StringIO(out)))[1][2] == "-0.25"
            if form == "markdown":
                assert plain(out) == 3 * 3
    tried("answers with nasty text, printed in every format", count * 6)


def harmless(out: str) -> int:
    """Return how many cells each row has; no cell is run."""
    rows = list(csv.reader(io.StringIO(out)))
    for cell in (cell for row in rows for cell in row):
        assert _NUMBER.fullmatch(cell) or not cell.lstrip().startswith(tuple("=+-@\uff1d\t\r")), cell
    (width,) = {len(row) for row in rows}
    return width


def plain(out: str) -> int:
    """Return how many cells there are in a Markdown table; none is laid out as anything but text."""
    lines = out.splitlines()
    cells = [cell for line in lines for cell in re.split(r"(?<!\\)(?:\\\\)*\|", line)[1:-1]]
    for cell in cells:
        bare = re.sub(r"\\[\\`*_\[\]<>~$|&:.]", "", cell)
        assert not re.search(r"[<>`*\[\]~$]|&[#\w]|https?:|www\.", bare), cell
    return len(cells)


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_formula_is_text_to_a_spreadsheet(printing: Any, formula: str) -> None:
    out = printing(write_table, [{"a": formula}], {"a": "A"}, "csv").out
    assert next(csv.reader([out.splitlines()[1]])) == [f"'{formula}"]


@pytest.mark.parametrize("number", [-0.5, 1e-7, "-0.5", "+3", "-1.5e-05", "− 5", [-0.5, 12.0]], ids=repr)
def test_a_number_stays_a_number(printing: Any, number: Any) -> None:
    out = printing(write_table, [{"a": number}], {"a": "A"}, "csv").out
    assert not next(csv.reader([out.splitlines()[1]]))[0].startswith("'")


@pytest.mark.parametrize("markup", MARKUP)
def test_markup_is_text_to_a_forge(printing: Any, markup: str) -> None:
    out = printing(write_table, [{"a": markup}], {"a": "A"}, "markdown").out
    assert plain(out) == 3
    cell = out.splitlines()[2].strip("| ")
    assert re.sub(r"\\(.)", r"\1", cell) == markup


def spoilt(folder: Path, rng: random.Random, *, fitting: bool) -> int:
    """Put nasty text into every text field of every record, also where it breaks a rule; commit it.

    With `fitting` only where the record still fits its schema: another is told as one that cannot be read.
    """
    count = 0
    for path in sorted((folder / "records").rglob("*.json")):
        kind = kind_at(path.relative_to(folder).as_posix())
        if kind is None:  # of an earlier time
            continue
        document = json.loads(path.read_bytes())
        for member, value in _lines(document):
            before = member[value]
            member[value] = (text(rng, _LANDED) + before)[:80]
            if fitting and not is_sound(kind, document):
                member[value] = before
            else:
                count += 1
        path.write_text(json.dumps(document, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
    for name in (
        "\x1b[31mred",
        "\x9bred",
        "\u202egnp",
        "\U000e0041",
        "a\nb",
        "\r=1+1",
        b"\xff\xe9".decode(errors="surrogateescape"),
    ):
        (folder / f"records/sites/{name}.json").write_bytes(b"{}")
    run = ["git", "-C", str(folder), "-c", "user.name=nasty \u202e", "-c", "user.email=a@b.invalid"]
    subprocess.run([*run, "add", "-A"], check=True)
    subprocess.run([*run, "commit", "-qm", "nasty \x1b[31m \u202e \U000e0041"], check=True)
    return count


def _lines(value: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every text that may say anything, by what holds it."""
    for name, held in list(value.items() if isinstance(value, dict) else enumerate(value)):
        if isinstance(held, (dict, list)):
            yield from _lines(held)
        elif name in ("title", "reason", "note", "what", "job", "text", "result", "name", "maker"):
            yield value, name


def _asked() -> Iterator[tuple[str, ...]]:
    mode, film = small.MODE, small.FILM
    yield from (("find",), ("find", "gull"), ("find", "--for", "harbour-yard/concourse-a"))
    yield from (
        ("show", each) for each in (mode, film, small.UNIT, "harbour-yard", "harbour-yard/concourse-a")
    )
    yield from (("history", mode), ("history", small.UNIT), ("diff", f"{mode}@r1", mode))
    yield from (
        ("diff", "--since", "HEAD~1"),
        ("diff", "--since", "HEAD~3"),
        ("check",),
        ("check", "--base", "HEAD~1"),
    )
    yield from (
        ("slug", mode),
        ("card", mode),
        ("plan", mode, "--piece", "500x300"),
        ("audit", "J100", "J140"),
    )
    yield from (("nearest", film), ("light", "harbour-yard/concourse-a", mode), ("show", "\x1b[31m\u202e"))
    yield from (
        ("find", "--where", "a\x9b=\u202e"),
        ("\x1b[1m",),
        ("find", "--\u202e"),
        ("show", "--format", "\x9b"),
    )


def ran(folder: Path, *args: str) -> Result:
    return CliRunner().invoke(main, ["-C", str(folder), *args])


def test_nasty_records_are_told_by_every_command_in_every_form(
    own_registry: Path, times: int, tried: Tried
) -> None:
    rng = random.Random(8)
    subprocess.run(["git", "-C", str(own_registry), "tag", "start"], check=True)
    answers = 0
    for fitting in (True, False) * times:
        # each time from the beginning: what has become no record has no text that fits any more
        subprocess.run(["git", "-C", str(own_registry), "reset", "-q", "--hard", "start"], check=True)
        fields = spoilt(own_registry, rng, fitting=fitting)
        assert fields > 50
        for asked in _asked():
            for form in _FORMS:
                result = ran(own_registry, *asked, "--format", form)
                where = f"{asked} {form}: {result.stderr[-300:]}"
                assert result.exit_code in range(4), where
                assert raw(result.stdout + result.stderr, keep="\n") == set(), where
                if form == "json" and result.stdout:
                    json.loads(result.stdout)
                if form == "csv" and result.stdout:
                    harmless(result.stdout)
                if form == "markdown" and result.stdout:
                    plain(result.stdout)
                answers += bool(result.stdout)
        (own_registry / "records/sites/more.json").write_bytes(rng.randbytes(8))  # something to commit next
    assert answers > 60
    tried("answers of commands over nasty records and file names", answers)


def test_a_title_reads_the_same_from_json(own_registry: Path) -> None:
    path = own_registry / small.mode_path(small.MODE)
    document = json.loads(path.read_bytes())
    document["title"] = "a\U000e0041\u200b\ufeff層 <b>"
    path.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")
    run = ["git", "-C", str(own_registry), "-c", "user.name=n", "-c", "user.email=a@b.invalid"]
    subprocess.run([*run, "commit", "-qam", "title"], check=True)
    said = ran(own_registry, "show", small.MODE, "--format", "json").stdout
    assert raw(said, keep="\n") == set()
    assert document["title"] in _strings(json.loads(said))


def _strings(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    held = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [each for one in held for each in _strings(one)]


@pytest.mark.parametrize(
    "line",
    [
        ("revise", small.MODE, "--set", "title=Gull\u200bfilm", "--reason", "it is called so"),
        ("revise", small.MODE, "--set", "heat.cure_c=101", "--reason", "it\U000e0041 re-wets"),
        ("run", small.MODE, "--unit", small.UNIT, "--job", "J1\u200b41"),
    ],
)
def test_what_nobody_sees_is_refused_on_the_way_in(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch, line: tuple[str, ...]
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@harbour-yard.invalid")
    result = ran(own_registry, *line, "--site", "harbour-yard")
    assert result.exit_code == 1, result.output
    assert "character " in result.stderr
    assert ("U+200B" in result.stderr) != ("U+E0041" in result.stderr)
    assert "[invisible]" in result.stderr
