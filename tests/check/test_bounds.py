"""A value at its limit is allowed; the finding of one beyond says by how much."""

from typing import Any

import pytest

from registry.check import Finding, check
from tests.check.small import BACKLIT, FILM, SHEET, WINDOW, Small

Patch = tuple[str, str, dict[str, Any]]


def found(small: Small, *patches: Patch) -> list[Finding]:
    for kind, rid, patch in patches:
        small.patch(kind, rid, patch)
    return check(small)


@pytest.mark.parametrize(
    "patch",
    [
        ("substrate", FILM, {"heat": {"max_web_c": 92}}),
        ("substrate", SHEET, {"heat": {"max_web_c": 90}}),
        ("print-mode", WINDOW, {"heat": {"web_centre_c": 93}}),
        ("printer", "wide-64", {"heaters": {"cure_max_c": 100, "cure_min_c": 90, "dry_max_c": 50}}),
        ("print-mode", WINDOW, {"motion": {"head_gap_mm": 1.5}}),
        ("print-mode", WINDOW, {"motion": {"head_gap_mm": 4}}),
        ("print-mode", WINDOW, {"ink": {"profile_max_pct": 250, "coverage_limit_pct": 380}}),
        ("printer", "wide-64", {"backlit_load_pct": {"low_pct": 200, "high_pct": 200}}),
        ("substrate", SHEET, {"widths_mm": [1625, 2000]}),
        ("substrate", FILM, {"storage": {"min_c": 30}}),
        ("complaint", "harbour-yard/pale-hall", {"received": "2026-03-02"}),
        ("printer", "wide-64", {"min_width_mm": 1625}),
        (
            "display",
            "harbour-yard/hall-1",
            {
                "demands": [
                    {"of": "substrate", "setting": "gloss_60_gu", "at_least": 8, "at_most": 8, "why": "so"}
                ]
            },
        ),
        ("site", "mill-lane", {"title": "x" * 80}),
        ("print-mode", WINDOW, {"ink": {"light_inks_pct": 0, "clear_coat_pct": 0}}),
        ("substrate", SHEET, {"finishing": {"needed": "none"}}),
    ],
    ids=str,
)
def test_a_value_at_its_limit_is_allowed(small: Small, patch: Patch) -> None:
    assert found(small, patch) == []


@pytest.mark.parametrize(
    "patches",
    [
        [("substrate", FILM, {"heat": None})],
        [("printer", "wide-64", {"heaters": None, "passes": None, "resolutions": None, "directions": None})],
        [("printer", "wide-64", {"drop_volume_pl": None, "backlit_load_pct": None, "max_width_mm": None})],
        [("print-mode", WINDOW, {"heat": None})],
        [("substrate", FILM, {"ink_chemistries": None}), ("substrate", FILM, {"surface": {"texture": None}})],
        [("substrate", SHEET, {"widths_mm": None})],
    ],
    ids=str,
)
def test_what_is_not_known_breaks_no_limit(small: Small, patches: list[Patch]) -> None:
    assert found(small, *patches) == []


def test_ink_is_weighed_as_volume_where_the_drop_is_known(small: Small) -> None:
    # 7 pL at 720 × 720 dpi lay 5.625 mL/m² at 100 %: × 3.92 and × 3.1.
    patch = ("print-mode", WINDOW, {"ink": {"profile_max_pct": 260, "coverage_limit_pct": 310}})
    (finding,) = found(small, patch)
    assert finding.found == "colour 312 % + white 80 % = 392 %, 22.05 mL/m²"
    assert finding.allowed == "at most 310 %, 17.44 mL/m²"


def test_ink_is_weighed_in_percent_where_the_drop_is_not_known(small: Small) -> None:
    patch = ("print-mode", WINDOW, {"ink": {"profile_max_pct": 260, "coverage_limit_pct": 310}})
    (finding,) = found(small, ("printer", "wide-64", {"drop_volume_pl": None}), patch)
    assert (finding.found, finding.allowed) == ("colour 312 % + white 80 % = 392 %", "at most 310 %")


def test_a_measured_web_may_be_cooler_than_its_set_point_allows_the_material(small: Small) -> None:
    cooler = ("print-mode", WINDOW, {"heat": {"cure_c": 118, "web_centre_c": 108}})
    assert found(small, ("substrate", SHEET, {"heat": {"max_web_c": 110}}), cooler) == []


def test_a_failed_re_wet_trial_is_outlived_by_a_later_one_passed(small: Small) -> None:
    trials = small.document("print-mode", BACKLIT)["trials"]
    failed = trials[0] | {"passed": False, "date": "2026-01-13"}
    assert found(small, ("print-mode", BACKLIT, {"trials": [failed, *trials]})) == []


def test_an_unmeasured_load_may_be_unusual_for_what_is_not_backlit(small: Small) -> None:
    layers = [{"what": "colour", "load_pct": 300}]
    assert found(small, ("print-mode", WINDOW, {"layers": layers})) == []


def test_white_may_lie_between_colour_and_block_out(small: Small) -> None:
    loads = {"colour": 100, "white": 80, "block-out": 200}
    layers = [
        {"what": what, "load_pct": loads[what]}
        for what in ("colour", "white", "block-out", "white", "colour")
    ]
    assert found(small, ("print-mode", WINDOW, {"layers": layers})) == []


def test_what_the_past_names_may_be_withdrawn(small: Small) -> None:
    small.put("print-mode", f"{SHEET}/old", small.document("print-mode", WINDOW) | {"title": "Old"})
    small.confirm(f"{SHEET}/old", "2026-02-19-old", outcome="failed")
    own = [{"mode": f"{SHEET}/old", "feed_correction_pct": 0.1}]
    withdrawn = {"date": "2026-02-20", "reason": "curls", "instead": WINDOW}
    patches = (
        ("unit", "harbour-yard/wide-1", {"own": own}),
        ("complaint", "harbour-yard/pale-hall", {"mode": f"{SHEET}/old"}),
        ("print-mode", f"{SHEET}/old", {"status": "withdrawn", "withdrawn": withdrawn}),
    )
    assert found(small, *patches) == []


def test_a_trial_of_an_unusual_load_is_warned_of_and_not_refused(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"lighting": "backlit"})
    (finding,) = check(small)
    assert (finding.code, finding.severity) == ("load-not-measured", "warning")
