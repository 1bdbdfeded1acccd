"""What the read model must hold, worked out the slow way: one git process per commit and per file."""

import itertools
import json
import re
from collections.abc import Iterator
from functools import cache, cached_property
from typing import Any, NamedTuple

from jsonschema import Draft202012Validator

from registry.model.shape import shape_of
from tests.index.drawn import UNREADABLE
from tests.index.slowly import Commit, Slow

__all__ = ["Reconstruction", "Revision", "kind_and_id", "says_pulled"]

PLACES = {
    "registry": r"records/registry\.json",
    "substrate": r"records/substrates/(SLUG)/(SLUG)/substrate\.json",
    "print-mode": r"records/substrates/(SLUG)/(SLUG)/modes/(SLUG)\.json",
    "printer": r"records/printers/(SLUG)\.json",
    "application": r"records/applications/(SLUG)\.json",
    "guidance": r"records/guidance/(SLUG)\.json",
    "site": r"records/sites/(SLUG)/site\.json",
    "unit": r"records/sites/(SLUG)/units/(SLUG)\.json",
    "display": r"records/sites/(SLUG)/displays/(SLUG)\.json",
    "run": r"records/sites/(SLUG)/runs/(SLUG)\.json",
    "event": r"records/sites/(SLUG)/events/(SLUG)\.json",
    "confirmation": r"records/sites/(SLUG)/confirmations/(SLUG)\.json",
    "measurement": r"records/substrates/(SLUG)/(SLUG)/measurements/(SLUG)\.txt",
    "profile": r"records/substrates/(SLUG)/(SLUG)/profiles/(SLUG)\.icc",
}
ATTACHED = {"measurement", "profile"}
PULLED = ("Merge branch 'main' of ssh://hub/settings", "Merge remote-tracking branch 'origin/main'")
"""What git itself calls a merge of what was fetched of the shared branch."""
LINK, SUBMODULE = "120000", "160000"
ROLES = {"print-mode": ("mode", "substrate", "printer"), "display": ("display", "application")}
SIDES = {"mode", "substrate", "printer"}, {"application", "display"}


class Revision(NamedTuple):
    """One landed change of one file."""

    path: str
    seq: int
    n: int
    status: str
    kind: str
    rid: str
    blob: str
    number: int | None
    recorded: str | None
    standing: str | None
    digest: str | None
    faulty: bool


