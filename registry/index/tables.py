"""The read model's tables."""

__all__ = ["TABLES"]

TABLES = """
-- By what it was made, as of which commit, and for which schema version the registry is written there.
CREATE TABLE made (key TEXT NOT NULL, tip TEXT NOT NULL, version INTEGER NOT NULL);
INSERT INTO made VALUES ('', '', 1);

-- Every step of the shared branch's first-parent chain, numbered from 1.
CREATE TABLE landing (
    n INTEGER PRIMARY KEY, commit_id TEXT NOT NULL UNIQUE,
    landed INTEGER NOT NULL, -- the latest that any clock has said up to here
    clock INTEGER NOT NULL, -- what the committer's own clock said
    utc_offset INTEGER NOT NULL, committer TEXT NOT NULL,
    writers TEXT NOT NULL, -- JSON: who wrote what this landing brought, oldest first
    subject TEXT NOT NULL
);

-- Every commit beside that chain, with the landing that brought it; of one landing, the oldest is at place 0.
CREATE TABLE beside (commit_id TEXT PRIMARY KEY, n INTEGER NOT NULL, place INTEGER NOT NULL) WITHOUT ROWID;
CREATE INDEX beside_n ON beside (n, place);

-- Where the shared branch has stood, as this clone saw it, that is no step of it any more: it was rewritten.
CREATE TABLE strayed (commit_id TEXT PRIMARY KEY) WITHOUT ROWID;

-- Every file below records/ at every landing that changed it; `seq` orders them, file by file. People call a
-- revision by `revision`, the number that the file itself gives.
CREATE TABLE revision (
    path TEXT NOT NULL, seq INTEGER NOT NULL, n INTEGER NOT NULL, status TEXT NOT NULL,
    kind TEXT NOT NULL, rid TEXT NOT NULL, blob TEXT NOT NULL, revision INTEGER, recorded TEXT,
    recorded_site TEXT, reason TEXT, standing TEXT, digest TEXT, fault TEXT,
    PRIMARY KEY (path, seq)
) WITHOUT ROWID;
CREATE INDEX revision_n ON revision (n);
CREATE INDEX revision_kind ON revision (kind, rid);
CREATE INDEX revision_blob ON revision (blob);
CREATE INDEX revision_fault ON revision (path) WHERE fault IS NOT NULL;

-- What each commit beside that chain wrote: what the landing that brought it holds, or replaced, or left out;
-- and what a landing wrote itself that is a merge. Of a merge `before` holds a blob for each parent that has
-- another, with spaces between.
CREATE TABLE written (
    path TEXT NOT NULL, n INTEGER NOT NULL, place INTEGER NOT NULL, commit_id TEXT NOT NULL,
    committed INTEGER NOT NULL, author TEXT NOT NULL, status TEXT NOT NULL,
    kind TEXT NOT NULL, rid TEXT NOT NULL, blob TEXT NOT NULL, before TEXT NOT NULL, revision INTEGER,
    recorded TEXT, recorded_site TEXT, reason TEXT, standing TEXT, digest TEXT, fault TEXT,
    PRIMARY KEY (path, n, place)
) WITHOUT ROWID;
CREATE INDEX written_n ON written (n);
CREATE INDEX written_blob ON written (blob);

-- What a merge left out of a file: what had landed, or came with it, and what landed does not go on from.
CREATE TABLE lost (
    path TEXT NOT NULL, n INTEGER NOT NULL, blob TEXT NOT NULL, kind TEXT NOT NULL,
    revision INTEGER, -- the number in the lost file; NULL where that is no record, or none that can be read
    PRIMARY KEY (path, n, blob)
) WITHOUT ROWID;

-- What every confirmation that is there now says of which settings; which words count is told in Python.
CREATE TABLE judgement (path TEXT PRIMARY KEY, mode TEXT NOT NULL, digest TEXT NOT NULL, site TEXT NOT NULL,
    unit TEXT NOT NULL, went_well INTEGER NOT NULL, said TEXT NOT NULL) WITHOUT ROWID;
CREATE INDEX judgement_digest ON judgement (digest);

-- What there is to find now: the newest revision of each record, and of a print mode on trial also the last
-- known-good one.
CREATE TABLE subject (
    id INTEGER PRIMARY KEY, kind TEXT NOT NULL, rid TEXT NOT NULL, path TEXT NOT NULL, seq INTEGER NOT NULL,
    number INTEGER NOT NULL, blob TEXT NOT NULL, standing TEXT NOT NULL, newest INTEGER NOT NULL,
    title TEXT NOT NULL, digest TEXT NOT NULL, substrate TEXT NOT NULL, printer TEXT NOT NULL
);
CREATE INDEX subject_kind ON subject (kind, rid);
CREATE INDEX subject_rid ON subject (rid);
CREATE INDEX subject_path ON subject (path);
CREATE INDEX subject_substrate ON subject (substrate);

CREATE TABLE setting (id INTEGER PRIMARY KEY, path TEXT NOT NULL UNIQUE);
CREATE TABLE facet (
    setting INTEGER NOT NULL, subject INTEGER NOT NULL, item INTEGER NOT NULL, num REAL, txt TEXT NOT NULL,
    PRIMARY KEY (setting, subject, item)
) WITHOUT ROWID;
CREATE INDEX facet_subject ON facet (subject);

CREATE VIRTUAL TABLE words USING fts5 (text, tokenize = 'unicode61 remove_diacritics 2');

-- Guidance: which rules hold for a mode, and which for a place, each on its own side of the rule.
-- holds: 1 yes, NULL cannot be told; what does not hold has no row.
CREATE TABLE rule (rid TEXT PRIMARY KEY, level TEXT NOT NULL, text TEXT NOT NULL, source TEXT NOT NULL,
    of_mode INTEGER NOT NULL, of_place INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE verdict (rule TEXT NOT NULL, subject INTEGER NOT NULL, holds INTEGER,
    PRIMARY KEY (subject, rule)) WITHOUT ROWID;
"""
