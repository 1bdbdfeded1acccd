"""Random contributions: trees and attributes of every kind; what a clean check lets through is what lands."""

import os
import random
import shutil
import subprocess
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner

from registry import canonical
from registry.check.attributes import harms
from registry.cli import main
from registry.contribute.start import ATTRIBUTES
from registry.model.kinds import KINDS, kind_at
from registry.model.shape import shape_of
from registry.question.registry import Registry
from registry.store.repository import is_blob
from tests.check.small import (
    BACKLIT,
    PROFILE_AT,
    READING_AT,
    SPECTRUM_AT,
    Small,
    icc_profile,
    sha256,
    small_registry,
)
from tests.hostile.conftest import Tried

Tree = dict[str, tuple[str, bytes]]
"""By path, mode and contents; of a submodule, the commit."""

MILL = "records/sites/mill-lane/site.json"
SETTINGS = (
    *("core.autocrlf=true", "core.autocrlf=input", "core.eol=crlf", "core.symlinks=false"),
    *("core.filemode=false", "core.ignorecase=true", "core.precomposeunicode=true"),
)
PATTERNS = (
    *("*", "*.json", "*.txt", "*.icc", "*.md", "docs/**", "/docs/*", "records/**", "records/**/*.json"),
    *("**/modes/*", "records/sites/*/*.json", "site.json", "*.jso[n]", "?ecords/**", "\\records/**"),
    *('"*.json"', '"\\052.icc"', '"a b"', "Records/**", "*.JSON", "!*.json", "records/", "records", "/*"),
    *("*.js*", "*.t?t", "[!a]*", "**", "**/*.icc", "/records/*/*", "schema/*.json", "*.i\\cc", "//records/*"),
)
GIVEN = (
    *("text", "-text", "!text", "text=auto", "eol=lf", "eol=crlf", "crlf", "-crlf", "crlf=input", "binary"),
    *("ident", "-ident", "!ident", "filter=own", "-filter", "filter", "working-tree-encoding=UTF-16LE"),
    *("-working-tree-encoding", "merge=union", "merge", "-merge", "diff=json", "-diff", "whitespace=fix"),
    *("export-ignore", "export-subst", "-export-subst", "linguist-generated", "house", "-house", "delta"),
    *("text eol=lf", "text eol=crlf", "-text -ident", "text=auto eol=lf", "binary diff"),
)
SETTLING = (b"\n*.json text eol=lf\n", b"\nrecords/**/*.txt -text\n", b"\n*.icc binary\n", b"\n* -text\n")
BLANKS = (" ", " ", " ", "\t", "  ", " \r", "\x0b", "\u00a0")


def attributes(chance: random.Random) -> bytes:
    """Draw a few lines, most of them as people write them."""
    lines = []
    for _ in range(chance.randint(1, 3)):
        words = [chance.choice(PATTERNS), *chance.choices(GIVEN, k=chance.randint(1, 2))]
        line = words[0] + "".join(chance.choice(BLANKS) + word for word in words[1:])
        lines.append(chance.choice(("", "", "", "", "\t", "#", "[attr]", '"', "\ufeff")) + line)
    return chance.choice(("\n", "\n", "\r\n")).join(lines).encode() + chance.choice((b"\n", b"\n", b""))


def revised(chance: random.Random, tree: Tree, title: str = "") -> None:
    """Revise a record as a good contributor does, or found a shop; perhaps with what git may rewrite."""
    small = Small({path: data for path, (mode, data) in tree.items() if mode == "100644"})
    title = title or chance.choice(("Mill", "$Id$", f"$Id:{'x' * 100}$", "$Id: 0123 $", "$Format:%H$"))
    try:
        path = small.revise("site", "mill-lane", {"title": title}, f"Called anew {chance.random()}")
        if chance.random() < 0.3:
            at = f"quay-{chance.randint(1, 99)}"
            path = small.put("site", at, small.document("site", "mill-lane") | {"revision": 1})
    except (KeyError, canonical.Unreadable):  # spoilt by a change before
        return
    put(tree, path, small.files[path])


