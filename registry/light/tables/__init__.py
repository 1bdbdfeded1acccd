"""The packaged tables, each a text file with its source in its head, read when first asked for."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from registry.light.grid import Array, Grid, grid_of

__all__ = ["Table", "table"]


@dataclass(frozen=True, eq=False, slots=True)
class Table:
    """Columns of numbers on one grid of wavelengths."""

    grid: Grid
    columns: tuple[str, ...]
    values: Array
    """One row a wavelength, one column a name."""

    def column(self, name: str) -> Array:
        """Return one column by its name."""
        return self.values[:, self.columns.index(name)]


@cache
def table(name: str) -> Table:
    """Return the table in the file of this name, without its ending.

    >>> table("observer-2").columns, table("lamps").grid
    (('x', 'y', 'z'), Grid(first_nm=380, last_nm=780, step_nm=5))
    """
    text = (Path(__file__).parent / f"{name}.csv").read_text(encoding="utf-8")
    names, *rows = (line for line in text.splitlines() if not line.startswith("#"))
    numbers = np.loadtxt(rows, delimiter=",")
    numbers.flags.writeable = False
    return Table(grid_of(numbers[:, 0]), tuple(names.split(",")[1:]), numbers[:, 1:])
