"""Complaints of known cause, as a registry in git: each in a shop of its own."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from registry.contribute.prepare import Writer, create
from registry.question.registry import Registry
from tests.audit.simulated.causes import CAUSES, harmless
from tests.audit.simulated.story import BAD, GOOD, PRINTER, Step, Story
from tests.small import Teller

__all__ = ["SEEDS", "Case", "registry_of", "registry_with"]

SEEDS = {"dev": range(10_000), "test": range(50_000, 60_000)}
"""Ranges of seeds; while the order of suspects is being changed nobody runs those of `test`."""


@dataclass(frozen=True)
class Case:
    """One complaint, and what caused it."""

    complaint: str
    cause: str
    truth: tuple[str, ...]
    """What names the cause: a place and the beginning of a setting, or an event's kind; empty for none."""
    computable: bool
    among: bool
    """Whether other things changed too."""
    read: bool
    """Whether it has readings of the good print and of the bad one."""
    de00: float
    """How far the two prints lie apart in truth, the mean of the patches."""


def registry_of(folder: Path, seeds: Sequence[int]) -> tuple[Registry, list[Case]]:
    """Make a registry of one case a seed; causes, company and readings go round."""
    told = [_case(number, seed) for number, seed in enumerate(seeds)]
    return registry_with(folder, [story for story, _ in told]), [case for _, case in told]


def registry_with(folder: Path, stories: Sequence[Story]) -> Registry:
    """Make a registry in which these stories happened."""
    teller = Teller(folder)
    with teller.series:
        _founded(teller)
        steps = [step for story in stories for step in (Step(0, story.founded), *story.steps)]
        for step in sorted(steps, key=lambda step: step.day):
            step.tell(teller)
        teller.series.finish()
    return Registry(folder, os.environ)


def _case(number: int, seed: int) -> tuple[Story, Case]:
    rng = np.random.default_rng(seed)
    cause = list(CAUSES)[number % len(CAUSES)]
    turn = number // len(CAUSES)
    among, read = bool(turn % 2), bool(turn // 2 % 2)
    story = Story(site=f"s{seed}", rng=rng)
    for lot, name in (("roll_lot", "R-1"), ("ink_lot", "I-1")):
        if story.chance(0.7) and (cause, lot) != ("fix not adopted", "ink_lot"):
            story.lots[lot] = (name, name)
    CAUSES[cause](story)
    if among:
        if story.lots.get("ink_lot") == ("I-1", "I-1"):
            del story.lots["ink_lot"]
        harmless(story, int(rng.integers(4, 8)))
    story.runs = not story.chance(0.1), not story.chance(0.15)
    if story.runs[0]:
        story.ran(GOOD, f"{story.site}-good", bad=False)
    if story.runs[1]:
        story.ran(BAD, f"{story.site}-bad", bad=True)
    if among and story.chance(0.2):
        story.ran(BAD - 1, f"{story.site}-other", bad=True)
    story.complained(read=read)
    known: dict[str, Any] = {"cause": cause, "truth": story.truth, "computable": story.computable}
    return story, Case(f"{story.site}/refused", **known, among=among, read=read, de00=story.how_far())


def _founded(teller: Teller) -> None:
    writer = Writer("desk", "2026-01-31")
    prepared = []
    for path, document in _START.items():
        prepared.append(create(teller, path, document, writer=writer, reason="First entry"))
        teller.files |= {name: data for name, data in prepared[-1].files.items() if data is not None}
    teller.land("2026-01-31", "desk", *prepared, reason="Found the registry")


_START: dict[str, dict[str, Any]] = {
    "records/registry.json": {"title": "Simulated", "time_zone": "+01:00"},
    "records/sites/desk/site.json": {"title": "Desk"},
    f"records/printers/{PRINTER}.json": {
        "title": "Broadreach 64",
        "ink_chemistry": "water-based-resin",
        "channels": [{"name": name, "role": "colour"} for name in ("cyan", "magenta", "yellow", "black")],
        "max_width_mm": 1625,
        "drop_volume_pl": 7,
    },
    "records/applications/light-box.json": {"title": "Light box", "lighting": "backlit", "place": "indoor"},
}