def put(tree: Tree, path: str, data: bytes, mode: str = "100644") -> None:
    """Put a file there, as a tree can hold it: in the place of a folder, and of files that are above it."""
    for other in list(tree):
        if other.startswith(f"{path}/") or path.startswith(f"{other}/"):
            del tree[other]
    tree[path] = (mode, data)


def below(tree: Tree) -> list[str]:
    """Return the paths of what there is below the records."""
    return [path for path in tree if path.startswith("records/")]


def spoilt_bytes(chance: random.Random, tree: Tree) -> None:
    path = chance.choice(below(tree))
    mode, data = tree[path]
    changes: tuple[Callable[[bytes], bytes], ...] = (
        lambda data: data.replace(b"\n", b"\r\n"),
        lambda data: data.replace(b"\n", b"\r\n", 1),
        lambda data: data.decode("utf-8", "replace").encode("utf-16-le"),
        lambda data: data + b"\n",
        lambda data: data[:-2],
    )
    tree[path] = (mode, data if mode == "160000" else chance.choice(changes)(data))


def other_kind(chance: random.Random, tree: Tree) -> None:
    """Put a link, a submodule, a folder or an executable where a record is, or beside one."""
    there = chance.choice(below(tree))
    path = chance.choice((there, f"{there.rpartition('/')[0]}/inner", f"{there}/below.json", "vendor"))
    path = chance.choice((path, there.rpartition("/")[0]))
    match chance.randrange(4):
        case 0:
            target = chance.choice((b"../registry.json", b"/etc/hostname", there.encode()))
            put(tree, path, target, "120000")
        case 1:
            put(tree, path, b"0123456789abcdef0123456789abcdef01234567", "160000")
            put(tree, ".gitmodules", f'[submodule "x"]\n\tpath = {path}\n\turl = ../x\n'.encode())
        case 2:
            put(tree, path, tree[there][1] if tree[there][0] != "160000" else b"")
        case _:
            mode, data = tree[there]
            tree[there] = ("100755" if mode == "100644" else mode, data)


def named(chance: random.Random, tree: Tree) -> None:
    """Put a copy of a record, or lines of attributes, under a name that another machine takes for its own."""
    there = chance.choice(below(tree))
    data = tree[there][1]
    twins = (
        (there.upper(), data),
        (there.replace("records", "Records", 1), data),
        (there.replace("sites", "Sites"), data),
        (there.replace(".json", "é.json"), data),
        (unicodedata.normalize("NFD", there.replace(".json", "é.json")), data),
        (".GITATTRIBUTES", attributes(chance)),
        (".gitattributes .", attributes(chance)),
        ("GITATT~1", attributes(chance)),
        (there.replace(".json", " .json"), data),
        (f"{there.rpartition('/')[0]}/aux.json", data),
        ("docs/Notes.md", b"$Id$\r\n"),
    )
    put(tree, *chance.choice(twins))


def attributed(chance: random.Random, tree: Tree) -> None:
    folder = chance.choice(("", "", "", "", "docs/", "schema/", "records/", "records/sites/"))
    before = tree.get(f"{folder}.gitattributes", ("", b""))
    kept = before[1] if before[0] == "100644" and chance.random() < 0.7 else b""
    mode = chance.choice(("100644",) * 9 + ("120000",))
    put(tree, f"{folder}.gitattributes", kept + attributes(chance), mode)


def beside(chance: random.Random, tree: Tree) -> None:
    """Change what is no concern of the check."""
    files = {
        ".gitignore": chance.choice((b"*.json\n", b"records\n", b"*\n", b"!records\n")),
        "docs/notes.md": b"$Id$\n",
        "README.md": b"words\r\nwords\n",
        ".mailmap": b"A <a@invalid> <b@invalid>\n",
    }
    path = chance.choice(list(files))
    put(tree, path, files[path])


