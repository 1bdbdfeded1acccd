"""Ink as a volume on an area, which alone compares across printers."""

__all__ = ["ink_volume"]

_INCH_M = 0.0254


def ink_volume(drop_volume_pl: float, resolution: tuple[float, float], coverage_pct: float) -> float:
    """Return the volume of ink laid on an area.

    Parameters
    ----------
    drop_volume_pl : float
        Volume of one drop, in pL, greater than 0.
    resolution : tuple of float
        Drops per inch across and along, each greater than 0.
    coverage_pct : float
        Sum of the channels as laid, in % of one drop a pixel; 0 and up.

    Returns
    -------
    float
        Volume in mL/m²: drop volume × resolution × coverage. Evaporation is left out: it is what leaves the
        head, not what stays on the film.

    Raises
    ------
    ValueError
        A value lies outside its range.

    Examples
    --------
    >>> round(ink_volume(7, (720, 720), 100), 3)
    5.625
    """
    if drop_volume_pl <= 0 or min(resolution) <= 0 or coverage_pct < 0:
        raise ValueError(
            f"drop volume and resolution must be above 0 and coverage not below 0, "
            f"not {drop_volume_pl!r} pL, {resolution!r} dpi, {coverage_pct!r} %"
        )
    drops_m2 = resolution[0] * resolution[1] / _INCH_M**2
    return drop_volume_pl * 1e-9 * drops_m2 * coverage_pct / 100
