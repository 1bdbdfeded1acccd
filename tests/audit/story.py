"""A second complaint in the small registry, with something to find in every corner."""

from pathlib import Path
from typing import Any

from registry import canonical
from registry.contribute.prepare import Contribution, attach
from registry.model.shape import shape_of
from registry.store.repository import Repository
from registry.store.write import Series
from tests import small

__all__ = ["COMPLAINT", "DISPLAY", "GOOD", "PRINTED", "Continued", "continue_story"]

SITE, UNIT, MODE = "harbour-yard", small.UNIT, small.MODE
DISPLAY = "harbour-yard/concourse-a"
COMPLAINT = "harbour-yard/dark-lines"
GOOD, PRINTED = "2025-12-01T10:00:00+01:00", "2025-12-10T10:00:00+01:00"
PROFILE = f"records/substrates/{small.FILM}/profiles/dayfilm.icc"


class Continued(small.Teller):
    """Tells on from what has landed."""

    def __init__(self, folder: Path) -> None:
        self.repository = Repository(folder)
        tip = self.repository.shared().commit
        entries = self.repository.tree(tip)
        blobs = dict(self.repository.blobs(entry.blob for entry in entries.values()))
        self.files = {path: blobs[entry.blob] for path, entry in entries.items()}
        self.series = Series(self.repository, sign=False)

    def event(self, day: str, slug: str, at: str, **known: Any) -> None:
        path = f"records/sites/{SITE}/events/{at[:10]}-{slug}.json"
        title = str(known["what"])
        self.happened(day, SITE, path, {"title": title, "site": SITE, "at": at, **known})

    def run(self, day: str, job: str, at: str, **known: Any) -> None:
        path = f"records/sites/{SITE}/runs/{at[:10]}-{job.lower()}.json"
        run = {"title": f"Job {job}", "site": SITE, "job": job, "mode": MODE, "unit": UNIT, "printed": at}
        self.happened(day, SITE, path, run | known)


def continue_story(folder: Path) -> None:
    """Land what happened in December."""
    teller = Continued(folder)
    with teller.series:
        earlier = _good(teller)
        _between(teller)
        _bad(teller)
        _afterwards(teller, earlier)
        teller.series.finish()


def _good(teller: Continued) -> str:
    """Tell of the good print and return the digest of its settings."""
    path = small.mode_path(MODE)
    teller.land("2025-11-26", SITE, attach(teller, PROFILE, b"first profile"), reason="Attach the profile")
    colour = {"profile": {"file": "dayfilm.icc"}, "intent": "relative"}
    teller.revise("2025-11-27", SITE, path, {"colour": colour}, "Name the profile")
    teller.run("2025-11-28", "J149", "2025-11-28T10:00:00+01:00")
    teller.run("2025-12-01", "J150", GOOD, roll_lot="L-20", ink_lot="I-1", display=DISPLAY)
    return shape_of("print-mode").digest(teller.document(path))