def hidden(chance: random.Random, tree: Tree) -> None:
    """Revise a record so that it is broken, and some line of attributes makes it whole in a checkout."""
    title = chance.choice((f"$Id:{'x' * 400}$", "Mill"))
    revised(chance, tree, title)
    if title == "Mill" and tree.get(MILL, ("",))[0] == "100644" and chance.random() < 0.7:
        tree[MILL] = ("100644", tree[MILL][1].replace(b"\n", b"\r\n"))
    line = chance.choice(("*.json ident", "*.json text", "*.icc text eol=crlf", "*.txt eol=crlf", "* ident"))
    put(tree, ".gitattributes", ATTRIBUTES[".gitattributes"] + f"{line}\n".encode())


CHANGES = (
    *(revised, revised, revised, revised, beside, beside, beside, attributed, attributed),
    *(hidden, spoilt_bytes, other_kind, named),
)


def contribution(chance: random.Random, tree: Tree) -> Iterator[Tree]:
    """Yield what each commit of a contribution leaves; some take back what an earlier one did."""
    first = dict(tree)
    for number in range(chance.choice((1, 1, 2, 3))):
        if number and chance.random() < 0.3:
            tree = dict(first)
        for _ in range(chance.choice((1, 1, 1, 2))):
            if below(tree):  # else something has taken the place of them all
                chance.choice(CHANGES)(chance, tree)
        yield dict(tree)


class Server:
    """A bare repository with the shared branch, and contributions to it, byte for byte as they were made."""

    def __init__(self, folder: Path, tree: Tree) -> None:
        self.folder, self.tree = folder, tree
        git(folder.parent, "init", "-q", "--bare", "-b", "main", str(folder))
        self.commit("main", [tree])

    def commit(self, branch: str, states: list[Tree], onto: str = "") -> None:
        lines: list[bytes] = []
        for number, tree in enumerate(states):
            who = f"committer quay <quay@invalid> {1800000000 + number} +0000"
            lines.append(f"commit refs/heads/{branch}\n{who}\ndata 1\nx\n".encode())
            if onto and not number:
                lines.append(f"from refs/heads/{onto}^0\n".encode())
            lines.append(b"deleteall\n")
            for path, (mode, data) in tree.items():
                quoted = path.replace("\\", "\\\\").replace('"', '\\"')
                if mode == "160000":
                    lines.append(f'M {mode} {data.decode()} "{quoted}"\n'.encode())
                else:
                    lines.append(f'M {mode} inline "{quoted}"\ndata {len(data)}\n'.encode() + data + b"\n")
        git(self.folder, "fast-import", "--quiet", "--force", given=b"".join(lines))

    def clone(self, folder: Path, branch: str, settings: Sequence[str] = ()) -> None:
        configured = [part for each in settings for part in ("-c", each)]
        git(folder.parent, "clone", "-q", "-b", branch, *configured, str(self.folder), str(folder))


def git(folder: Path, *arguments: str, given: bytes = b"") -> bytes:
    return subprocess.run(
        ["git", "-C", str(folder), *arguments], input=given, capture_output=True, check=True
    ).stdout


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Server:
    small = small_registry()
    profile = icc_profile(body=b"$Id$\r\na\nb\n")
    small.patch("print-mode", BACKLIT, {"colour": {"profile": {"sha256": sha256(profile)}}})
    proof = {"settings_digest": small.digest(BACKLIT)}
    small.patch("event", "harbour-yard/2026-02-20-adopted", proof)
    small.patch("run", "harbour-yard/2026-02-21-job-1", proof)
    small.confirm(BACKLIT)
    files = small.files | ATTRIBUTES | {PROFILE_AT: profile, "README.md": b"words\n"}
    tree = {path: ("100644", data) for path, data in files.items()}
    return Server(tmp_path_factory.mktemp("trees") / "server.git", tree)


def check(folder: Path, *arguments: str) -> int:
    result = CliRunner().invoke(main, ["-C", str(folder), "check", *arguments])
    # 3 where git itself can make nothing of it; nothing may end in a traceback
    assert result.exit_code in (0, 1, 3), (result.output, result.exc_info)
    return result.exit_code


