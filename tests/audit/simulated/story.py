"""One complaint told to a registry: a shop of its own, a good print, what happened, a refused print."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from registry.contribute.prepare import Writer, attach, create
from registry.model.shape import shape_of
from tests.audit.simulated.physics import PATCHES, Array, Lit, as_lab, de00, seen
from tests.small import Teller, mode_path

__all__ = ["BAD", "GOOD", "PRINTER", "Step", "Story"]

PRINTER = "broadreach-64"
GOOD, BAD, RECEIVED = 2, 20, 25
"""Days of March."""
_HOW = "lit in its display, against the lit white of the last good print"
_DRIFT, _BIAS, _NOISE = 0.02, 0.35, 0.2


@dataclass(frozen=True)
class Step:
    """Something that lands on a day of March; what was there from the start on day 0."""

    day: int
    tell: Callable[[Teller], None]


@dataclass
class Story:
    """What happened in one shop, as far as it was written down, and how the two prints looked."""

    site: str
    rng: np.random.Generator
    steps: list[Step] = field(default_factory=list)
    good: Lit = field(default_factory=Lit)
    bad: Lit = field(default_factory=Lit)
    lots: dict[str, tuple[str, str]] = field(default_factory=dict)
    """By member of a run: the lot of the good print and that of the bad one."""
    truth: tuple[str, ...] = ()
    """What the cause is called: a place and the beginning of a setting, or an event's kind."""
    computable: bool = False
    """Whether what is on record says in numbers what the cause does."""
    runs: tuple[bool, bool] = (True, True)
    """Whether the run of the good print and that of the bad one are on record."""
    stays: bool = False
    """Whether the bad print was made with the settings of the good one, whatever was published."""
    defect: str = ""

    @property
    def film(self) -> str:
        return f"maker-{self.site}/film"

    @property
    def mode(self) -> str:
        return f"{self.film}/lit"

    @property
    def unit(self) -> str:
        return f"{self.site}/press"

    @property
    def display(self) -> str:
        return f"{self.site}/box"

    @property
    def profile(self) -> str:
        return f"records/substrates/{self.film}/profiles/lit.icc"

    def changed(self, **lit: Any) -> None:
        """Say how the bad print came to differ."""
        self.bad = replace(self.bad, **lit)

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def between(self, first: int = GOOD + 2, last: int = BAD - 2) -> int:
        return int(self.rng.integers(first, last + 1))

    def revised(self, day: int, path: str, patch: dict[str, Any], why: str) -> None:
        self.steps.append(Step(day, lambda teller: teller.revise(_day(day), self.site, path, patch, why)))

    def mode_revised(self, day: int, patch: dict[str, Any], why: str) -> None:
        self.revised(day, mode_path(self.mode), patch, why)

    def happened(self, day: int, kind: str, what: str, **said: Any) -> None:
        """Add an event; now and then its hour is not known, or it is written down after the complaint."""
        hour = "00:00:00" if self.chance(0.2) else "08:00:00"
        written = RECEIVED + 3 if self.chance(0.15) else day
        name = f"{_day(day)}-{kind}-{len(self.steps)}"
        path = f"records/sites/{self.site}/events/{name}.json"
        event = {"title": what, "site": self.site, "kind": kind, "what": what, **said}
        event["at"] = f"{_day(day)}T{hour}+01:00"
        self.steps.append(
            Step(written, lambda teller: teller.happened(_day(written), self.site, path, event))
        )

    def ran(self, day: int, job: str, *, bad: bool, late: bool = False) -> None:
        """Add a run, with the lots of the good print or of the bad one."""
        path = f"records/sites/{self.site}/runs/{_day(day)}-{job}.json"
        run: dict[str, Any] = {
            "title": f"Job {job}",
            "site": self.site,
            "job": job,
            "mode": self.mode,
            "unit": self.unit,
            "printed": f"{_day(day)}T10:00:00+01:00",
            "display": self.display,
        }
        run |= {name: lots[bad] for name, lots in self.lots.items()}
        old = self.stays and bad

        def tell(teller: Teller) -> None:
            known = {"mode_revision": 1, "settings_digest": _first_digest(self.mode)} if old else {}
            teller.happened(_day(day + late), self.site, path, run | known)

        self.steps.append(Step(day + late, tell))

    def looks(self) -> tuple[Array, Array]:
        """Return L*a*b* of good and bad print, by every patch, against the good print's white."""
        good = seen(self.good)
        aged = replace(self.bad, light=self.bad.light * (1 - self.drift))
        return as_lab(good, good[0]), as_lab(seen(aged), good[0])

    @property
    def drift(self) -> float:
        """Share of its light that the lamp has lost meanwhile; the same whenever it is asked."""
        return float(np.random.default_rng(len(self.site) + int(self.site[1:])).random() * _DRIFT)

    def how_far(self) -> float:
        """Return the mean ΔE00 between the two prints."""
        return float(de00(*self.looks()).mean())

    def complained(self, *, read: bool) -> None:
        """Add the complaint: in the words of somebody who sees both, and perhaps as an instrument reads."""
        expected, found = self.looks()
        away = (found - expected).mean(axis=0)
        complaint: dict[str, Any] = {
            "title": "Refused",
            "site": self.site,
            "job": f"{self.site}-bad",
            "unit": self.unit,
            "mode": self.mode,
            "display": self.display,
            "printed": f"{_day(BAD)}T10:00:00+01:00",
            "good": f"{_day(GOOD)}T10:00:00+01:00",
            "received": _day(RECEIVED),
            "defect": self.defect or _defect(away, self.rng),
            "what": _words(away),
            "state": "open",
        }
        if read:
            bias, shape = self.rng.normal(0, _BIAS, 3), (len(PATCHES), 3)
            rows = (
                found + bias + self.rng.normal(0, _NOISE, shape),
                expected + self.rng.normal(0, _NOISE, shape),
            )
            complaint["readings"] = [
                {"patch": patch, "found_lab": _rounded(f), "expected_lab": _rounded(e), "how": _HOW}
                for patch, f, e in zip(PATCHES, *rows, strict=True)
            ]
        path = f"records/sites/{self.site}/complaints/refused.json"
        self.steps.append(
            Step(
                RECEIVED + 1,
                lambda teller: teller.create(_day(RECEIVED + 1), self.site, path, complaint),
            )
        )

    def founded(self, teller: Teller) -> None:
        """Land what the shop had from the start."""
        writer = Writer(self.site, "2026-02-01")
        attached = attach(teller, self.profile, f"profile of {self.site}".encode())
        teller.files |= {path: data for path, data in attached.files.items() if data is not None}
        prepared = [attached]
        for path, document in self._records().items():
            made = create(teller, path, document, writer=writer, reason="First entry")
            teller.files |= {name: data for name, data in made.files.items() if data is not None}
            prepared.append(made)
        teller.land("2026-02-01", self.site, *prepared, reason="Found the shop")
        _DIGESTS[self.mode] = shape_of("print-mode").digest(teller.document(mode_path(self.mode)))

    def _records(self) -> dict[str, dict[str, Any]]:
        site = f"records/sites/{self.site}"
        return {
            f"{site}/site.json": {"title": self.site},
            f"{site}/units/press.json": {
                "title": "Press",
                "site": self.site,
                "printer": PRINTER,
                "own": [{"mode": self.mode, "feed_correction_pct": 0.1, "head_alignment_um": 12}],
            },
            f"{site}/displays/box.json": {
                "title": "Box",
                "site": self.site,
                "application": "light-box",
                "lighting": "backlit",
                "place": "indoor",
                "lamp": {"illuminant": "LED-B3", "description": "LED 4000 K"},
                "panel": {"position": "front", "material": "clear acrylic"},
            },
            f"records/substrates/{self.film}/substrate.json": {
                "title": "Film",
                "construction": "film",
                "base": "polyester",
                "coating": "aqueous",
                "finish": "matte",
                "maker": self.film.partition("/")[0],
                "grade": "film",
                "light": {"transmittance_pct": 40, "scattering": "diffusing"},
            },
            mode_path(self.mode): {
                "title": "Lit",
                "substrate": self.film,
                "printer": PRINTER,
                "lighting": "backlit",
                "print_side": "first-surface",
                "mirrored": False,
                "status": "trial",
                "layers": [{"what": "colour", "load_pct": 180, "passes": 16}],
                "ink": {"coverage_limit_pct": 560, "black_start_pct": 40},
                "motion": {"passes": 16, "direction": "two-way", "resolution": "720x720"},
                "heat": {"dry_c": 55, "cure_c": 100},
                "web": {"tension_n": 40},
                "colour": {"profile": {"file": "lit.icc"}, "intent": "relative"},
            },
        }


_DIGESTS: dict[str, str] = {}


def _first_digest(mode: str) -> str:
    return _DIGESTS[mode]


def _day(day: int) -> str:
    return f"2026-03-{day:02}"


def _rounded(values: Array) -> list[float]:
    return [round(float(value), 1) for value in values]


def _defect(away: Array, rng: np.random.Generator) -> str:
    """Return what such a difference is called; one that is not seen is called anything."""
    light, colour = float(away[0]), float(np.hypot(away[1], away[2]))
    if max(abs(light), colour) < 1:
        return str(rng.choice(["cast", "too-dark", "too-light"]))
    if abs(light) >= colour:
        return "too-dark" if light < 0 else "too-light"
    return "cast"


def _words(away: Array) -> str:
    pairs = (("darker", "lighter"), ("greener", "pinker"), ("bluer", "yellower"))
    said = [pair[int(value > 0)] for value, pair in zip(away, pairs, strict=True) if abs(value) > 1]
    return f"Beside the old panel it looks {' and '.join(said) or 'wrong'}"
