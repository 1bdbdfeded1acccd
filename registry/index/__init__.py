"""The read model: one SQLite file, built from what has landed; it can be deleted at any time with no loss."""
