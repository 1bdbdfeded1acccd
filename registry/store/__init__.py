"""The git repository behind a registry: finding it, reading it, committing to it, landing on it."""
