"""The colours that a print can give, as a body in CIELAB: its volume, its slices, its share of another's."""

import numpy as np
import numpy.typing as npt
from scipy.optimize import linprog
from scipy.spatial import ConvexHull, HalfspaceIntersection

from registry.light.fraction import Array

__all__ = ["Gamut", "GamutError", "enclosed"]

_LEAST_THICKNESS = 1e-4
"""In ΔE*ab: a body thinner than this is flat, and two bodies that share less have nothing in common."""
_ROUNDING = 1e-9


class GamutError(ValueError):
    """Colours that enclose no body; the text says why."""


class Gamut:
    """The smallest convex body that holds a set of colours.

    Parameters
    ----------
    lab_points : array_like, shape (n, 3)
        CIELAB of patches, four at the least, all against one white: paper, solids, overprints, dark mixtures
        and, better, tints between them.

    Raises
    ------
    GamutError
        Too few colours, values that are no numbers, or colours that all lie in one plane.

    Attributes
    ----------
    boundary : array, shape (m, 3, 3)
        Triangles of the surface, each three corners in CIELAB, seen anticlockwise from outside.

    Notes
    -----
    A convex hull overstates a gamut that is hollow somewhere, as most are between their solids: colours in
    the hollow are said to be held though no ink gives them. It also knows no colour beyond those measured, so
    that a set without its darkest mixture understates. Volumes compare prints that were measured with the
    same patches, each against its own white; where the colours lie is for `share_of` and `slice` to say.

    References
    ----------
    C. B. Barber, D. P. Dobkin and H. Huhdanpaa, The Quickhull algorithm for convex hulls, ACM Trans. Math.
    Softw. 22 (1996) 469-483.

    Examples
    --------
    >>> cube = Gamut([[l, a, b] for l in (40, 50) for a in (0, 10) for b in (0, 10)])
    >>> round(cube.volume, 6), cube.holds([[45, 5, 5], [45, 5, 11]]).tolist()
    (1000.0, [True, False])
    """

    def __init__(self, lab_points: npt.ArrayLike) -> None:
        points = np.asarray(lab_points, dtype=np.float64)
        if points.ndim != 2 or points.shape[1] != 3:
            raise GamutError(f"colours are rows of L*, a*, b*, not shape {points.shape}")
        if not np.isfinite(points).all():
            raise GamutError("a colour has a value that is no number")
        if len(points) < 4:
            raise GamutError(f"a body needs four colours or more, not {len(points)}")
        if np.linalg.svd(points - points.mean(axis=0), compute_uv=False)[-1] < _LEAST_THICKNESS:
            raise GamutError("the colours lie in one plane and enclose nothing")
        hull = ConvexHull(points)
        self.volume = float(hull.volume)
        """In cubic ΔE*ab."""
        corners = points[hull.simplices]
        across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        inwards = np.sum(across * hull.equations[:, :3], axis=1) < 0
        corners[inwards] = corners[inwards][:, ::-1]
        self.boundary: Array = corners
        self._faces: Array = hull.equations

    def holds(self, lab: npt.ArrayLike) -> npt.NDArray[np.bool_]:
        """Return whether colours lie in the body or on its surface.

        Parameters
        ----------
        lab : array_like, shape (..., 3)
            CIELAB against the same white.

        Returns
        -------
        array of bool, shape (...)
        """
        colours = np.asarray(lab, dtype=np.float64)
        answer: npt.NDArray[np.bool_] = np.all(
            colours @ self._faces[:, :3].T + self._faces[:, 3] <= _ROUNDING, axis=-1
        )
        return answer

    def slice(self, lightness: float) -> Array:
        """Return the outline of the body at one lightness, for drawing.

        Parameters
        ----------
        lightness : float
            L* of the cut.

        Returns
        -------
        array, shape (k, 2)
            a*, b* where the cut meets the edges, anticlockwise; shape (0, 2) where it misses the body.
        """
        low, high = self.boundary, np.roll(self.boundary, -1, axis=1)
        edges = np.stack([low, high], axis=2).reshape(-1, 2, 3)
        above = edges[:, :, 0] - lightness
        # An edge is cut where its ends lie on either side; one that lies in the cut is met by its neighbours.
        cut = (above.min(axis=1) <= 0) & (above.max(axis=1) >= 0) & (above[:, 0] != above[:, 1])
        if not cut.any():
            return np.empty((0, 2))
        edges, above = edges[cut], above[cut]
        way = above[:, 0] / (above[:, 0] - above[:, 1])
        met: Array = edges[:, 0, 1:] + way[:, np.newaxis] * (edges[:, 1, 1:] - edges[:, 0, 1:])
        return _around(np.unique(met.round(9), axis=0))

    def share_of(self, other: "Gamut") -> float:
        """Return how much of another body this one holds.

        Parameters
        ----------
        other : Gamut
            Against the same white.

        Returns
        -------
        float
            Volume of what both hold over the other's volume, 0 to 1. Exact but for rounding: the common body
            is the intersection of the half-spaces of all faces, and its volume that of its own hull.

        Examples
        --------
        >>> cube = Gamut([[l, a, b] for l in (40, 50) for a in (0, 10) for b in (0, 10)])
        >>> shifted = Gamut([[l, a, b] for l in (40, 50) for a in (5, 15) for b in (0, 10)])
        >>> round(cube.share_of(shifted), 9), round(cube.share_of(cube), 9)
        (0.5, 1.0)
        """
        faces = np.concatenate([self._faces, other._faces])  # noqa: SLF001  # of its own kind
        inside = _deepest(faces)
        if inside is None:
            return 0.0
        common = ConvexHull(HalfspaceIntersection(faces, inside).intersections).volume
        return float(min(common / other.volume, 1.0))


def enclosed(lab_points: npt.ArrayLike) -> Gamut | None:
    """Return the gamut of a set of colours, or None where they enclose no body.

    >>> enclosed([[50, 0, 0], [60, 0, 0], [70, 0, 0], [80, 0, 0]]) is None
    True
    """
    try:
        return Gamut(lab_points)
    except GamutError:
        return None


def _deepest(faces: Array) -> Array | None:
    """Return the centre of the largest ball within half-spaces, or None where they have no body in common."""
    found = linprog(
        [0, 0, 0, -1],
        A_ub=np.c_[faces[:, :3], np.ones(len(faces))],
        b_ub=-faces[:, 3],
        bounds=[(None, None)] * 3 + [(0, None)],
    )
    if found.status != 0 or found.x[3] < _LEAST_THICKNESS:
        return None
    centre: Array = found.x[:3]
    return centre


def _around(points: Array) -> Array:
    """Return points of a convex outline in anticlockwise order."""
    seen = points - points.mean(axis=0)
    return points[np.argsort(np.arctan2(seen[:, 1], seen[:, 0]))]
