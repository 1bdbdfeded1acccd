"""The second program that our numbers are held against."""

import warnings
from functools import cache
from typing import Any

import numpy as np

__all__ = ["colour_science"]


@cache
def colour_science() -> Any:
    """Return colour-science, imported without its side effects.

    It warns of each of its extras that is not installed, and changes how numpy prints numbers everywhere.
    """
    with warnings.catch_warnings(), np.printoptions():
        warnings.simplefilter("ignore")
        import colour  # noqa: PLC0415 (slow to import, and not at hand where the program runs)
    return colour
