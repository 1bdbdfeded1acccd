"""What usually explains a defect, and how an event acts on colour: common practice, no source.

An entry is a place and the beginning of a setting's path in it (`mode/heat`, `job/roll_lot`), or `event/` and
a kind of event. It orders an audit's answer; it never says what the cause was.
"""

from registry.model.words import Effect

__all__ = [
    "COLOUR_DEFECTS",
    "EVENT_EFFECT",
    "USUAL",
    "WHITE",
    "effect_rank",
    "is_usual",
    "usual_rank",
    "white_step",
]

EVENT_EFFECT: dict[str, Effect] = {
    "adopted": "none",  # what it changed is listed setting by setting
    "head-replaced": "direct",
    "alignment": "indirect",
    "nozzle-loss": "direct",
    "linearisation": "direct",
    "heater-service": "indirect",
    "sensor-service": "indirect",
    "firmware": "indirect",
    "colour-software": "direct",
    "profile-change": "direct",
    "instrument-changed": "indirect",
    "instrument-recalibrated": "indirect",
    "ink-lot": "direct",
    "fixing-fluid-lot": "indirect",
    "substrate-lot": "direct",
    "laminate-lot": "indirect",
    "humidity-excursion": "indirect",
    "lamp-some-replaced": "direct",
    "lamp-all-replaced": "direct",
    "driver": "direct",
    "dimming": "direct",
    "diffuser-or-panel": "direct",
    "cleaned": "indirect",
    "moved": "indirect",
}

_ROLL = ("job/roll_lot", "event/substrate-lot")
_INK = ("job/ink_lot", "event/ink-lot")
_FLUID = ("job/fixing_fluid_lot", "event/fixing-fluid-lot")
_LAMINATE = ("job/laminate_lot", "event/laminate-lot")

_TONE = (
    *("mode/layers", "mode/ink", "mode/ink_set", "mode/colour", "mode/motion.resolution"),
    *("unit/own.*.linearised", "job/colour", "profile/", *_ROLL, *_INK),
    *("substrate/light", "substrate/coating", "printer/drop_volume_pl"),
    *("event/linearisation", "event/profile-change", "event/colour-software", "event/head-replaced"),
    *("event/nozzle-loss", "event/instrument-changed", "event/instrument-recalibrated"),
)
_LIT = (
    *("display/lamp", "display/luminance", "display/panel", "display/box_reflectance_pct"),
    *("event/lamp-some-replaced", "event/lamp-all-replaced", "event/driver", "event/dimming"),
    *("event/diffuser-or-panel", "job/display"),
)
_DRYING = (
    *("mode/heat", "mode/motion.passes", "mode/motion.pause_s", "mode/layers", "mode/ink"),
    *("substrate/coating", "substrate/ink_chemistries", *_ROLL, *_INK, *_FLUID),
    *("event/heater-service", "event/sensor-service", "event/humidity-excursion"),
)

USUAL: dict[str, tuple[str, ...]] = {
    "cast": (*_TONE, *_LIT),
    "too-light": (*_TONE, *_LIT),
    "too-dark": (*_TONE, *_LIT, "event/cleaned"),
    "washed-out-when-lit": (*_TONE, *_LIT, "display/ambient_lx", "event/moved"),
    "hot-spots": (
        *(*_LIT, "display/lamp_distance_mm", "substrate/light", *_ROLL),
        *("mode/layers.white", "mode/layers.block-out"),  # colour lets light through and spreads none
        *("event/moved", "event/cleaned"),
    ),
    "banding": (
        *("mode/motion", "mode/web", "mode/layers.*.passes", "mode/heat", "unit/own", *_ROLL),
        *("event/head-replaced", "event/alignment", "event/nozzle-loss", "event/firmware"),
        *("event/sensor-service", "event/heater-service", "event/humidity-excursion"),
    ),
    "mottle": (*_DRYING, "substrate/surface", "substrate/finish"),
    "silvering-under-laminate": (
        *("mode/finishing", "mode/heat", "mode/layers", "mode/ink", "substrate/surface", "substrate/finish"),
        *(*_ROLL, *_LAMINATE, "event/heater-service", "event/sensor-service", "event/humidity-excursion"),
    ),
    "panels-that-differ": (
        *(*_TONE, "mode/motion.direction", "unit/own", "event/alignment", "event/firmware"),
        *("event/lamp-some-replaced", "event/heater-service", "event/humidity-excursion"),
    ),
    "scratching": (
        *("mode/finishing", "mode/heat", "mode/ink.fixing_fluid_pct", "mode/ink.clear_coat_pct"),
        *("mode/motion.head_gap_mm", "mode/web", "unit/own.*.vacuum_pct", "substrate/surface"),
        *("substrate/coating", "substrate/finishing", *_ROLL, *_INK, *_FLUID, *_LAMINATE),
        *("event/heater-service", "event/sensor-service"),
    ),
    "sticking-on-the-roll": (*_DRYING, "mode/web"),
}
"""By defect: what usually explains it. Common practice, no source."""


