"""Whether a change works towards a defect or against it: common practice, no source.

Known only where common practice gives a direction, and the change says which way it went. It orders an
audit's answer; it never says what the cause was.
"""

import re
from collections.abc import Mapping
from typing import Any, Literal

from registry.change.compare import SettingChange

__all__ = ["DIRECTIONS", "Works", "event_works", "setting_works"]

Works = Literal["towards", "against", ""]

_LOAD = "mode/layers.*.load_pct"
_PASSES = ("mode/motion.passes", "mode/layers.*.passes")
_WEB = ("mode/heat.web_centre_c", "mode/heat.web_edge_c", "mode/heat.web_edge_hot_c")
_CURE = ("mode/heat.cure_c", "mode/heat.dwell_s", *_WEB)
_INK_LAID = (_LOAD, "mode/ink.profile_max_pct", "mode/ink.coverage_limit_pct", "mode/ink.light_inks_pct")
_LIGHT_LET_THROUGH = ("substrate/light.transmittance_pct", "display/panel.transmittance_pct")

DIRECTIONS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "sticking-on-the-roll": (
        (*_INK_LAID, "mode/web.tension_n", "event/humidity-excursion"),
        (
            *(*_CURE, "mode/heat.dry_c", "mode/heat.airflow_pct", *_PASSES, "mode/motion.pause_s"),
            *("event/heater-service", "event/sensor-service"),
        ),
    ),
    "mottle": (_INK_LAID, (*_PASSES, "mode/motion.pause_s")),
    "silvering-under-laminate": ((_LOAD,), ()),
    "scratching": ((), (*_CURE, "mode/ink.clear_coat_pct", "mode/motion.head_gap_mm")),
    "banding": ((), _PASSES),
    "too-dark": ((_LOAD,), _LIGHT_LET_THROUGH),
    "too-light": (_LIGHT_LET_THROUGH, (_LOAD,)),
    "washed-out-when-lit": (("display/ambient_lx",), (_LOAD,)),
}
"""By defect: what brings it on where it grows, and what holds it off; common practice, no source."""

_NAMED = {
    "heater-service": re.compile(r"\bweb (\d+(?:\.\d+)?) °C"),
    "sensor-service": re.compile(r"\bweb (\d+(?:\.\d+)?) °C"),
    "humidity-excursion": re.compile(r"\b(\d+(?:\.\d+)?) % RH"),
}
"""By kind of event: how its before and its after name the quantity that it changed."""


def setting_works(defect: str, place: str, change: SettingChange) -> Works:
    """Return which way a setting that differs works.

    >>> from registry.change.compare import compare
    >>> from registry.model.shape import shape_of
    >>> hotter, = compare(shape_of("print-mode"), {"heat": {"cure_c": 100}}, {"heat": {"cure_c": 105}})
    >>> setting_works("sticking-on-the-roll", "mode", hotter), setting_works("cast", "mode", hotter)
    ('against', '')
    """
    name = f"{place}/{change.setting}"
    if change.item:  # a whole layer more is more ink, but its passes are not more passes of the others
        rise = 0.0 if name != _LOAD else 1.0 if change.item == "added" else -1.0
    else:
        rise = change.change or 0.0
    return _works(defect, name, rise)


def event_works(defect: str, kind: str, event: Mapping[str, Any]) -> Works:
    """Return which way an event works, where its before and after name the quantity that it changed.

    >>> damp = {"before": "50 % RH", "after": "74 % RH"}
    >>> event_works("sticking-on-the-roll", "humidity-excursion", damp)
    'towards'
    """
    if kind not in _NAMED:
        return ""
    found = [_NAMED[kind].search(str(event.get(side, ""))) for side in ("before", "after")]
    before, after = (float(each[1]) if each else None for each in found)
    return "" if before is None or after is None else _works(defect, f"event/{kind}", after - before)


def _works(defect: str, name: str, rise: float) -> Works:
    brings, holds_off = DIRECTIONS.get(defect, ((), ()))
    if not rise or name not in (*brings, *holds_off):
        return ""
    return "towards" if (name in brings) == (rise > 0) else "against"
