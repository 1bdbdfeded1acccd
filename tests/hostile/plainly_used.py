"""What was in force, how cards stand, and what is odd about the line, worked out piece by piece."""

import datetime
import json
from functools import cached_property
from pathlib import Path
from typing import Any

from tests.hostile.plainly import Answer, Plainly, Rev, day, latest
from tests.index.reconstruction import kind_and_id

__all__ = ["PlainlyUsed"]


class PlainlyUsed(Plainly):
    """A registry as of one tip, in one clone, with all that rests on its revisions."""

    # -- in force --------------------------------------------------------------------------------------

    def in_force(self, path: str, where: str, until: float) -> list[Answer]:
        """Tell which revision a site or a unit was using at a moment, and how that is known."""
        mode = kind_and_id(path)[1]
        unit = f"records/sites/{where.replace('/', '/units/')}.json"
        if not self.line(path) or ("/" in where and not self.line(unit)):
            return [self.unknown]
        used = [each for each in self.uses(mode, where) if each[0] <= until]
        if not used:
            return [self._assumed(path, until)]
        at, _, _, _, rid, document = max(used, key=lambda each: each[:4])
        how = "run" if "printed" in document else "adopted"
        known = [each for each in [*self.line(path), *self.came_along(path)] if each.digest]
        if not known:
            return [("unreadable",)]
        same = [each for each in known if each.digest == document["settings_digest"]]
        exact = [each for each in same if each.number == document["mode_revision"]]
        if exact or same:
            said = "agrees" if exact else "other number"
            return [(how, at, rid, said, *self.told(each)) for each in latest(exact or same)]
        where = self.whereabouts(path, document["settings_digest"])[0]
        line = [each for each in known if each.landed] or known
        stands_for = ([each for each in line if each.number == document["mode_revision"]] or line)[-1]
        return [(how, at, rid, where, *self.told(stands_for))]

    def _assumed(self, path: str, until: float) -> Answer:
        if self.starts_late and until < self.dates[0]:
            return ("cut off",)
        landed = [each for each in self.line(path) if each.digest and self.dates[each.n - 1] <= until]
        if not landed:
            return ("cut off",) if self.starts_late else ("not landed yet",)
        good = [each for each in landed if self._says(each) == "known-good"]
        return ("assumed", *self.told((good or landed)[-1]))

    def uses(self, mode: str, where: str) -> list[tuple[float, bool, int, str, str, dict[str, Any]]]:
        """Return the runs and adoptions of a mode at a place, with what orders them: when, which proves."""
        found = []
        for path, blob in self.files.items():
            document = json.loads(self.slow.file(blob))
            if "/runs/" not in path and document.get("kind") != "adopted":
                continue
            if document.get("mode") != mode or where not in ("", document.get("unit"), document["site"]):
                continue
            told = document.get("printed") or document["at"]
            at = datetime.datetime.fromisoformat(told).timestamp()
            rid = f"{document['site']}/{Path(path).stem}"
            found.append((at, "printed" in document, len(rid), rid, rid, document))
        return found

    def first_uses(self, path: str) -> dict[tuple[object, ...], float]:
        """Return when each unit first adopted and first ran each revision."""
        first: dict[tuple[object, ...], float] = {}
        for at, proves, _, _, _, document in self.uses(kind_and_id(path)[1], ""):
            digest, number = document["settings_digest"], document["mode_revision"]
            same = [each for each in [*self.line(path), *self.came_along(path)] if each.digest == digest]
            exact = [each for each in same if each.number == number]
            for rev in latest(exact or same)[:1]:  # those that come along at once differ in nothing told here
                key = (rev.n, rev.landed, digest, document["unit"], "run" if proves else "adopted")
                first[key] = min(at, first.get(key, at))
        return first

    # -- cards -----------------------------------------------------------------------------------------

    def verdict(self, path: str, number: int, digest: str) -> list[Answer]:
        """Tell how a card with a number and the beginning of a digest stands, and which revision to use."""
        if self.line(path) and path not in self.files:
            return [self.told(self.line(path)[-1])]
        line = [each for each in self.line(path) if each.digest]
        known = [*line, *(each for each in self.came_along(path) if each.digest)]
        if not any(each.digest.startswith(digest) for each in known):
            where = self.whereabouts(path, digest)[0]
            other = number in {each.number for each in known if line}
            wrong = "digest of other settings" if other else "unknown revision"
            return [(wrong if where == "nowhere" else where,)]
        if not line:
            return [("merged away",)]
        if self._says(line[-1]) == "withdrawn":
            return [("withdrawn",)]
        good = [each for each in line if self._is_known_good(path, each)]
        use = (good or line)[-1]
        if use.digest.startswith(digest) and good:
            twice = sum((each.number, each.digest) == (use.number, use.digest) for each in line) > 1
            same = number == use.number and not twice
            return [("current" if same else "form only", use.number, use.digest)]
        of_newest = line[-1].digest.startswith(digest)
        return [("on trial" if of_newest else "newer revision", use.number, use.digest)]

    def _says(self, rev: Rev) -> str:
        document = json.loads(self.slow.file(rev.blob))
        return "withdrawn" if "withdrawn" in document else document["status"]

    def _is_known_good(self, path: str, rev: Rev) -> bool:
        return self._says(rev) == "known-good" and (kind_and_id(path)[1], rev.digest) in self.confirmed

    # -- what is told of the line ----------------------------------------------------------------------

    def written_at(self, path: str, n: int, blob: str) -> set[int]:
        """Return when what a landing holds was written: by those who wrote it just so, else as it landed."""
        wrote = {
            when
            for of, m, commit, when, _, _, same, *_ in self.written
            if (of, m, same) == (path, n, blob) and commit not in self.unknown_parents
        }
        return wrote or {self.chain[n - 1].committed}

    def clocks(self) -> set[tuple[str, str]]:
        """Return the landings in hand whose clock is behind one under them, with the day they count from."""
        steps = list(zip(self.chain, self.dates, strict=True))[: self._in_hand]
        return {(commit.id[:12], day(date)) for commit, date in steps if commit.committed < date}

    def pulls(self) -> set[tuple[str, str]]:
        """Return the plain pulls in hand, with how many landings came in behind each."""
        found = set()
        for n, commit in enumerate(self.chain[: self._in_hand]):
            if commit.parents and self.before(commit) not in ("", commit.parents[0]):
                stood, own = self.slow.reached(self.before(commit)), commit.parents[0]
                while own not in stood:
                    own = self.slow.commit(own).parents[0]
                parted = self.slow.reached(own)
                found.add((commit.id[:12], str(sum(each.id not in parted for each in self.chain[:n]))))
        return found

    @cached_property
    def _in_hand(self) -> int:
        """Return how many steps of the line what is checked out holds."""
        held = self.held("HEAD")
        return next((n for n, each in enumerate(self.chain) if each.id not in held), len(self.chain))
