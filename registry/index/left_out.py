"""What merges left out, asked of the read model."""

from typing import NamedTuple

from registry.index.readmodel import ReadModel

__all__ = ["LeftOut", "left_out", "lost"]


class LeftOut(NamedTuple):
    """A side's last revision of a record that a merge left out, and that nobody has settled since."""

    path: str
    n: int
    """The landing that is this merge, or brought it."""
    blob: str
    revision: int
    """The number in its file."""


# Once a record was revised again, under a higher number than what the merge made of it, the loss is settled:
# who did that saw what is there, and the check told what is not. To go on telling it would teach people to
# read past the warning. What a merge took away altogether is settled when there is something at its place
# again, and anything when its very file is there, be it under another name.
_LEFT_OUT = """
SELECT path, n, blob, revision FROM lost AS l WHERE revision IS NOT NULL
    AND NOT EXISTS (SELECT 1 FROM revision r WHERE r.blob = l.blob AND r.n >= l.n)
    AND NOT EXISTS (
        SELECT 1 FROM revision r WHERE r.path = l.path AND r.n > l.n AND (
            r.status = 'A' OR r.revision > (
                SELECT coalesce(b.revision, l.revision) FROM revision b
                WHERE b.path = l.path AND b.n <= l.n ORDER BY b.seq DESC LIMIT 1)))
    AND NOT EXISTS (
        SELECT 1 FROM written w WHERE w.path = l.path AND w.n = l.n AND w.before = l.blob AND w.place > (
            SELECT max(place) FROM written x WHERE x.path = l.path AND x.n = l.n AND x.blob = l.blob))
    ORDER BY n, path
"""


def lost(model: ReadModel, path: str) -> set[tuple[int, str]]:
    """Return all that merges left out of a file: the landing, and the blob of what it does not go on from."""
    return set(model.db.execute("SELECT n, blob FROM lost WHERE path = ?", (path,)))


def left_out(model: ReadModel) -> list[LeftOut]:
    """Return what merges left out of records and nobody has settled since."""
    return [LeftOut(*row) for row in model.db.execute(_LEFT_OUT)]