class Reconstruction:
    """The registry as of one tip."""

    def __init__(self, slow: Slow, tip: str) -> None:
        self.slow, self.tip = slow, tip

    @cached_property
    def chain(self) -> list[Commit]:
        commits = [self.slow.commit(self.tip)]
        while before := self.before(commits[-1]):
            commits.append(self.slow.commit(before))
        return commits[::-1]

    def before(self, commit: Commit) -> str:
        """Return where the shared branch stood before: at a plain pull, at the second parent."""
        if len(commit.parents) != 2:
            return next(iter(commit.parents), "")
        first, second = commit.parents
        mine = self.slow.reached(first) - self.slow.reached(second)
        theirs = self.slow.reached(second) - self.slow.reached(first)
        if not mine or not theirs or mine == self.slow.reached(first):
            return first
        own = (self.slow.commit(each) for each in mine)
        if not all(each.by == commit.by and self.is_own(each, mine) for each in own):
            return first
        return second if says_pulled(commit) or self.has_landings(theirs) else first

    def has_landings(self, side: set[str]) -> bool:
        """Tell whether what one side adds has a landing of what it adds itself."""
        merges = (each for each in map(self.slow.commit, side) if len(each.parents) == 2)
        return any(each.parents[1] in side for each in merges)

    def is_own(self, commit: Commit, mine: set[str]) -> bool:
        """Tell whether a commit is somebody's own work, or a pull before of what was pulled again since."""
        merged = commit.parents[1:]
        return len(commit.parents) == 1 or (
            len(merged) == 1 and merged[0] not in mine and says_pulled(commit)
        )

    @cached_property
    def landings(self) -> list[tuple[Any, ...]]:
        found = []
        for n, commit in enumerate(self.chain, 1):
            latest = max(each.committed for each in self.chain[:n])
            beside = [self.slow.commit(each) for each in self._beside(commit)]
            oldest_first = sorted(beside, key=lambda each: (each.authored, each.id))
            writers = list(dict.fromkeys(each.author for each in oldest_first)) or [commit.author]
            found.append(
                (
                    n,
                    commit.id,
                    latest,
                    commit.committed,
                    commit.offset,
                    commit.committer,
                    writers,
                    commit.subject,
                )
            )
        return found

    @cached_property
    def beside(self) -> set[tuple[str, int]]:
        return {(each, n) for n, commit in enumerate(self.chain, 1) for each in self._beside(commit)}

    def _beside(self, commit: Commit) -> set[str]:
        if not (before := self.before(commit)):
            return set()
        return self.slow.reached(commit.id) - self.slow.reached(before) - {commit.id}

    @cached_property
    def revisions(self) -> list[Revision]:
        found: list[Revision] = []
        seqs: dict[str, int] = {}
        before: dict[str, tuple[str, str]] = {}
        for n, commit in enumerate(self.chain, 1):
            after = self.slow.tree(commit.id)
            for path in sorted(before.keys() | after.keys()):
                if before.get(path) != after.get(path):
                    seqs[path] = seqs.get(path, 0) + 1
                    found.append(self._revision(path, seqs[path], n, before.get(path), after.get(path)))
            before = after
        return found

    @cached_property
    def written(self) -> set[tuple[Any, ...]]:
        """What each commit beside the chain, and each merge on it, wrote: what none of its parents holds."""
        return {
            self._wrote(self.slow.commit(name), n, path, before, after)
            for n, name, path, before, after in self._writings
        }

    @cached_property
    def _writings(self) -> list[tuple[int, str, str, list[Any], Any]]:
        """Landing, commit, path, what each parent holds, and what the commit wrote."""
        found = []
        for n, landing in enumerate(self.chain, 1):
            merge = {landing.id} if len(landing.parents) > 1 else set()
            for name in self._beside(landing) | merge:
                parents = [self.slow.tree(each) for each in self.slow.commit(name).parents] or [{}]
                tree = self.slow.tree(name)
                for path in set(tree).union(*parents):
                    before, after = [each.get(path) for each in parents], tree.get(path)
                    if after not in before:
                        found.append((n, name, path, before, after))
        return found

    @cached_property
    def lost(self) -> set[tuple[Any, ...]]:
        """Path, landing, blob and number of what each merge left out."""
        found: set[tuple[Any, ...]] = set()
        for n, landing in enumerate(self.chain, 1):
            if len(landing.parents) < 2:
                continue
            came = {(each[2], _blob(each[4])) for each in self._writings if each[0] == n}
            stood = {(each.path, each.blob) for each in self._last(n - 1).values() if each.blob}
            for path, blob in came | {each for each in stood if self._changed(each[0], n)}:
                now = self._last(n).get(path)
                if not self._goes_on(path, n, now.blob if now else "", blob, found):
                    found.add((path, n, blob, self._number(path, blob)))
        return found

    def _last(self, n: int) -> dict[str, Revision]:
        return {each.path: each for each in self.revisions if each.n <= n}

    def _changed(self, path: str, n: int) -> bool:
        return any(each.path == path and each.n == n for each in self.revisions)

    def _number(self, path: str, blob: str) -> int | None:
        kind, _ = kind_and_id(path)
        document = self.document(kind, blob) if blob else None
        return document.get("revision", 1) if document else None

    def _goes_on(self, path: str, n: int, state: str, from_: str, lost: set[tuple[Any, ...]]) -> bool:
        """Whether a file that stands so after landing `n` went on from another state of it."""
        steps = set()
        for m, _, at, parents, after in self._writings:
            if at == path and m <= n:
                before = {each[1] for each in parents if each}
                steps |= {
                    (_blob(after), each)
                    for each in before
                    if len(before) == 1 or self._raised(path, _blob(after), each)
                }
                steps |= {(_blob(after), "")} if m == n and not before else set()
        line = [each for each in self.revisions if each.path == path and each.n < n]
        for one, other in itertools.pairwise(line):
            if not any(each[:3] == (path, other.n, one.blob) for each in lost):
                steps.add((other.blob, one.blob))
        reached = {state}
        while more := {old for new, old in steps if new in reached} - reached:
            reached |= more
        return from_ in reached

    def _raised(self, path: str, blob: str, before: str) -> bool:
        number, old = self._number(path, blob), self._number(path, before)
        return bool(blob) and (number is None or old is None or number > old)

    def _wrote(self, commit: Commit, n: int, path: str, before: list[Any], after: Any) -> tuple[Any, ...]:
        told = self._revision(path, 0, n, before[0], after)
        status = told.status if len(before) == 1 or after is None else "M"
        replaced = " ".join(dict.fromkeys(each[1] for each in before if each))
        return (
            *(path, n, commit.id, commit.committed, commit.author, status),
            *(told.blob, replaced, told.number, told.digest, told.faulty),
        )

    def _revision(
        self,
        path: str,
        seq: int,
        n: int,
        before: tuple[str, str] | None,
        after: tuple[str, str] | None,
    ) -> Revision:
        kind, rid = kind_and_id(path)
        if after is None:
            return Revision(path, seq, n, "D", kind, rid, "", None, None, None, None, faulty=False)
        mode, blob = after
        status = "A" if before is None else "M" if mode[:2] == before[0][:2] else "T"
        if mode in {LINK, SUBMODULE}:
            return Revision(path, seq, n, status, kind, rid, "", None, None, None, None, faulty=True)
        document = self.document(kind, blob)
        if not kind or (document is None and kind not in ATTACHED):
            return Revision(path, seq, n, status, kind, rid, blob, None, None, None, None, faulty=True)
        if document is None:
            return Revision(path, seq, n, status, kind, rid, blob, None, None, None, None, faulty=False)
        digest = shape_of(kind).digest(document) if kind == "print-mode" else ""
        standing = document["status"] if kind == "print-mode" else "current"
        return Revision(
            *(path, seq, n, status, kind, rid, blob),
            document.get("revision", 1),
            document["recorded"]["date"],
            "withdrawn" if "withdrawn" in document else standing,
            digest,
            faulty=False,
        )

    def document(self, kind: str, blob: str) -> dict[str, Any] | None:
        """Return the document in a file; None where it is none, or does not fit its schema."""
        data = self.slow.file(blob)
        if kind in ATTACHED or not kind or data in UNREADABLE:
            return None
        found: dict[str, Any] = json.loads(data)
        return found if _fits(kind, data) else None

    @cached_property
    def files(self) -> dict[str, str]:
        """The readable records of the tip's own tree: their blobs by path."""
        found = {}
        for path, (mode, blob) in self.slow.tree(self.tip).items():
            kind, _ = kind_and_id(path)
            if mode not in {LINK, SUBMODULE} and kind and self.document(kind, blob) is not None:
                found[path] = blob
        return found

    @cached_property
    def confirmed(self) -> set[tuple[str, str]]:
        """Mode and settings digest of which some site's last word on some machine's print is a good one."""
        last: dict[tuple[str, ...], tuple[list[str], bool]] = {}
        for path, blob in self.files.items():
            kind, rid = kind_and_id(path)
            document = self.document("confirmation", blob) or {}
            if kind != "confirmation" or document.get("outcome") not in ("good", "usable", "failed"):
                continue
            names = ("mode", "settings_digest", "site", "unit")
            of = tuple(str(document.get(name, "")) for name in names)
            order = [str(document.get("date")), str(document.get("recorded", {}).get("date")), rid]
            if of not in last or last[of][0] < order:
                last[of] = (order, document["outcome"] != "failed")
        return {(mode, digest) for (mode, digest, *_), (_, well) in last.items() if well}

    @cached_property
    def subjects(self) -> set[tuple[str, int, str, str, bool]]:
        """Path, seq, blob, standing and newest of all that is to be found."""
        history: dict[str, list[Revision]] = {}
        for revision in self.revisions:
            history.setdefault(revision.path, []).append(revision)
        found = set()
        for path, blob in self.files.items():
            newest = history[path][-1]
            assert newest.blob == blob
            standing = self._standing(newest)
            found.add((path, newest.seq, blob, standing, True))
            if newest.kind == "print-mode" and standing == "trial":
                for older in reversed(history[path][:-1]):
                    if older.status == "D" or older.standing == "withdrawn":
                        break
                    if not older.faulty and self._standing(older) == "known-good":
                        found.add((path, older.seq, older.blob, "known-good", False))
                        break
        return found

    def _standing(self, revision: Revision) -> str:
        said = str(revision.standing)
        if revision.kind != "print-mode" or said != "known-good":
            return said
        return said if (revision.rid, revision.digest) in self.confirmed else "trial"

    @cached_property
    def rules(self) -> dict[str, dict[str, Any]]:
        """Every guidance record in force, by id."""
        found = {}
        for path, blob in self.files.items():
            kind, rid = kind_and_id(path)
            document = self.document(kind, blob) or {}
            if kind == "guidance" and "withdrawn" not in document:
                found[rid] = document
        return found

    @cached_property
    def verdicts(self) -> set[tuple[str, int, str, bool | None]]:
        """Path and seq of a subject, a rule, and what it answers where that is not no."""
        return {
            (path, seq, rid, answer)
            for path, seq, blob, _, _ in self.subjects
            for rid, answer in self._answers(path, blob)
            if answer is not False
        }

    def _answers(self, path: str, blob: str) -> Iterator[tuple[str, bool | None]]:
        kind, _ = kind_and_id(path)
        if kind not in {"print-mode", "application", "display"}:
            return
        document = self.document(kind, blob) or {}
        side = next(side for side in SIDES if ("mode" if kind == "print-mode" else kind) in side)
        case: dict[str, Any] = {"mode" if kind == "print-mode" else kind: document}
        for role in ROLES.get(kind, ())[1:]:
            for other, other_blob in self.files.items():
                if kind_and_id(other) == (role, document.get(role)):
                    case[role] = self.document(role, other_blob)
        for rid, rule in self.rules.items():
            asked, aside = (
                [
                    _answer(case, at, test)
                    for at, test in rule.get(member, {}).items()
                    if at.split("/")[1] in side
                ]
                for member in ("when", "unless")
            )
            if asked or aside:
                yield rid, False if False in asked or True in aside else None if None in asked else True


