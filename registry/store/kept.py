"""What git keeps of a working tree: what the index names, what differs from it, what becomes of a file.

Attributes, filters and settings such as core.autocrlf make two things of a checkout and what git holds.
"""

from collections.abc import Iterable, Mapping
from copy import copy
from tempfile import TemporaryDirectory

from registry.store.drafts import STATUS, read_status
from registry.store.git import Git
from registry.store.repository import Repository, is_blob
from registry.store.walk import Entry, path_text

__all__ = ["changed", "indexed", "kept"]

# What is judged: the records, and how git is told to treat them. Whatever a machine takes for these, too.
JUDGED = (":(icase)records", ":(icase).gitattributes")
# Else git may refuse what it would convert, and that is just what is asked.
HASH = ("-c", "core.safecrlf=false", "hash-object", "--stdin-paths")


def indexed(repository: Repository) -> dict[str, Entry]:
    """List what the index names, by path; nothing of what a merge has left open."""
    entries = {}
    for line in repository.git.run("ls-files", "--stage", "-z").split(b"\0")[:-1]:
        what, _, path = line.partition(b"\t")
        mode, blob, stage = what.decode("ascii").split(" ")
        if stage == "0":
            entries[path_text(path)] = Entry(mode, blob)
    return entries


def changed(repository: Repository) -> dict[str, str]:
    """Tell by path what differs from the last commit, staged or not: added, changed or missing."""
    status = read_status(repository.git.run(*STATUS, "--", *JUDGED))
    return {path.rstrip("/"): state for path, state in status}  # a repository within has a slash at its end


def kept(repository: Repository, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return what git would keep of files that lie in the working tree, were they committed now.

    Nearly always that is just what lies there. Only where it is not, git is asked for what it makes of it,
    in a place that is thrown away.
    """
    names = _named(repository.git, files)
    made = [path for path, data in files.items() if not is_blob(data, names[path])]
    if not made:
        return dict(files)
    with TemporaryDirectory(prefix="litstock-") as scratch:
        beside = copy(repository)
        beside.git = Git(
            repository.root,
            {
                "GIT_OBJECT_DIRECTORY": scratch,
                "GIT_ALTERNATE_OBJECT_DIRECTORIES": str(repository.common_dir / "objects"),
            },
        )
        names = _named(beside.git, made, "-w")
        contents = dict(beside.blobs(names.values()))
    return {**files, **{path: contents[name] for path, name in names.items()}}


def _named(git: Git, paths: Iterable[str], *how: str) -> dict[str, str]:
    """Return the names of the blobs that git would make of files, filtered as their paths ask."""
    wanted = list(paths)
    if not wanted:
        return {}
    said = git.run(*HASH, *how, input=b"".join(map(_quoted, wanted)))
    return dict(zip(wanted, said.decode("ascii").split(), strict=True))


def _quoted(path: str) -> bytes:
    r"""Write a path as a line in which every byte may stand.

    >>> print(_quoted('a "b"').decode(), end="")
    "a \"b\""
    """
    raw = path.encode("utf-8", "surrogateescape")
    for plain, escaped in ((b"\\", b"\\\\"), (b'"', b'\\"'), (b"\n", b"\\n")):
        raw = raw.replace(plain, escaped)
    return b'"' + raw + b'"\n'