def _between(teller: Continued) -> None:
    path, unit = small.mode_path(MODE), "records/sites/harbour-yard/units/left.json"
    replaced = Contribution({PROFILE: b"second profile"}, "Replace the profile")
    teller.land("2025-12-02", SITE, replaced, reason="Replace the profile")
    teller.event("2025-12-02", "before", "2025-11-30T08:00:00+01:00", kind="firmware", unit=UNIT,
                 what="Before the good print")  # fmt: skip
    teller.revise("2025-12-03", SITE, path, {"motion": {"direction": "one-way"}, "heat": {"cure_c": 108}},
                  "Lines seen in dark panels")  # fmt: skip
    teller.event("2025-12-04", "adopted", "2025-12-04T08:00:00+01:00", kind="adopted", unit=UNIT, mode=MODE,
                 what="One way from now on")  # fmt: skip
    teller.event("2025-12-04", "roll", "2025-12-04T00:00:00+01:00", kind="substrate-lot", unit=UNIT,
                 lot="L-21", what="New pallet")  # fmt: skip
    teller.event("2025-12-05", "bench", "2025-12-05T09:00:00+01:00", kind="instrument-recalibrated",
                 instrument="bench-1", what="Back from the laboratory")  # fmt: skip
    teller.event("2025-12-05", "other-lot", "2025-12-05T10:00:00+01:00", kind="ink-lot", lot="I-99",
                 what="A lot that neither print used")  # fmt: skip
    teller.event("2025-12-05", "other-display", "2025-12-05T11:00:00+01:00", kind="driver",
                 display="harbour-yard/concourse-b", what="A display that is not asked of")  # fmt: skip
    teller.happened("2025-12-05", "mill-lane", "records/sites/mill-lane/events/2025-12-05-head.json",
                    {"title": "Head", "site": "mill-lane", "kind": "head-replaced", "unit": "mill-lane/one",
                     "at": "2025-12-05T09:00:00+01:00", "what": "Another unit"})  # fmt: skip
    teller.run(
        "2025-12-06", "J151", "2025-12-06T10:00:00+01:00", roll_lot="L-20", ink_lot="I-1", display=DISPLAY
    )
    own = {"own": [{"mode": MODE, "feed_correction_pct": 0.2, "head_alignment_um": 14}]}
    teller.revise("2025-12-07", SITE, unit, own, "Feed set anew")
    teller.event("2025-12-08", "lamps", "2025-12-08T09:00:00+01:00", kind="lamp-all-replaced",
                 display=DISPLAY, before="LED 4000 K", after="LED 5000 K", what="Bars renewed")  # fmt: skip
    lamp = {"lamp": {"illuminant": "LED-B4"}}
    teller.revise("2025-12-08", SITE, f"records/sites/{SITE}/displays/concourse-a.json", lamp, "New bars")
    film = f"records/substrates/{small.FILM}/substrate.json"
    teller.revise("2025-12-09", "mill-lane", film, {"light": {"transmittance_pct": 36}}, "Read anew")


def _bad(teller: Continued) -> None:
    teller.run("2025-12-10", "J152", PRINTED, roll_lot="L-21", ink_lot="I-1", display=DISPLAY)
    teller.event("2025-12-12", "dimmed", "2025-12-12T18:00:00+01:00", kind="dimming", display=DISPLAY,
                 what="Dimmed to half at night")  # fmt: skip
    teller.event("2025-12-12", "after", "2025-12-12T19:00:00+01:00", kind="alignment", unit=UNIT,
                 display=DISPLAY, what="After the bad print")  # fmt: skip
    complaint = {
        "title": "Dark lines", "site": SITE, "job": "J152", "unit": UNIT, "mode": MODE, "display": DISPLAY,
        "printed": PRINTED, "good": GOOD, "received": "2025-12-13", "defect": "banding",
        "what": "Dark lines across the panel", "state": "open",
    }  # fmt: skip
    teller.create("2025-12-14", SITE, f"records/sites/{SITE}/complaints/dark-lines.json", complaint,
                  "A customer refused job 152")  # fmt: skip


def _afterwards(teller: Continued, earlier: str) -> None:
    """Tell what was written down late, and a run that went back to the settings of r5."""
    teller.event("2025-12-16", "nozzles", "2025-12-09T08:00:00+01:00", kind="nozzle-loss", unit=UNIT,
                 what="Two nozzles out, noted late")  # fmt: skip
    unit = "records/sites/harbour-yard/units/left.json"
    own = {"own": [{"mode": MODE, "feed_correction_pct": 0.2, "head_alignment_um": 20}]}
    document = teller.document(unit) | own
    document |= {
        "revision": 3,
        "reason": "Was so since the ninth",
        "recorded": {"date": "2025-12-09", "site": SITE},
    }
    late = canonical.file_form(document, shape_of("unit").schema)
    teller.land("2025-12-17", SITE, Contribution({unit: late}, "Late"), reason="Late")
    teller.run("2025-12-20", "J160", "2025-12-20T10:00:00+01:00", roll_lot="L-21", ink_lot="I-1",
               mode_revision=5, settings_digest=earlier)  # fmt: skip
