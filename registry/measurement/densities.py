"""Whether the densities of a file can be those of its spectra."""

import re
from collections.abc import Iterator

import numpy as np

from registry.light.density import PRODUCTS_NOTE, Mode, Response, density
from registry.light.grid import Grid, SpectrumError, grid_of
from registry.measurement.conditions import Conditions
from registry.measurement.patches import Array, Patches

__all__ = ["contradicted"]

_APART, _SHARE, _LIGHT = 0.1, 0.05, 0.001
"""Densities differ where they lie further apart than 0.1 and 5 % of themselves, and their light by 0.1 %.

Common practice, no source: wide enough for other weights than the 10 nm products used here (ISO 5-3:2009 has
them), for another geometry, and for the noise of an instrument in deep solids.
"""
_STATUS = re.compile(r"\bstatus[ _-]?([AT])\b", re.IGNORECASE)
_OF = {"transmission": "A", "reflection": "T"}
"""The status that is for each, so far as it is known here."""
_RESPONSES: dict[str, dict[str, Response]] = {
    "transmission": {"D_RED": "status-a-red", "D_GREEN": "status-a-green", "D_BLUE": "status-a-blue"},
    "reflection": {"D_RED": "status-t-red", "D_GREEN": "status-t-green", "D_BLUE": "status-t-blue"},
}
_ABSOLUTE = re.compile(r"\b(?:absolute|perfect|open|air)\b", re.IGNORECASE)


def contradicted(patches: Patches, how: Conditions) -> Iterator[str]:
    """Yield the density columns that the spectra of the same patches contradict, in words.

    A column of a response that is not computed here, and densities over a zero that the file does not hold,
    are left alone. Where the header does not say what has density 0, either zero will do.
    """
    if patches.spectra is None or patches.wavelengths_nm is None or how.kind not in _OF:
        return
    try:
        grid = grid_of(patches.wavelengths_nm)
    except SpectrumError:
        return  # said by the doubt on spectra
    for column, said in patches.densities.items():
        pairs = [(each, _excess(said, each)) for each in _computed(patches, grid, column, how)]
        if pairs and all(excess.any() for _, excess in pairs):
            computed, excess = min(pairs, key=lambda pair: float(pair[1].max()))
            worst, wrong = int(excess.argmax()), int((excess > 0).sum())
            more = f"; so it is with {wrong} of {len(said)} patches" if wrong > 1 else ""
            pair = (
                f"{patches.names[worst]} has {said[worst]:.2f}, its spectrum comes to {computed[worst]:.2f}"
            )
            yield (
                f"{column} does not agree with the spectra: {pair} ({PRODUCTS_NOTE}){more}; which of the two "
                "is right?"
            )


def _response(column: str, how: Conditions) -> Response | None:
    """Return the response of a density column, None where it is not known here."""
    if column == "D_VIS":
        return "visual"
    status = _STATUS.search(how.response)
    if column not in _RESPONSES[how.kind] or status is None or status[1].upper() != _OF[how.kind]:
        return None
    return _RESPONSES[how.kind][column]


def _computed(patches: Patches, grid: Grid, column: str, how: Conditions) -> Iterator[Array]:
    """Yield the densities of the spectra over each zero that the file's may have."""
    response = _response(column, how)
    if patches.spectra is None or response is None:
        return
    mode: Mode = "reflection" if how.kind == "reflection" else "transmission"
    spectra, bare = np.maximum(patches.spectra, 0.0), patches.of({})
    try:
        if not how.zero or _ABSOLUTE.search(how.zero):
            yield density(spectra, grid, response, mode=mode).values
        if bare.size and not _ABSOLUTE.search(how.zero):
            white = spectra[bare].mean(axis=0)
            yield density(spectra, grid, response, relative_to=white, mode=mode).values
    except SpectrumError:  # too short for this response, or a black film
        return


def _excess(said: Array, computed: Array) -> Array:
    """Return by how much each pair lies further apart than it may; 0 where it does not."""
    apart = np.abs(said - computed) - (_APART + _SHARE * np.abs(said))
    light = np.abs(10.0**-said - 10.0**-computed)
    return np.where((apart > 0) & (light > _LIGHT), apart, 0.0)
