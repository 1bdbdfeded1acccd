"""Bytes ↔ documents: strict reading, the file form for people, the digest form for identity."""

from registry.canonical.characters import invisible, visible
from registry.canonical.fault import Fault, Position, Unreadable
from registry.canonical.reading import faults, locate, read
from registry.canonical.tidy import read_tidy
from registry.canonical.tree import Json, join_pointer, lookup, merge_patch, split_pointer
from registry.canonical.writing import digest, file_form

__all__ = [
    "Fault",
    "Json",
    "Position",
    "Unreadable",
    "digest",
    "faults",
    "file_form",
    "invisible",
    "join_pointer",
    "locate",
    "lookup",
    "merge_patch",
    "read",
    "read_tidy",
    "split_pointer",
    "visible",
]
