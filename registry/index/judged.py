"""What sites have said of settings: kept as words, of which only the counting ones are ever told."""

import json
import sqlite3
from collections.abc import Iterable

from registry.model.word import Word, counting

__all__ = ["counting_words", "is_confirmed"]


def counting_words(db: sqlite3.Connection, digests: Iterable[str]) -> list[Word]:
    """Return the words that count on these settings, as they were said."""
    rows = db.execute(
        "SELECT path, mode, digest, site, unit, went_well, said FROM judgement"
        " WHERE digest IN (SELECT value FROM json_each(?))",
        (json.dumps(list(digests)),),
    )
    return counting(Word._make(row)._replace(went_well=bool(row[5])) for row in rows)


def is_confirmed(db: sqlite3.Connection, mode: str, digest: str) -> bool:
    """Whether some site's word that counts found a mode's settings good or usable."""
    return any(word.went_well and word.mode == mode for word in counting_words(db, [digest]))
