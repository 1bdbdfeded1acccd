"""All that a read model holds, to compare two of them."""

import sqlite3
from pathlib import Path
from typing import Any

from registry.index.build import extend
from registry.index.progress import silent
from registry.index.tables import TABLES
from registry.store.repository import Repository
from tests.index.branch import Branch

__all__ = ["Tables", "anew", "built_anew", "file_of", "tables"]

Tables = dict[str, list[tuple[Any, ...]]]

WORDS = ("deep", "film gloss", "dayfilm", "harbour", "720", "pier")
HELD = {
    "landing": "SELECT * FROM landing",
    "beside": "SELECT commit_id, n FROM beside",
    "written": "SELECT * FROM written",
    "lost": "SELECT * FROM lost",
    "revision": "SELECT * FROM revision",
    "judgement": "SELECT * FROM judgement",
    "subject": "SELECT kind, rid, path, seq, blob, standing, newest, title, digest, substrate, printer"
    " FROM subject",
    "facet": "SELECT o.path, o.seq, s.path, item, num, txt FROM facet f"
    " LEFT JOIN setting s ON s.id = f.setting LEFT JOIN subject o ON o.id = f.subject",
    "words": "SELECT o.path, o.seq, w.text FROM words w LEFT JOIN subject o ON o.id = w.rowid",
    "rule": "SELECT * FROM rule",
    "verdict": "SELECT o.path, o.seq, v.rule, v.holds FROM verdict v LEFT JOIN subject o ON o.id = v.subject",
}
FOUND = "SELECT o.path, o.seq FROM words w LEFT JOIN subject o ON o.id = w.rowid WHERE words MATCH ?"


def tables(db: sqlite3.Connection) -> Tables:
    """All that a read model holds, without the numbers that it gives to rows; a left-over row would show."""
    held = {name: sorted(db.execute(query), key=repr) for name, query in HELD.items()}
    for words in WORDS:
        held[f"words {words}"] = sorted(db.execute(FOUND, (words,)), key=repr)
    return held


def built_anew(repository: Repository, tip: str) -> Tables:
    """What a read model holds that was built in one go, from nothing."""
    db = sqlite3.connect(":memory:", isolation_level=None)
    db.executescript(TABLES)
    extend(db, repository, tip, "", silent)
    held = tables(db)
    db.close()
    return held


def file_of(branch: Branch) -> Path:
    return branch.folder / ".git" / "litstock" / "read-model.sqlite"


def anew(branch: Branch) -> Tables:
    return built_anew(Repository(branch.folder), branch.git("rev-parse", "HEAD"))
