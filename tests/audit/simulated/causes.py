"""Causes of refused prints, and what else happens in a shop meanwhile that no print shows."""

from collections.abc import Callable

from registry.contribute.prepare import attach
from tests.audit.simulated.story import BAD, GOOD, Step, Story
from tests.small import Teller

__all__ = ["CAUSES", "harmless"]


def _load(story: Story) -> None:
    load = round(180 * story.rng.uniform(1.12, 1.45))
    if story.chance(0.3):
        load = round(180 * story.rng.uniform(0.65, 0.88))
    day = story.between()
    story.mode_revised(day, {"layers": [_layer(load)]}, "Load tuned anew")
    _adopted(story, day)
    story.changed(load=load)
    story.truth, story.computable = ("mode/layers.*.load_pct",), True


def _profile(story: Story) -> None:
    day = story.between()
    new = story.profile.replace("lit.icc", "lit-2.icc")
    shifts = story.rng.uniform(0.78, 1.1, 4)

    def tell(teller: Teller) -> None:
        attached = attach(teller, new, f"another profile of {story.site}".encode())
        teller.land(f"2026-03-{day:02}", story.site, attached, reason="Attach the profile")

    story.steps.append(Step(day, tell))
    story.mode_revised(day, {"colour": {"profile": {"file": "lit-2.icc"}, "intent": "relative"}}, "Profile")
    if story.chance(0.5):
        story.happened(day, "profile-change", "Profile lit-2 from now on", unit=story.unit, after="lit-2")
    story.changed(profile=tuple(shifts), gain=story.rng.uniform(0.12, 0.2))
    story.truth = ("mode/colour.profile", "profile/", "event/profile-change")


def _lamp(story: Story) -> None:
    kelvin = int(story.rng.choice([3000, 5000, 6500]))
    said = {"before": "LED 4000 K", "after": f"LED {kelvin} K"} if story.chance(0.7) else {}
    whole = story.chance(0.5)
    kind = "lamp-all-replaced" if whole else "lamp-some-replaced"
    story.happened(story.between(), kind, "Bars renewed", display=story.display, **said)
    share = 1 if whole else float(story.rng.uniform(0.3, 0.7))
    story.changed(other_kelvin=kelvin, other_share=share)
    story.truth, story.computable = (f"event/{kind}",), bool(said)
    if not whole and story.chance(0.3):
        story.defect = "hot-spots"


def _dimmed(story: Story) -> None:
    share = int(story.rng.integers(45, 80))
    kind = "dimming" if story.chance(0.6) else "driver"
    said = {"before": "100 %", "after": f"{share} %"} if story.chance(0.7) else {}
    what = "Dimmed" if kind == "dimming" else "Driver exchanged"
    story.happened(story.between(), kind, what, display=story.display, **said)
    story.changed(light=share / 100)
    story.truth, story.computable = (f"event/{kind}",), bool(said)


def _cancelling(story: Story) -> None:
    more = float(story.rng.uniform(1.25, 1.6))
    limit = round(100 / more)
    channels = [{"channel": name, "limit_pct": limit} for name in ("cyan", "magenta", "yellow", "black")]
    ink = {"coverage_limit_pct": 560, "black_start_pct": 40, "channels": channels}
    day = story.between()
    patch = {"layers": [_layer(round(180 * more))], "ink": ink}
    story.mode_revised(day, patch, "More ink, the solids held")
    _adopted(story, day)
    story.changed(load=180 * more, limit=limit / 100)
    story.truth, story.computable = ("mode/layers.*.load_pct", "mode/ink.channels"), True


def _unadopted(story: Story) -> None:
    """Tell of a new ink that lays darker, of settings made for it, and of a shop that never took them."""
    stronger = float(story.rng.uniform(1.15, 1.4))
    day = story.between(GOOD + 2, BAD - 6)
    story.mode_revised(day + 2, {"layers": [_layer(round(180 / stronger))]}, "Less load for the new ink")
    story.lots["ink_lot"] = ("I-1", "I-2")
    story.stays = True
    story.changed(load=180 * stronger)
    story.truth = ("job/ink_lot", "event/ink-lot", "mode/not-adopted", "event/not-adopted")


def _roll(story: Story) -> None:
    story.lots["roll_lot"] = ("R-1", "R-2")
    if story.chance(0.4):
        story.happened(story.between(), "substrate-lot", "New pallet", unit=story.unit, lot="R-2")
    story.changed(film=0.4 * story.rng.uniform(0.75, 0.93), yellow=float(story.rng.uniform(0, 0.12)))
    story.truth = ("job/roll_lot", "event/substrate-lot")


def _head(story: Story) -> None:
    drops = [1.0, 1.0, 1.0, 1.0]
    drops[int(story.rng.integers(0, 4))] = float(story.rng.uniform(1.25, 1.7))
    story.happened(story.between(), "head-replaced", "Head replaced", unit=story.unit)
    story.changed(drops=tuple(drops))
    story.truth = ("event/head-replaced",)


