"""What lines of a .gitattributes would do to records, measurements and profiles."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.check import check
from registry.check.attributes import harms, settled
from registry.contribute.start import ATTRIBUTES
from registry.model.kinds import path_of
from registry.question.snapshots import Checkout
from tests.check.small import Small

RECORDS = {
    ".json": "records/substrates/lumenfold/dayfilm-210/modes/backlit-16.json",
    ".txt": "records/substrates/lumenfold/dayfilm-210/measurements/solids.txt",
    ".icc": "records/substrates/lumenfold/dayfilm-210/profiles/house.icc",
}


def found(text: str) -> list[tuple[int, str]]:
    return [(harm.line, harm.found) for harm in harms(text.encode())]


def test_what_a_new_registry_writes_does_no_harm() -> None:
    assert list(harms(ATTRIBUTES[".gitattributes"])) == []


HARMLESS = (
    "",
    "\ufeff*.json text eol=lf",
    "# *.json ident",
    "   # indented",
    "\t\r",
    "*.json",
    "*.json eol=lf",
    "*.json text=auto eol=lf",
    "* -text",
    "* binary",
    "* -ident -filter -working-tree-encoding -export-subst -export-ignore -crlf",
    "* diff=json -diff whitespace=fix conflict-marker-size=9 linguist-generated gitlab-language=json",
    "* merge -merge !merge merge=binary merge=text",
    "*.md text=auto",
    "*.png filter=lfs diff=lfs merge=lfs -text",
    "docs/** text eol=crlf",
    "/README.txt text eol=crlf",
    "/docs/*.txt ident",
    "README.md ident",
    '"docs/a b.json" -text',
    "* text=auto\n*.json text eol=lf\nrecords/**/*.txt -text\n*.icc binary",
    "* eol=crlf\n* -text",
    "* text eol=lf\n*.txt -text\n*.icc -text",
)


@pytest.mark.parametrize("text", HARMLESS, ids=repr)
def test_what_does_no_harm_is_let_through(text: str) -> None:
    assert found(text) == []


HARMFUL = (
    ("*.json ident", "*.json ident"),
    ("*.icc text eol=crlf", "*.icc text"),
    ("*.icc text eol=lf", "*.icc text"),
    ("*.txt text=auto eol=lf", "*.txt text=auto"),
    ("* text=auto", "* text=auto"),
    ("* text eol=lf", "* text"),
    ("*.json text", "*.json text"),
    ("*.json eol=crlf", "*.json eol=crlf"),
    ("*.json crlf", "*.json crlf"),
    ("*.json !text", "*.json !text"),
    ("*.json working-tree-encoding=UTF-16", "*.json working-tree-encoding=UTF-16"),
    ("*.json filter=lfs", "*.json filter=lfs"),
    ("*.json filter", "*.json filter"),
    ("*.json merge=union", "*.json merge=union"),
    ("* export-ignore", "* export-ignore"),
    ("*.txt export-subst", "*.txt export-subst"),
    ("*.json house-rule", "*.json house-rule"),
    ("*.json -house-rule", "*.json -house-rule"),
    ("[attr]mine ident", "[attr]mine"),
    ("records/** ident", "records/** ident"),
    ("/records/printers/*.json ident", "/records/printers/*.json ident"),
    ("Records/** ident", "Records/** ident"),
    ("*.JSON ident", "*.JSON ident"),
    ("**/modes/* ident", "**/modes/* ident"),
    ("?ecords/** ident", "?ecords/** ident"),
    ("[r]ecords/** ident", "[r]ecords/** ident"),
    ("\\records/** ident", "\\records/** ident"),
    ("*.jso[n] ident", "*.jso[n] ident"),
    ("*.js* ident", "*.js* ident"),
    ("backlit-16.json ident", "backlit-16.json ident"),
    ('"*.json" ident', '"*.json" ident'),
    ('"\\052.json"ident', '"\\052.json" ident'),
    ("   *.json\tident\r", "*.json ident"),
    ("\ufeff*.json ident", "*.json ident"),
    ("*.json -diff ident", "*.json ident"),
    ("* text=auto\n*.json text eol=lf\n*.txt -text", "* text=auto"),
    ("* text=auto\n*.json text eol=lf\n*.txt -text\nrecords/sites/** -text", "* text=auto"),
    ("* ident\n* -text", "* ident"),
    ("* text eol=lf\n*.txt -text", "* text"),
)


@pytest.mark.parametrize(("text", "said"), HARMFUL, ids=repr)
def test_what_does_harm_is_named_with_its_line(text: str, said: str) -> None:
    assert found(f"{text}\n")[0] == (1, said)
    if not text.startswith("\ufeff"):  # which is one at the start alone
        assert found(f"# first\n\n{text}\n")[0] == (3, said)


def test_a_nul_byte_is_refused_since_git_reads_no_further() -> None:
    assert found("*.json\0 -text\n*.md ident") == [(1, "a NUL byte")]


def test_what_is_longer_than_every_git_reads_is_refused() -> None:
    assert found("#" * 70_000) == [(1, "70000 bytes")]


@pytest.mark.parametrize(
    ("text", "endings"),
    [
        (ATTRIBUTES[".gitattributes"].decode(), {".json", ".txt", ".icc"}),
        ("* -text", {".json", ".txt", ".icc"}),
        ("/records/** binary", {".json", ".txt", ".icc"}),
        ("records/** eol=lf", {".json"}),
        ("**/*.icc -text\n# *.txt -text", {".icc"}),
        ("records/sites/** -text\nsolids.txt -text\n*.icc -diff", set()),
    ],
)
def test_the_endings_whose_line_ends_are_settled_are_told(text: str, endings: set[str]) -> None:
    assert settled(text.encode()) == endings


@pytest.mark.parametrize("text", HARMLESS, ids=repr)
def test_git_itself_agrees_that_nothing_is_done_to_records(tmp_path: Path, text: str) -> None:
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)
    (tmp_path / ".gitattributes").write_text(f"{text}\n", encoding="utf-8")
    asked = ("text", "eol", "ident", "filter", "working-tree-encoding", "export-subst", "export-ignore")
    said = subprocess.run(
        ["git", "-C", str(tmp_path), "check-attr", "-z", *asked, "--", *RECORDS.values()],
        capture_output=True,
        check=True,
    )
    fields = said.stdout.decode().split("\0")
    given = {(path, name): value for path, name, value in zip(*[iter(fields)] * 3, strict=False)}
    for ending, path in RECORDS.items():
        does = {
            name: given[path, name] for name in asked if given[path, name] not in ("unspecified", "unset")
        }
        ends = (given[path, "text"], does.pop("text", ""), does.pop("eol", ""))
        assert ends[0] == "unset" or ends[1:] == ("", "") or (ending == ".json" and ends[2] == "lf"), ends
        assert does == {}


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda data: data.replace(b"\n", b"\r\n"), "other line ends"),
        (lambda data: data.replace(b'"', b"'", 1), "other bytes from line 2 on"),
        (lambda data: data + b"\n", "another length"),
    ],
    ids=["line ends", "bytes", "length"],
)
def test_how_a_checkout_differs_from_what_git_holds_is_said(
    small: Small, change: Callable[[bytes], bytes], says: str
) -> None:
    path = path_of("application", "light-box")
    small.beside = Checkout(altered={path: change(small.files[path])}.get)
    (finding,) = check(small)
    assert (finding.code, finding.found) == ("altered-on-checkout", says)
