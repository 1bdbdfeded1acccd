"""A shop's registry made for one test: what it says is what matters, everything else is filled in."""

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from registry import canonical
from registry.contribute.prepare import Contribution, Writer, create, happened
from registry.find.answer import FindAnswer, Offer, find
from registry.find.request import Request
from registry.find.wanted import Judged, Wanted
from registry.model.kinds import path_of
from registry.question.advice import Remark
from registry.question.registry import Registry
from registry.store.write import Series
from tests.small import Teller

__all__ = ["Shop", "called", "ids", "offer", "way"]

DAY, SITE = "2025-09-01", "harbour-yard"

_FILLED_IN: dict[str, dict[str, Any]] = {
    "substrate": {"construction": "film", "base": "polyester", "coating": "aqueous"},
    "print-mode": {
        "printer": "wide",
        "lighting": "backlit",
        "print_side": "first-surface",
        "mirrored": False,
        "status": "known-good",
        "layers": [{"what": "colour", "load_pct": 200, "passes": 16}],
        "motion": {"passes": 16, "resolution": "720x720"},
    },
    "printer": {
        "ink_chemistry": "water-based-resin",
        "channels": [{"name": "cyan", "role": "colour"}],
        "max_width_mm": 1625,
        "drop_volume_pl": 7,
    },
    "application": {"lighting": "backlit", "place": "indoor"},
    "display": {"site": SITE, "application": "light-box", "lighting": "backlit", "place": "indoor"},
    "guidance": {"level": "refuse", "text": "Never do this.", "source": "invented for a test"},
    "site": {},
    "unit": {"printer": "wide"},
    "registry": {"time_zone": "+01:00"},
}


class Shop:
    """A registry in the making; `find` lands what was put into it and asks."""

    def __init__(self, folder: Path) -> None:
        self._teller = Teller(folder)
        self._folder = folder
        self._prepared: list[Contribution] = []
        self._writer = Writer(SITE, DAY)
        self.put("registry", "registry")
        for site in (SITE, "mill-lane", "north-quay"):
            self.put("site", site)
        self.put("printer", "wide")

    @property
    def series(self) -> Series:
        """The commits being made; to be left when the shop is done with."""
        return self._teller.series

    def put(self, kind: str, rid: str, /, **said: Any) -> str:
        """Add a record and return its id; what is not said is filled in, what is None is left unknown."""
        document = {"title": rid, **_FILLED_IN[kind], **said}
        document = {name: value for name, value in document.items() if value is not None}
        if kind == "substrate":
            document["maker"], document["grade"] = rid.split("/")
        if kind == "unit":
            document["site"] = rid.partition("/")[0]
        prepared = create(self._teller, path_of(kind, rid), document, writer=self._writer, reason="Test")
        return self._keep(prepared, rid)

    def film(self, rid: str, /, *, confirmed: Iterable[tuple[str, str]] | None = None, **said: Any) -> str:
        """Add a substrate with one known-good mode and return the mode's id.

        Names that begin with `mode_` are said of the mode; `confirmed` lists site and day, one day at
        harbour-yard if not given.
        """
        own = {name: value for name, value in said.items() if not name.startswith("mode_")}
        self.put("substrate", rid, **own)
        of_mode = {name.removeprefix("mode_"): value for name, value in said.items() if name not in own}
        mode = self.put("print-mode", f"{rid}/mode", substrate=rid, **of_mode)
        for site, day in [(SITE, "2025-10-01")] if confirmed is None else confirmed:
            self.confirm(mode, site, day)
        return mode

    def confirm(
        self, mode: str, site: str, day: str, outcome: str = "good", *, ran: bool = True, **said: str
    ) -> None:
        """Add a site's word on a mode as it stands, and the run that it judged."""
        name = f"{day}-{outcome}-{mode.replace('/', '-')}"
        document = {"title": name, "site": site, "mode": mode, "date": day, "outcome": outcome, **said}
        path = path_of("confirmation", f"{site}/{name}")
        self._keep(happened(self._teller, path, document, writer=self._writer), name)
        if ran:
            printed = {"job": name, "unit": f"{site}/one", "printed": f"{day}T10:00:00+00:00"}
            run = {"title": name, "site": site, "mode": mode, **printed}
            path = path_of("run", f"{site}/{name}")
            self._keep(happened(self._teller, path, run, writer=self._writer), name)

    def land(self) -> None:
        """Land what was put in so far."""
        self._teller.land(DAY, SITE, *self._prepared)
        self._prepared = []

    def revise(self, kind: str, rid: str, /, **patch: Any) -> None:
        """Land what was put in so far, and then a revision of a record."""
        self.land()
        self._teller.revise(DAY, SITE, path_of(kind, rid), patch, "Test")

    def document(self, kind: str, rid: str) -> dict[str, Any]:
        """Return a record as it stands."""
        return canonical.read(self._teller.files[path_of(kind, rid)])

    def registry(self) -> Registry:
        """Land what is left and return the registry, open for questions."""
        self.land()
        self._teller.series.finish()
        return Registry(self._folder, os.environ)

    def find(self, **asked: Any) -> FindAnswer:
        """Land what is left and find."""
        return find(self.registry(), Request(**asked))

    def _keep(self, prepared: Contribution, rid: str) -> str:
        self._prepared.append(prepared)
        self._teller.files |= {path: data for path, data in prepared.files.items() if data is not None}
        return rid


def ids(offers: Iterable[Offer]) -> list[str]:
    """Return the modes offered, in their order."""
    return [each.candidate.pair.mode.rid for each in offers]


def offer(answer: FindAnswer, mode: str) -> Offer:
    """Return one mode among the finds, what is not offered, kept out or near, and what was asked about."""
    missed = (*answer.unproven_ones, *answer.kept_out, *answer.near, *answer.named)
    everything = (*answer.offers, *missed, *answer.why)
    return next(each for each in everything if each.candidate.pair.mode.rid == mode)


def way(answer: FindAnswer) -> Mapping[str, str]:
    """Return of what is kept out or near the last thing in its way: a requirement's label, or a rule's id."""
    return {
        each.candidate.pair.mode.rid: called(found)
        for each in (*answer.kept_out, *answer.near)
        for found in each.candidate.in_the_way
    }


def called(each: Judged | Wanted | Remark) -> str:
    """Return the label of a requirement, or the id of a rule."""
    if isinstance(each, Remark):
        return each.rule
    return (each.wanted if isinstance(each, Judged) else each).known.label