COLOUR_DEFECTS = frozenset(
    {"cast", "too-light", "too-dark", "washed-out-when-lit", "hot-spots", "panels-that-differ"}
)
"""Defects of colour and light: of these alone effects on colour are told, and order what explains one."""

_COLOUR_FIRST = (
    (
        *("mode/layers", "mode/ink", "mode/ink_set", "mode/colour", "unit/own.*.linearised", "job/colour"),
        *("profile/", "job/display", "display/lamp", "display/luminance", "display/panel"),
        *("event/lamp-some-replaced", "event/lamp-all-replaced", "event/driver", "event/dimming"),
        *("event/diffuser-or-panel", "event/head-replaced", "event/linearisation"),
        *("event/profile-change", "event/colour-software", "event/not-adopted", "mode/not-adopted"),
    ),
    (*_ROLL, *_INK, "event/nozzle-loss", "substrate/light", "substrate/coating"),
)
"""What is made to act on colour or light comes before what varies by the way, however near in time."""

_FIRST: dict[str, tuple[tuple[str, ...], ...]] = {
    **dict.fromkeys(("cast", "too-light", "too-dark", "washed-out-when-lit"), _COLOUR_FIRST),
    "banding": (
        ("event/alignment", "event/nozzle-loss", "event/head-replaced", "unit/own"),
        ("mode/motion", "mode/layers.*.passes"),
        ("mode/web", "event/firmware", "event/sensor-service"),
    ),
    "mottle": (
        ("mode/heat", "event/heater-service", "mode/layers", "mode/ink", *_ROLL),
        ("mode/motion", "event/humidity-excursion"),
    ),
    "silvering-under-laminate": (
        ("mode/finishing", *_LAMINATE),
        ("mode/heat", "event/heater-service", "event/humidity-excursion", *_ROLL),
    ),
    "panels-that-differ": (
        ("event/lamp-some-replaced", "event/head-replaced", "event/nozzle-loss", *_ROLL, *_INK),
        ("event/alignment", "unit/own", "mode/motion.direction", "event/linearisation"),
    ),
    "scratching": (
        ("mode/motion.head_gap_mm", "mode/finishing", "mode/web", "unit/own"),
        ("mode/heat", "event/heater-service", "mode/ink", *_FLUID, *_LAMINATE),
        _ROLL,
    ),
    "sticking-on-the-roll": (
        ("mode/heat", "event/heater-service"),
        ("mode/motion.passes", "mode/motion.pause_s", "mode/layers", "mode/ink", "mode/web"),
        ("event/humidity-excursion", "event/sensor-service"),
        (*_ROLL, *_INK, *_FLUID),
    ),
}
"""By defect: what acts on it most, in steps. Common practice, no source."""

WHITE: tuple[tuple[str, ...], ...] = (
    (
        *("display/lamp", "display/luminance", "event/lamp-some-replaced", "event/lamp-all-replaced"),
        *("event/driver", "event/dimming", "job/display"),
    ),
    (
        *("display/panel", "display/box_reflectance_pct", "display/lamp_distance_mm", "display/ambient_lx"),
        *("event/diffuser-or-panel", "event/cleaned", "event/moved"),
    ),
    (
        *(*_ROLL, *_LAMINATE, "substrate/construction", "substrate/base", "substrate/coating"),
        *("substrate/finish", "substrate/light", "mode/finishing"),
        *("mode/layers.white", "mode/layers.clear", "mode/layers.block-out"),
    ),
)
"""What acts on the white where no ink is printed: lamps, panel, film. Common practice, no source.

Ink, settings, profile and a job's own choices do not. An instrument that was changed is left out: the white
and the printed patches are read by the same one.
"""


def usual_rank(defect: str, place: str, what: str) -> int:
    """Return the step at which a setting or an event acts on a defect; the last where none is known.

    >>> usual_rank("sticking-on-the-roll", "mode", "heat.cure_c"), usual_rank("cast", "mode", "heat.cure_c")
    (0, 2)
    """
    steps = _FIRST.get(defect, ())
    return next((rank for rank, names in enumerate(steps) if _names(names, place, what)), len(steps))


def _names(names: tuple[str, ...], place: str, what: str) -> bool:
    name = f"{place}/{what}"
    return any(name == each or name.startswith(f"{each}.") for each in names)


def white_step(place: str, *whats: str) -> int:
    """Return whether something acts on the unprinted white as lamp (0), panel (1) or film (2), or not at all.

    >>> white_step("event", "driver"), white_step("job", "roll_lot"), white_step("job", "colour.overrides")
    (0, 2, 3)
    """
    steps = enumerate(WHITE)
    return next((n for n, names in steps if any(_names(names, place, what) for what in whats)), len(WHITE))


def is_usual(defect: str, place: str, *whats: str) -> bool:
    """Whether a setting (its path with `*`, or as it stands) or an event's kind usually explains the defect.

    >>> is_usual("banding", "mode", "motion.direction"), is_usual("banding", "event", "cleaned")
    (True, False)
    """
    return any(_names(USUAL.get(defect, ()), place, what) for what in whats)


def effect_rank(effect: str) -> int:
    """Return the order of effects on colour: direct, indirect, none."""
    return ("direct", "indirect", "none").index(effect)
