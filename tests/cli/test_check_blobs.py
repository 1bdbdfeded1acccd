"""The check judges what git holds: attributes, filters and settings alter a checkout, not the judgement."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from registry.cli import main
from registry.contribute.start import ATTRIBUTES
from tests import small
from tests.check.small import icc_profile

MODE = small.mode_path(small.MODE)
READINGS = f"records/substrates/{small.FILM}/measurements/solids.txt"
Contribute = Callable[..., Path]


def git(folder: Path, *arguments: str, given: bytes = b"") -> str:
    who = [part for name in ("name=quay", "email=quay@invalid") for part in ("-c", f"user.{name}")]
    done = subprocess.run(
        ["git", "-C", str(folder), *who, *arguments], input=given, capture_output=True, check=True
    )
    return done.stdout.decode().strip()


def found(folder: Path, *arguments: str) -> list[tuple[str, str]]:
    """Return code and path of every error that a check tells."""
    result = CliRunner().invoke(main, ["-C", str(folder), "check", *arguments, "--format", "json"])
    assert result.exit_code in (0, 1), result.output
    told = json.loads(result.stdout)["findings"]
    errors = [(each["code"], each["path"]) for each in told if each["severity"] == "error"]
    assert result.exit_code == bool(errors)
    return sorted(errors)


@pytest.fixture
def server(own_registry: Path) -> Path:
    """A registry with the attributes that every registry starts with."""
    (own_registry / ".gitattributes").write_bytes(ATTRIBUTES[".gitattributes"])
    git(own_registry, "add", "-A")
    git(own_registry, "commit", "-q", "-m", "Attributes")
    return own_registry


@pytest.fixture
def contribute(server: Path, tmp_path: Path) -> Contribute:
    """Commit blobs byte for byte upon the shared branch, and check them out in a clone as a CI does."""

    def made(files: dict[str, bytes], *settings: str, modes: dict[str, str] | None = None) -> Path:
        branch = git(server, "rev-parse", "HEAD")
        lines = [b"commit refs/heads/theirs\ncommitter quay <quay@invalid> 1800000000 +0000\ndata 1\nx\n"]
        lines.append(f"from {branch}\n".encode())
        for path, data in files.items():
            mode = (modes or {}).get(path, "100644")
            if mode == "160000":
                lines.append(f"M 160000 {data.decode()} {path}\n".encode())
            else:
                lines.append(f"M {mode} inline {path}\ndata {len(data)}\n".encode() + data + b"\n")
        git(server, "fast-import", "--quiet", "--force", given=b"".join(lines))
        clone = tmp_path / f"clone-{len(list(tmp_path.iterdir()))}"
        configured = [part for each in settings for part in ("-c", each)]
        git(server, "clone", "-q", "-b", "theirs", *configured, str(server), str(clone))
        return clone

    return made


def held(server: Path, path: str) -> bytes:
    return (server / path).read_bytes()


def attributes(*lines: str) -> dict[str, bytes]:
    return {".gitattributes": ATTRIBUTES[".gitattributes"] + "".join(f"{line}\n" for line in lines).encode()}


BASE = ("--base", "origin/main")


def test_an_id_that_git_writes_does_not_hide_a_broken_record(server: Path, contribute: Contribute) -> None:
    broken = held(server, MODE).replace(b"Dayfilm backlit, 16 passes", b"$Id:" + b"x" * 500 + b"$")
    broken = broken.replace(b'"revision": 4', b'"revision": 5').replace(b"Deeper black wanted", b"Titled")
    clone = contribute({MODE: broken, **attributes("*.json ident")})
    assert b"x" * 500 not in held(clone, MODE)  # in the checkout the record is sound
    wanted = {("schema", MODE), ("git-attributes", ".gitattributes")}
    assert wanted <= set(found(clone, *BASE))
    assert wanted <= set(found(clone, "--at", "HEAD"))
    assert ("git-attributes", ".gitattributes") in found(clone)


@pytest.mark.parametrize(
    "line",
    ["*.icc text eol=crlf", "*.txt text eol=crlf", "* text=auto", "*.json working-tree-encoding=UTF-16"],
)
def test_attributes_that_alter_a_checkout_do_not_land(contribute: Contribute, line: str) -> None:
    clone = contribute(attributes(line))
    for how in (BASE, (), ("--at", "HEAD")):
        assert ("git-attributes", ".gitattributes") in found(clone, *how)


def test_a_profile_that_other_line_ends_spoil_is_told_where_it_is_spoilt(contribute: Contribute) -> None:
    path = f"records/substrates/{small.FILM}/profiles/house.icc"
    clone = contribute({path: icc_profile(body=b"a\nb\n"), **attributes("*.icc text eol=crlf")})
    assert ("altered-on-checkout", path) in found(clone)
    assert ("profile-unusable", path) not in found(clone)  # what git holds can be used


def test_attributes_below_the_records_have_no_place_there(contribute: Contribute) -> None:
    path = "records/substrates/.gitattributes"
    clone = contribute({path: b"*.json ident\n"})
    for how in (BASE, (), ("--at", "HEAD")):
        assert ("foreign-path", path) in found(clone, *how)


def test_attributes_that_are_a_link_are_refused(contribute: Contribute) -> None:
    clone = contribute({".gitattributes": b"README.md"}, modes={".gitattributes": "120000"})
    for how in (BASE, (), ("--at", "HEAD")):
        assert ("git-attributes", ".gitattributes") in found(clone, *how)


@pytest.mark.parametrize(
    "name", [".GitAttributes", "GITATT~1", "Records", ".gitattributes .", ".git\u200cattributes"]
)
def test_what_another_machine_takes_for_the_attributes_is_refused(contribute: Contribute, name: str) -> None:
    path = f"{name}/a.json" if name == "Records" else name
    clone = contribute({path: b"*.json ident\n"})
    for how in (BASE, (), ("--at", "HEAD")):
        assert ("look-alike", name) in found(clone, *how)


def test_a_submodule_below_the_records_is_found_though_its_folder_is_empty(
    server: Path, contribute: Contribute
) -> None:
    inner = "records/printers/inner"
    modules = f'[submodule "inner"]\n\tpath = {inner}\n\turl = ../inner\n'.encode()
    commit = git(server, "rev-parse", "HEAD").encode()
    clone = contribute({inner: commit, ".gitmodules": modules}, modes={inner: "160000"})
    assert list((clone / inner).iterdir()) == []
    for how in (BASE, (), ("--at", "HEAD")):
        assert found(clone, *how) == [("not-a-file", inner)]


def test_a_link_that_git_checks_out_as_a_file_is_still_a_link(contribute: Contribute) -> None:
    link = "records/printers/link.json"
    clone = contribute({link: b"broadreach-64.json"}, "core.symlinks=false", modes={link: "120000"})
    assert not (clone / link).is_symlink()
    for how in (BASE, (), ("--at", "HEAD")):
        assert found(clone, *how) == [("not-a-file", link)]


def test_a_link_that_a_later_commit_takes_away_is_found_all_the_same(server: Path, tmp_path: Path) -> None:
    clone = tmp_path / "clone"
    git(server, "clone", "-q", str(server), str(clone))
    link = "records/printers/link.json"
    (clone / link).symlink_to("/etc/hostname")
    git(clone, "add", "-A")
    git(clone, "commit", "-q", "-m", "A link")
    commit = git(clone, "rev-parse", "HEAD")
    git(clone, "rm", "-q", link)
    git(clone, "commit", "-q", "-m", "No link")
    assert found(clone, *BASE) == found(clone, "--at", "HEAD", *BASE) == [("not-a-file", link)]
    assert f"(came with {commit[:12]})" in CliRunner().invoke(main, ["-C", str(clone), "check", *BASE]).stdout
    assert found(clone, *BASE, "records/printers/broadreach-64.json") == []
    assert found(clone) == []
    git(clone, "reset", "-q", "--soft", "HEAD~2")
    git(clone, "commit", "-q", "--allow-empty", "-m", "Both in one")
    assert found(clone, *BASE) == []


def test_a_link_that_is_still_there_is_told_once(contribute: Contribute) -> None:
    link = "records/printers/link.json"
    clone = contribute({link: b"broadreach-64.json"}, modes={link: "120000"})
    assert found(clone, *BASE) == [("not-a-file", link)]


def test_line_ends_in_a_blob_are_found_though_git_would_mend_them(
    server: Path, contribute: Contribute
) -> None:
    site = "records/sites/mill-lane/site.json"
    mixed = held(server, site).replace(b"\n", b"\r\n")
    clone = contribute({site: mixed})
    (clone / site).touch()  # now git looks, and calls it changed
    assert git(clone, "status", "--porcelain").startswith("M ")
    assert ("file-form", site) in found(clone, "--at", "HEAD")
    assert ("file-form", site) in found(clone, *BASE)
    assert ("file-form", site) in found(clone)


def test_a_checkout_with_line_ends_of_windows_is_told_for_what_it_is(
    own_registry: Path, tmp_path: Path
) -> None:
    clone = tmp_path / "windows"
    git(own_registry, "clone", "-q", "-c", "core.autocrlf=true", str(own_registry), str(clone))
    assert b"\r\n" in held(clone, MODE)
    told = found(clone)
    assert {code for code, _ in told} == {"altered-on-checkout"}
    assert len(told) == len([path for path in (clone / "records").rglob("*") if path.is_file()])
    assert found(clone, MODE) == [("altered-on-checkout", MODE)]
    assert found(clone, "--at", "HEAD", *BASE) == []
    (clone / ".gitattributes").write_bytes(ATTRIBUTES[".gitattributes"])
    git(clone, "add", ".gitattributes")
    git(clone, "commit", "-q", "-m", "Attributes")
    for path in (clone / "records").rglob("*.*"):
        path.unlink()
    git(clone, "restore", ".")
    assert found(clone) == []


def test_a_registry_that_was_founded_here_is_not_altered_by_windows(server: Path, tmp_path: Path) -> None:
    clone = tmp_path / "windows"
    git(server, "clone", "-q", "-c", "core.autocrlf=true", "-c", "core.eol=crlf", str(server), str(clone))
    assert found(clone) == []


def test_what_an_editor_wrote_with_other_line_ends_is_judged_as_git_will_keep_it(server: Path) -> None:
    path = server / MODE
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert found(server) == found(server, "--base", "HEAD") == []
    path.write_bytes(path.read_bytes().replace(b'"cure_c": 104', b'"cure_c": 500'))
    assert found(server) == [("schema", MODE)]


def test_a_new_file_is_judged_as_a_filter_of_ones_own_will_keep_it(server: Path) -> None:
    site = "records/sites/north-quay/site.json"
    (server / site).parent.mkdir()
    data = held(server, "records/sites/mill-lane/site.json")
    (server / site).write_bytes(data.replace(b"Mill lane", b"mark"))
    assert found(server) == []
    (server / ".git/info").mkdir(exist_ok=True)
    (server / ".git/info/attributes").write_text("*.json filter=own\n")
    git(server, "config", "filter.own.clean", "sed 's/title/titel/'")
    assert ("schema", site) in found(server)
    assert not list((server / ".git/objects").rglob("tmp*"))


@pytest.mark.parametrize("flag", ["--assume-unchanged", "--skip-worktree"])
def test_what_was_edited_behind_gits_back_is_not_what_is_judged(server: Path, flag: str) -> None:
    git(server, "update-index", flag, MODE)
    path = server / MODE
    path.write_bytes(path.read_bytes().replace(b'"cure_c": 104', b'"cure_c": 500'))
    assert found(server) == [("altered-on-checkout", MODE)]
    said = CliRunner().invoke(main, ["-C", str(server), "check"]).stdout
    assert "other bytes from line" in said
    path.unlink()  # as where only a part of the registry is checked out
    assert [each for each in found(server) if each[0] == "missing-reference"] == []


def test_only_what_was_altered_and_asked_about_is_told(contribute: Contribute) -> None:
    clone = contribute(attributes("solids.txt text eol=crlf"))
    assert found(clone, READINGS) == [("altered-on-checkout", READINGS)]
    assert found(clone, MODE) == []
    assert set(found(clone, ".gitattributes")) == {("git-attributes", ".gitattributes")}


def test_fix_rewrites_what_lies_in_the_folder(server: Path) -> None:
    path = server / MODE
    good = path.read_bytes()
    path.write_bytes(good.replace(b"\n", b"\r\n"))
    result = CliRunner().invoke(main, ["-C", str(server), "check", "--fix"])
    assert result.exit_code == 0, result.output
    assert path.read_bytes() == good


def test_a_link_in_the_place_of_a_folder_hides_nothing(server: Path) -> None:
    (server / "records/printers").rename(server / "elsewhere")
    (server / "records/printers").symlink_to("../elsewhere")
    assert ("not-a-file", "records/printers") in found(server)
    assert ("deleted", "records/printers/broadreach-64.json") in found(server, "--base", "HEAD")


def test_what_git_ignores_lands_nowhere_and_is_not_judged(server: Path) -> None:
    (server / ".gitignore").write_text("*.orig\n")
    (server / "records/printers/old.json.orig").write_text("{}")
    assert found(server) == []
    (server / "records/printers/old.json").write_text("{}")
    assert {path for _, path in found(server)} == {"records/printers/old.json"}


def test_what_is_mended_but_not_committed_is_told_as_it_would_land(server: Path, tmp_path: Path) -> None:
    clone = tmp_path / "clone"
    git(server, "clone", "-q", str(server), str(clone))
    path = clone / MODE
    good = path.read_bytes()
    path.write_bytes(
        good.replace(b'"cure_c": 104', b'"cure_c": 500').replace(b'"revision": 4', b'"revision": 9')
    )
    git(clone, "commit", "-q", "-a", "-m", "Hotter")
    assert ("schema", MODE) in found(clone, *BASE)
    path.write_bytes(good)
    assert found(clone) == []
    assert ("schema", MODE) in found(clone, *BASE)
    path.write_bytes(good.replace(b'"cure_c": 104', b'"cure_c": 600'))
    assert found(clone, *BASE).count(("schema", MODE)) == 1
    path.write_bytes(good)
    git(clone, "commit", "-q", "-a", "-m", "As it was")
    assert found(clone, *BASE) == []


def test_the_lines_that_keep_line_ends_are_not_taken_away(contribute: Contribute) -> None:
    clone = contribute({".gitattributes": b"*.json text eol=lf\nrecords/**/*.txt -text\n"})
    for how in (BASE, ("--at", "HEAD", *BASE)):
        assert found(clone, *how) == [("attributes-removed", ".gitattributes")]
    assert found(clone, MODE, *BASE) == []
    clone = contribute({".gitattributes": b"* binary\n*.json text eol=lf\n"})
    assert found(clone, *BASE) == []


def test_a_tree_that_no_git_writes_is_refused_by_every_check(contribute: Contribute) -> None:
    clone = contribute({})
    entries = git(clone, "ls-tree", "HEAD").splitlines()
    names = [(mode, name, named) for mode, _, named, name in (each.split() for each in entries)]
    twice = sorted(names + [each for each in names if each[1] == ".gitattributes"], key=lambda each: each[1])
    raw = b"".join(f"{mode.lstrip('0')} {name}\0".encode() + bytes.fromhex(at) for mode, name, at in twice)
    tree = git(clone, "hash-object", "-w", "-t", "tree", "--literally", "--stdin", given=raw)
    git(clone, "reset", "-q", "--hard", git(clone, "commit-tree", "-p", "HEAD", "-m", "odd", tree))
    for how in (BASE, ("--at", "HEAD")):
        result = CliRunner().invoke(main, ["-C", str(clone), "check", *how])
        assert (result.exit_code, "lists '.gitattributes' twice" in result.output) == (3, True)


def test_a_link_on_a_side_branch_of_a_contribution_is_found_too(server: Path, tmp_path: Path) -> None:
    clone = tmp_path / "clone"
    git(server, "clone", "-q", str(server), str(clone))
    git(clone, "switch", "-q", "-c", "side")
    (clone / "records/link").symlink_to("/etc")
    git(clone, "add", "-A")
    git(clone, "commit", "-q", "-m", "A link")
    git(clone, "rm", "-q", "records/link")
    git(clone, "commit", "-q", "-m", "No link")
    git(clone, "switch", "-q", "main")
    git(clone, "commit", "-q", "--allow-empty", "-m", "Beside")
    git(clone, "merge", "-q", "--no-ff", "-m", "Both", "side")
    assert found(clone, *BASE) == [("not-a-file", "records/link")]
