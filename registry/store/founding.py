"""A fresh repository: made whole, or not at all; one that was left half made gives way to the next try."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from shutil import rmtree

from registry.errors import RegistryError
from registry.store.plumbing import Plumbing
from registry.store.repository import Repository
from registry.store.turn import under_way
from registry.store.write import commit, identity

__all__ = ["UnusableFolder", "create", "found", "founding"]

_HALF_MADE = "litstock-half-made"
"""A note in the git directory, for a kill leaves no time to clear up."""
_OURS = {".git", ".gitattributes", "README.md", "records", "schema"}


_PRE_PUSH = """#!/bin/sh
# Checks what is pushed over what has been pushed before; git push --no-verify leaves it out.
command -v litstock >/dev/null || { echo "litstock is not on the PATH: pushed unchecked" >&2; exit 0; }
while read -r ref new shared old
do
    case $new in *[!0]*) ;; *) continue ;; esac  # taken away
    case $old in *[!0]*) ;; *) continue ;; esac  # new there
    litstock check --base "$old" --at "$new" >&2 || exit 1
done
"""


class UnusableFolder(RegistryError):
    """A fresh registry cannot be made in a folder."""


def create(folder: Path, branch: str = "main") -> Repository:
    """Make a fresh repository, the same whatever the user's templates and settings."""
    _refuse_unusable(folder)
    folder.mkdir(parents=True, exist_ok=True)
    return _created(folder.resolve(), branch)


@contextmanager
def founding(folder: Path) -> Iterator[Repository]:
    """Make a fresh repository to be filled, or leave nothing behind."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    with suppress(OSError):  # killed before even the note was there
        (folder / ".git").rmdir()
    if _is_half_made(folder):
        _clear(folder)
    _refuse_unusable(folder)
    note = folder / ".git" / _HALF_MADE
    try:
        note.parent.mkdir(parents=True)
        note.touch()
        yield _created(folder.resolve(), "main")
        note.unlink()
    except BaseException:
        if missing:
            rmtree(missing[-1], ignore_errors=True)
        else:
            _clear(folder)
        raise


def found(folder: Path, files: Mapping[str, bytes | None], message: str) -> str:
    """Make a fresh repository with one commit of these files, by the user; or leave nothing behind."""
    with founding(folder) as repository:
        made = commit(repository, files, message, author=identity(repository))
        hook = repository.git_dir / "hooks" / "pre-push"
        hook.parent.mkdir(exist_ok=True)
        hook.write_text(_PRE_PUSH, encoding="utf-8")
        hook.chmod(0o755)
        return made


def _created(root: Path, branch: str) -> Repository:
    plumbing = Plumbing(root, root / ".git", root / ".git")
    plumbing.run("init", "--quiet", "--template=", f"--initial-branch={branch}", "--object-format=sha1")
    return Repository(root)


def _refuse_unusable(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise UnusableFolder(f"{str(folder)!r} is a file: name a new or an empty folder")
    if folder.exists() and (held := sorted(path.name for path in folder.iterdir())):
        raise UnusableFolder(
            f"{str(folder)!r} is not empty, it holds {held[0]!r}: name a new or an empty folder"
        )


def _is_half_made(folder: Path) -> bool:
    """Tell whether nothing but our own beginning is there: nobody can have committed to it since."""
    git_dir = folder / ".git"
    if not (git_dir / _HALF_MADE).exists():
        return False
    step = under_way(git_dir)
    first = step is not None and not step.old
    packed = git_dir / "packed-refs"
    loose = any(ref.is_file() for ref in (git_dir / "refs").rglob("*"))
    return first or not (loose or (packed.is_file() and packed.stat().st_size))


def _clear(folder: Path) -> None:
    """Take away what was put there, its note last; what is not ours stays."""
    made = [each for each in folder.iterdir() if each.name in _OURS or each.name.startswith(".litstock-")]
    git_dir = folder / ".git"
    inside = list(git_dir.iterdir()) if git_dir.is_dir() else []
    for each in (*made, *inside):
        if each != git_dir and each.name != _HALF_MADE:
            rmtree(each) if each.is_dir() else each.unlink(missing_ok=True)
    rmtree(git_dir, ignore_errors=True)