def _blob(entry: tuple[str, str] | None) -> str:
    return entry[1] if entry and entry[0] not in {LINK, SUBMODULE} else ""


@cache
def _fits(kind: str, data: bytes) -> bool:
    """Whether a file's document fits its schema, as another reader of schemas than the program's judges."""
    formats = Draft202012Validator.FORMAT_CHECKER
    return Draft202012Validator(shape_of(kind).schema, format_checker=formats).is_valid(json.loads(data))


def says_pulled(commit: Commit) -> bool:
    return commit.subject in PULLED


def kind_and_id(path: str) -> tuple[str, str]:
    for kind, pattern in PLACES.items():
        if match := re.fullmatch(pattern.replace("SLUG", "[a-z0-9][a-z0-9-]*"), path):
            return kind, "/".join(match.groups()) or kind
    return "", path


def _answer(case: Any, pointer: str, test: dict[str, Any]) -> bool | None:
    value = case
    for part in pointer.split("/")[1:]:
        try:
            value = value[int(part)] if isinstance(value, list) else value[part]
        except (KeyError, IndexError, TypeError, ValueError):
            return None
    return _passes(value, test)


def _passes(value: Any, test: dict[str, Any]) -> bool:
    """Tell what JSON Schema says of the few keywords that the rules here use."""
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return all(
        (
            "const" not in test or value == test["const"],
            "enum" not in test or value in test["enum"],
            "minimum" not in test or not number or value >= test["minimum"],
            "maximum" not in test or not number or value <= test["maximum"],
            "contains" not in test
            or not isinstance(value, list)
            or any(_passes(each, test["contains"]) for each in value),
            "not" not in test or not _passes(value, test["not"]),
        )
    )