def _nothing(story: Story) -> None:
    """Leave everything as it was: the customer sees what no print shows."""


def _unrecorded(story: Story) -> None:
    """Change something that nobody writes down."""
    if story.chance(0.5):
        story.changed(light=float(story.rng.uniform(0.55, 0.8)))
    else:
        drops = story.rng.uniform(0.7, 1.4, 4)
        story.changed(drops=tuple(drops))


def _decoyed(story: Story) -> None:
    """Change something that nobody writes down, beside one thing on record that looks like a cause."""
    _unrecorded(story)
    day = story.between()
    which = int(story.rng.integers(0, 4))
    if which == 0:
        story.mode_revised(day, {"layers": [_layer(180 + int(story.rng.integers(1, 4)))]}, "A trifle more")
    elif which == 1:
        said = {"before": "100 %", "after": f"{int(story.rng.integers(97, 100))} %"}
        story.happened(day, "dimming", "Set anew", display=story.display, **said)
    elif which == 2:
        story.lots["roll_lot"] = ("R-1", "R-2")
    else:
        story.happened(day, "head-replaced", "Head replaced by its like", unit=story.unit)


CAUSES: dict[str, Callable[[Story], None]] = {
    "load": _load,
    "profile": _profile,
    "lamp": _lamp,
    "dimmed": _dimmed,
    "cancelling": _cancelling,
    "fix not adopted": _unadopted,
    "roll lot": _roll,
    "head": _head,
    "nothing": _nothing,
    "unrecorded": _unrecorded,
    "decoy": _decoyed,
}


def harmless(story: Story, number: int) -> None:
    """Tell of so many other things that no print shows, each at most once."""
    for which in story.rng.permutation(len(_HARMLESS))[:number]:
        _HARMLESS[int(which)](story, story.between())


def _cure(story: Story, day: int) -> None:
    story.mode_revised(day, {"heat": {"dry_c": 55, "cure_c": 102}}, "A little more cure")


def _tension(story: Story, day: int) -> None:
    story.mode_revised(day, {"web": {"tension_n": 44}}, "Wound tighter")


def _feed(story: Story, day: int) -> None:
    own = {"mode": story.mode, "feed_correction_pct": 0.12, "head_alignment_um": 12}
    story.revised(day, f"records/sites/{story.site}/units/press.json", {"own": [own]}, "Feed set anew")


def _noted_film(story: Story, day: int) -> None:
    patch = {"thickness_um": 205, "gloss_60_gu": 6}
    story.revised(day, f"records/substrates/{story.film}/substrate.json", patch, "Read for the first time")


def _noted_reflectance(story: Story, day: int) -> None:
    light = {"transmittance_pct": 40, "scattering": "diffusing", "reflectance_back_pct": 52}
    story.revised(day, f"records/substrates/{story.film}/substrate.json", {"light": light}, "Back read")


def _noted_box(story: Story, day: int) -> None:
    patch = {"box_reflectance_pct": 82, "ambient_lx": 300, "depth_mm": 140}
    story.revised(day, f"records/sites/{story.site}/displays/box.json", patch, "Measured for the first time")


def _ink(story: Story, day: int) -> None:
    story.lots.setdefault("ink_lot", ("I-1", "I-2"))
    story.happened(day, "ink-lot", "New bottles", unit=story.unit, lot="I-2")


def _event(kind: str, what: str, of: str = "unit") -> Callable[[Story, int], None]:
    def tell(story: Story, day: int) -> None:
        said = {"unit": story.unit} if of == "unit" else {"display": story.display} if of == "display" else {}
        story.happened(day, kind, what, **said)

    return tell


_HARMLESS: tuple[Callable[[Story, int], None], ...] = (
    *(_cure, _tension, _feed, _noted_film, _noted_reflectance, _noted_box, _ink),
    _event("firmware", "Firmware brought up to date"),
    _event("alignment", "Heads aligned"),
    _event("heater-service", "Fans cleaned"),
    _event("humidity-excursion", "Damp weekend", of="site"),
    _event("instrument-recalibrated", "Back from its yearly calibration", of="site"),
    _event("cleaned", "Face wiped", of="display"),
    _event("nozzle-loss", "One nozzle out, replaced by its neighbours"),
)


def _layer(load: float) -> dict[str, object]:
    return {"what": "colour", "load_pct": load, "passes": 16}


def _adopted(story: Story, day: int) -> None:
    """Say, now and then, that the settings were taken into use the day after."""
    if story.chance(0.5):
        adopted = {"kind": "adopted", "unit": story.unit, "mode": story.mode}
        path = f"records/sites/{story.site}/events/adopted.json"
        event = {"title": "Taken into use", "site": story.site, "what": "Taken into use", **adopted}
        event["at"] = f"2026-03-{day + 1:02}T12:00:00+01:00"
        story.steps.append(
            Step(day + 1, lambda teller: teller.happened(f"2026-03-{day + 1:02}", story.site, path, event))
        )
