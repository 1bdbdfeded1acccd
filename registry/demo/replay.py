"""Tell the demo's story into a git repository, by the same code that prepares every contribution."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from registry import canonical
from registry.contribute.prepare import (
    Contribution,
    Overlay,
    Tree,
    Writer,
    attach,
    combined,
    create,
    happened,
    revise,
)
from registry.contribute.start import ATTRIBUTES
from registry.demo.story import Commit, Landing, attachment, landings
from registry.model.kinds import KINDS, kind_at, place_at
from registry.model.shape import shape_of
from registry.store.founding import founding
from registry.store.landing import land
from registry.store.repository import Repository
from registry.store.write import Series, Signature

__all__ = ["Told", "present", "replay", "tell"]

_FIRST_FILES = {
    **ATTRIBUTES,
    "README.md": b"""# Registry of the Saltmarsh Sign Co-operative

A demo: three invented shops, their printers, films, settings and mishaps over eighteen months. Makers,
grades, printers and people's roles are made up, the readings are simulated, and nothing here is advice for a
real print.

Ask it with litstock from this folder: `litstock find --for concourse-light-box`.
""",
}


class _State:
    """The registry's files as the story has brought them about."""

    def __init__(self) -> None:
        self.files: dict[str, bytes] = {}

    def read(self, path: str) -> bytes | None:
        return self.files.get(path)

    def paths(self) -> Iterable[str]:
        return list(self.files)

    def change(self, files: Mapping[str, bytes | None]) -> None:
        for path, data in files.items():
            if data is None:
                del self.files[path]
            else:
                self.files[path] = data


@dataclass(frozen=True, slots=True)
class Told:
    """One landing of the story, ready to be written."""

    landing: Landing
    contributions: tuple[Contribution, ...]
    """One for each of its commits."""
    state: dict[str, bytes] = field(repr=False)
    """All files below `records/` once it has landed."""


def tell() -> Iterator[Told]:
    """Yield the story's landings, oldest first, with the files that each brings."""
    state = _State()
    digests: dict[tuple[str, int], str] = {}
    for landing in landings():
        landed = Overlay(_State(), dict(state.files))
        contributions = []
        for commit in landing.commits:
            contributions.append(_contribution(state, landed, commit, digests))
            state.change(contributions[-1].files)
            digests |= _digests(contributions[-1].files)
        yield Told(landing, tuple(contributions), dict(state.files))


def present() -> dict[str, bytes]:
    """Return the registry's files at the end of the story, by path from the top of the repository."""
    *_, last = tell()
    return last.state


def replay(folder: Path) -> Repository:
    """Write the story into a new or empty folder as a git repository; its commits are the same every time."""
    with founding(folder) as repository, Series(repository, sign=False) as series:
        for told in tell():
            if not series.head:
                first = told.landing.commits[0].recorded
                desk = Signature("registry desk", "desk@saltmarsh.invalid", first)
                series.commit(_FIRST_FILES, "Make room for the registry", author=desk)
            _write(series, told)
        series.finish()
    return repository


def _write(series: Series, told: Told) -> None:
    tip = brought = series.head
    for commit, contribution in zip(told.landing.commits, told.contributions, strict=True):
        author = Signature(
            f"{commit.role}, {commit.site}",
            f"{commit.role.split()[0]}@{commit.site}.invalid",
            commit.recorded,
        )
        brought = series.commit(contribution.files, contribution.message, author=author)
    desk = Signature(told.landing.landed_by, "desk@saltmarsh.invalid", told.landing.landed)
    land(series, tip, brought, None, f"Land: {told.landing.reason}", committer=desk)


def _contribution(
    state: Tree, landed: Tree, commit: Commit, digests: Mapping[tuple[str, int], str]
) -> Contribution:
    """Prepare a commit; attachments come first, for the records beside them name their check sums."""
    files: dict[str, bytes | None] = {}
    prepared = []
    for path in sorted(commit.files, key=lambda path: "attachment" not in commit.files[path]):
        told = commit.files[path]
        if "document" in told:
            told = {"document": _with_digest(told["document"], digests)}
        prepared.append(_prepared(Overlay(state, files), landed, path, told, commit))
        files |= prepared[-1].files
    return combined(*prepared, message=commit.reason)


def _prepared(tree: Tree, landed: Tree, path: str, told: dict[str, Any], commit: Commit) -> Contribution:
    writer, reason = Writer(commit.site, commit.recorded.date().isoformat()), commit.reason
    match told:
        case {"attachment": name}:
            return attach(tree, path, attachment(name))
        case {"patch": patch}:
            return revise(tree, path, patch, writer=writer, reason=reason, landed=landed)
        case {"document": document} if KINDS[kind_at(path) or ""].once:
            return happened(tree, path, document, writer=writer)
        case {"document": document}:
            return create(tree, path, document, writer=writer, reason=reason)
    raise ValueError(f"the story says {told!r} of {path}: write document, patch or attachment")


def _with_digest(document: dict[str, Any], digests: Mapping[tuple[str, int], str]) -> dict[str, Any]:
    """Give the digest of an older revision that is named: preparing knows the newest one only."""
    known = digests.get((document.get("mode", ""), document.get("mode_revision", 0)))
    return document | ({"settings_digest": known} if known else {})


def _digests(files: Mapping[str, bytes | None]) -> dict[tuple[str, int], str]:
    found = {}
    for path, data in files.items():
        place = place_at(path)
        if data is not None and place and place.kind == "print-mode":
            mode = canonical.read(data)
            found[place.id, mode["revision"]] = shape_of("print-mode").digest(mode)
    return found
