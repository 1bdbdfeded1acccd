"""What a merge left out of a record: which states of it what landed does not go on from.

A file goes on from a state by a commit that wrote it anew, and by a merge that wrote it anew under a higher
number than that state has: that is how two revisions are settled into one. A merge that takes one side's file
as it is, or mixes both without a new number, leaves the other side's revision out.
"""

import sqlite3
from collections.abc import Callable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from itertools import pairwise
from typing import NamedTuple

__all__ = ["note_lost"]

# Where one commit alone wrote a file and the landing took it over, nothing can be lost: nearly all there is.
_DOUBTFUL = """
SELECT path, n FROM revision INDEXED BY revision_n WHERE n > ?1
UNION SELECT path, n FROM written INDEXED BY written_n WHERE n > ?1
EXCEPT SELECT r.path, r.n FROM revision r INDEXED BY revision_n
    JOIN written w ON w.path = r.path AND w.n = r.n AND w.blob = r.blob
    LEFT JOIN revision p ON p.path = r.path AND p.seq = r.seq - 1
    WHERE r.n > ?1 AND w.before = coalesce(p.blob, '')
    AND (SELECT count(*) FROM written x WHERE x.path = r.path AND x.n = r.n) = 1
"""


class _Wrote(NamedTuple):
    n: int
    blob: str
    before: str


Same = Callable[[str, str, str], bool]
"""Whether two files of a kind of record, by their blobs, say the same, in whatever form."""


def note_lost(
    db: sqlite3.Connection, known: int, merges: Mapping[int, str], cut: AbstractSet[str], same: Same
) -> None:
    """Note what the merges among the landings after `known` left out.

    What stands there in another form is not left out: a branch from before a migration is merged like that.
    Of one that brought a commit at which a clone is cut off nothing is noted: what that wrote is not known.
    """
    if not merges:
        return
    brought = db.execute("SELECT n, commit_id FROM beside WHERE n > ?", (known,)) if cut else ()
    unsure = {number for number, commit in brought if commit in cut}
    doubtful = [row for row in db.execute(_DOUBTFUL, (known,)) if row[1] in merges and row[1] not in unsure]
    for path, number in sorted(doubtful, key=lambda row: row[1]):  # what is lost once bears on what follows
        rows = list(_lost(db, path, number, same))
        db.executemany("INSERT INTO lost VALUES (?,?,?,?,?)", rows)


def _lost(
    db: sqlite3.Connection, path: str, number: int, same: Same
) -> Iterator[tuple[str, int, str, str, int | None]]:
    """Yield what the landing `number` left out of a file."""
    line = db.execute(
        "SELECT n, blob, revision, kind FROM revision WHERE path = ? AND n <= ? ORDER BY seq",
        (path, number),
    ).fetchall()
    wrote = db.execute(
        "SELECT n, blob, revision, kind, before FROM written WHERE path = ? AND n <= ? ORDER BY n, place",
        (path, number),
    ).fetchall()
    about = {blob: (kind, revision) for _, blob, revision, kind, *_ in (*line, *wrote)}
    numbers = {blob: revision for blob, (_, revision) in about.items()}
    stood = [blob for n, blob, *_ in line if n < number][-1:]
    gone = set(db.execute("SELECT n, blob FROM lost WHERE path = ?", (path,)))
    before = _before([_Wrote(n, blob, was) for n, blob, _, _, was in wrote], number, numbers)
    for (_, was, *_), (n, blob, *_) in pairwise(line):
        if n < number and (n, was) not in gone:
            before.setdefault(blob, set()).add(was)
    held = _reached(line[-1][1] if line else "", before)
    for blob in dict.fromkeys([*(each[1] for each in wrote if each[0] == number), *filter(None, stood)]):
        alike = (each for each in held if each and blob and about.get(each) == about[blob])
        if blob not in held and not any(same(about[blob][0], blob, each) for each in alike):
            yield (path, number, blob, *about[blob])


def _before(wrote: list[_Wrote], number: int, numbers: Mapping[str, int | None]) -> dict[str, set[str]]:
    """Return what each state of a file goes on from, by what commits up to the landing `number` wrote."""
    found: dict[str, set[str]] = {}
    for each in wrote:
        several = " " in each.before
        for blob in each.before.split(" "):
            if several and not (each.blob and _raised(numbers.get(each.blob), numbers.get(blob))):
                continue
            # That there was nothing counts within one landing: a branch may remove a file and bring it back.
            if blob or each.n == number:
                found.setdefault(each.blob, set()).add(blob)
    return found


def _raised(number: int | None, before: int | None) -> bool:
    """Whether a merge gave what it wrote a higher number than a side had, as far as both have one."""
    return number is None or before is None or number > before


def _reached(blob: str, before: Mapping[str, set[str]]) -> set[str]:
    found: set[str] = set()
    ahead = [blob]
    while ahead:
        if (state := ahead.pop()) not in found:
            found.add(state)
            ahead.extend(before.get(state, ()))
    return found
