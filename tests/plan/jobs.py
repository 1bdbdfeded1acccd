"""Documents and jobs for the tests of planning: invented, as small as they can be."""

from typing import Any

from registry.plan.job import Coverage, Job, coverage_of, pieces_of

CHANNELS = [{"name": name, "role": "colour"} for name in ("cyan", "magenta", "yellow", "black")]


def case(
    *,
    substrate: dict[str, Any] | None = None,
    mode: dict[str, Any] | None = None,
    printer: dict[str, Any] | None = None,
) -> dict[str, dict[str, Any]]:
    """Return a film on a printer, with what a test changes; None takes a member away."""
    return {
        "substrate": _changed(
            {"construction": "film", "widths_mm": [1067, 1524], "roll": {"length_m": 30}}, substrate
        ),
        "mode": _changed(
            {
                "layers": [{"what": "colour", "load_pct": 200}],
                "motion": {"passes": 16, "resolution": "720x720", "speed_m2_h": 5},
            },
            mode,
        ),
        "printer": _changed({"max_width_mm": 1625, "drop_volume_pl": 7, "channels": CHANNELS}, printer),
    }


def _changed(document: dict[str, Any], changes: dict[str, Any] | None) -> dict[str, Any]:
    changed = {**document, **(changes or {})}
    return {name: value for name, value in changed.items() if value is not None}


def job(*alone: str, sets: tuple[str, ...] = (), coverage: str = "", **lengths: Any) -> Job:
    """Return a job of these pieces, laid without bleed, gap or margin unless it is said otherwise."""
    inked: Coverage | None = coverage_of(coverage) if coverage else None
    laid = {"gap_mm": 0, "margin_mm": 0, **lengths}
    return Job(pieces=pieces_of(alone, sets), coverage=inked, **laid)
