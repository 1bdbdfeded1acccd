"""The patches by which people know a print: the unprinted film, the solids, and one ink upon another."""

__all__ = ["INKS", "OVERPRINTS", "SOLIDS"]

INKS = ("C", "M", "Y", "K")

SOLIDS: tuple[tuple[str, tuple[int, int, int, int]], ...] = (
    ("unprinted", (0, 0, 0, 0)),
    ("cyan", (100, 0, 0, 0)),
    ("magenta", (0, 100, 0, 0)),
    ("yellow", (0, 0, 100, 0)),
    ("black", (0, 0, 0, 100)),
    ("magenta + yellow", (0, 100, 100, 0)),
    ("cyan + yellow", (100, 0, 100, 0)),
    ("cyan + magenta", (100, 100, 0, 0)),
)
"""Names and device values in %."""
OVERPRINTS = 3
"""How many of the last are overprints."""