def lands(server: Server, folder: Path, tree: Tree) -> None:
    """Assert that a fresh clone, and what its read model knows, is what was contributed."""
    server.clone(folder, "theirs")
    assert check(folder) == 0
    assert check(folder, "--at", "HEAD") == 0
    git(folder, "remote", "remove", "origin")
    model = Registry(folder, os.environ).model
    assert model.faults() == []
    known = {each.path: each for kind in KINDS for each in model.subjects(kind, newest=True)}
    wanted = {path: data for path, (_, data) in tree.items() if kind_at(path)}
    assert known.keys() == wanted.keys()
    for path, data in wanted.items():
        assert is_blob(data, known[path].blob)
        assert known[path].digest in ("", shape_of(kind_at(path) or "").digest(canonical.read(data)))
    for path in (*wanted, PROFILE_AT, READING_AT, SPECTRUM_AT):
        assert (folder / path).read_bytes() == tree[path][1]
    model.close()


def test_what_a_clean_check_lets_through_is_what_lands(
    server: Server, tmp_path: Path, times: int, tried: Tried
) -> None:
    chance = random.Random(7)
    ends = {0: 0, 1: 0, 3: 0}
    for _ in range(60 * times):
        states = list(contribution(chance, dict(server.tree)))
        server.commit("theirs", states, "main")
        ours, fresh = tmp_path / "ours", tmp_path / "fresh"
        # A server checks out anew, or the contribution upon what it has: then git writes only what changed.
        server.clone(
            ours, chance.choice(("theirs", "main")), chance.sample(SETTINGS, chance.choice((0, 0, 1, 2)))
        )
        subprocess.run(["git", "-C", str(ours), "checkout", "-q", "theirs"], capture_output=True, check=False)
        if not (ours / "records/registry.json").is_file():
            ends[3] += 1  # there is no registry left to be checked
        else:
            end = check(ours, "--base", "origin/main")
            ends[end] += 1
            if end == 0:
                lands(server, fresh, states[-1])
        for folder in (ours, fresh):
            shutil.rmtree(folder, ignore_errors=True)
    assert ends[0] > 5 * times
    assert ends[1] > 20 * times
    tried("contributions of random trees, checked and where clean cloned", sum(ends.values()))
    tried("of them clean", ends[0])


def test_git_alters_nothing_by_lines_that_the_check_lets_through(
    tmp_path: Path, times: int, tried: Tried
) -> None:
    paths = [*small_registry().files, "records/sites/new/runs/2027-01-01-j.json"]
    git(tmp_path, "init", "-q")
    others = ("ident", "filter", "working-tree-encoding", "export-subst", "export-ignore")
    asked = ("text", "eol", "crlf", *others)
    chance = random.Random(11)
    clean = 0
    for _ in range(300 * times):
        text = attributes(chance) + b"".join(chance.sample(SETTLING, chance.choice((0, 1, 3))))
        if list(harms(text)):
            continue
        clean += 1
        (tmp_path / ".gitattributes").write_bytes(text)
        for ignoring in ("true", "false"):
            case = ("-c", f"core.ignorecase={ignoring}")
            fields = git(tmp_path, *case, "check-attr", "-z", *asked, "--", *paths).decode().split("\0")
            said = dict(zip(zip(fields[::3], fields[1::3], strict=False), fields[2::3], strict=False))
            for path in paths:
                assert {said[path, name] for name in others} <= {"unset", "unspecified"}, (text, path)
                value, ends, crlf = (said[path, name] for name in asked[:3])
                untouched = value == ends == "unspecified" and crlf in {"unset", "unspecified"}
                lines_stay = value == "unset" or untouched
                assert lines_stay or (path.endswith(".json") and ends == "lf"), (text, path)
    assert clean > 20 * times
    tried(
        "files of attributes, those that the check lets through compared with what git makes of them", clean
    )
