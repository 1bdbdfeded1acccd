"""Every revision of a record that the shared branch holds: its settings and its commit are what it is.

A revision is a step of what has landed, or a commit beside wrote it, which a landing brought: it was replaced
before it landed, or merged away. The number in its file is a label: drafts of one landing share it, and so do
two shops that revised a record at the same time.
"""

from collections.abc import Iterable, Mapping
from typing import TypeAlias, TypeVar

from registry.index.left_out import lost
from registry.index.readmodel import ReadModel, Revision, Subject, Written
from registry.model.shape import shape_of
from registry.question.registry import NotThen, Registry
from registry.question.whereabouts import whereabouts

__all__ = [
    "Known",
    "came_words",
    "committed",
    "digest_of",
    "known",
    "landed_on",
    "merged_away",
    "named_by",
    "numbered",
    "readable",
    "with_digest",
    "with_settings",
]

Known: TypeAlias = Revision | Written
_Any = TypeVar("_Any", Revision, Written, Known)


def known(model: ReadModel, path: str) -> list[Known]:
    """Return every revision of a file that is reachable, in the order in which they came.

    What a commit beside wrote and a landing holds just so is that landing's revision.
    """
    line = model.revisions(path)
    landed = {(each.n, each.blob) for each in line}
    beside = [each for each in model.written(path) if (each.n, each.blob) not in landed]
    return sorted([*beside, *line], key=lambda each: (each.n, isinstance(each, Revision)))


def with_digest(registry: Registry, path: str, digest: str) -> dict[str, Known]:
    """Return the revisions whose settings' digest begins so, by the whole of it; of alike ones the later."""
    found = _by_digest(registry, readable(known(registry.model, path)))
    return {whole: each for whole, each in found.items() if whole.startswith(digest)}


def numbered(registry: Registry, subject: Subject, number: int) -> Known:
    """Return the revision whose file gives a number; where files with other settings do, each is named."""
    found = _numbered(registry, subject.path, number)
    if not found:
        raise NotThen(f"{subject.rid} has no r{number}: {_numbers(registry, subject)}")
    if len(found) > 1:
        raise NotThen(
            f"{len(found)} revisions of {subject.rid} with other settings call themselves r{number}: "
            f"{_choices(registry, subject.rid, found)}"
        )
    return next(iter(found.values()))


def _numbers(registry: Registry, subject: Subject) -> str:
    """Return which numbers there are, and why another may be missing."""
    revisions = registry.model.revisions(subject.path)
    numbers = [each.revision for each in revisions if each.revision]
    shallow = registry.repository.shallow
    more = ", and this clone none before: run git fetch --unshallow and ask again" if shallow else ""
    if not numbers:
        return f"none of its revisions can be read; litstock check says more{more}"
    first, last = min(numbers), max(numbers)
    have = f"it has r{first} to r{last}" if first < last else f"it has only r{first}"
    faulty = (
        f"; what landed on {landed_on(registry, each)} {each.fault}" for each in revisions if each.fault
    )
    return have + more + "".join(faulty)


def with_settings(registry: Registry, subject: Subject, digest: str) -> Known:
    """Return the newest revision with the settings of which a digest, or the beginning of one, is given."""
    found = with_digest(registry, subject.path, digest)
    if not found:
        where = whereabouts(registry, subject.path, digest) or "no branch here has or had them"
        raise NotThen(f"{subject.rid} has no settings {digest}: {where}")
    if len(found) > 1:
        raise NotThen(f"{digest} may be either: {_choices(registry, subject.rid, found, len(digest) + 12)}")
    return next(iter(found.values()))


def _choices(registry: Registry, rid: str, found: Mapping[str, Known], digits: int = 12) -> str:
    """Return revisions by their settings, each with how it came and why, to choose one."""
    told = (
        f"{rid}@{digest[:digits]} ({each.label}, {came_words(registry, each)}: "
        f"{each.reason or 'no reason on record'})"
        for digest, each in found.items()
    )
    return "; ".join(told) + ": write one of these"


def named_by(revisions: Iterable[Known], digest: object, number: object) -> Known | None:
    """Return the revision whose settings a run or an adoption names, the one of its number where several are.

    One that has landed goes before one that only came along, else the later before the earlier.
    """
    same = [each for each in revisions if each.digest and each.digest == digest]
    exact = [each for each in same if each.revision == number] or same
    return max(reversed(exact), key=lambda each: isinstance(each, Revision), default=None)


def came_words(registry: Registry, revision: Known) -> str:
    """Return when a revision landed or, of one that only came along with a landing, when it was written."""
    if isinstance(revision, Revision):
        return f"landed on {landed_on(registry, revision)}"
    wrote = f"written on {registry.time(revision.committed):%Y-%m-%d} by {revision.author}"
    came = landed_on(registry, revision)
    if merged_away(registry.model, revision):
        return f"{wrote}, came in with the landing of {came} and was merged away"
    return f"{wrote} and replaced before it landed, by what landed on {came}"


def merged_away(model: ReadModel, revision: Known) -> bool:
    """Whether a revision came in with a landing that left it out: what that holds does not go on from it."""
    return isinstance(revision, Written) and (revision.n, revision.blob) in lost(model, revision.path)


def landed_on(registry: Registry, revision: Known) -> str:
    """Return the day of the landing that brought a revision, on the registry's clock."""
    return f"{registry.time(registry.model.landing(revision.n).landed):%Y-%m-%d}"


def _numbered(registry: Registry, path: str, number: int) -> dict[str, Known]:
    """Return the revisions whose file gives a number, by their settings' digest; of alike ones the later.

    A draft that its own branch replaced under the same number before it landed is left out.
    """
    written = registry.model.written(path)
    replaced = {(each.n, each.before) for each in written if each.revision == number and each.before}
    found = [
        each
        for each in readable(known(registry.model, path))
        if each.revision == number and (isinstance(each, Revision) or (each.n, each.blob) not in replaced)
    ]
    return _by_digest(registry, found)


def readable(revisions: Iterable[_Any]) -> list[_Any]:
    """Return those that hold a record that can be read."""
    return [each for each in revisions if each.status != "D" and not each.fault]


def digest_of(registry: Registry, revision: Known) -> str:
    """Return the digest of a readable revision's settings; only those of print modes are kept."""
    return revision.digest or shape_of(revision.kind).digest(registry.document(revision.blob))


def committed(model: ReadModel, revision: Known) -> int:
    """Return when a revision was written, by its own commit's clock (epoch seconds)."""
    if isinstance(revision, Written):
        return revision.committed
    wrote = [each for each in model.written(revision.path) if each.n == revision.n]
    same = [each.committed for each in wrote if each.blob == revision.blob]
    return same[-1] if same else model.landing(revision.n).clock


def _by_digest(registry: Registry, revisions: Iterable[Known]) -> dict[str, Known]:
    """Return revisions by digest; one that has landed before one that only came along."""
    revisions = list(revisions)
    registry.documents(each.blob for each in revisions if not each.digest)
    found: dict[str, Known] = {}
    for each in sorted(revisions, key=lambda each: isinstance(each, Revision)):
        found[digest_of(registry, each)] = each
    return found
