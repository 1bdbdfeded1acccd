"""What records name: other records, events, attachments."""

from registry.model.kinds import path_of
from tests.check.mutations.mutation import Change, Mutation, filed, happened, patched
from tests.check.small import (
    BACKLIT,
    FILM,
    HAPPENED,
    PROFILE_AT,
    READING_AT,
    SHEET,
    SPECTRUM_AT,
    WINDOW,
    Small,
    cgats,
    icc_profile,
    sha256,
)

__all__ = ["MUTATIONS"]

WITHDRAWN = {"date": "2026-02-01", "reason": "it re-wets"}
EVENT = {**HAPPENED, "title": "serviced", "at": "2026-02-20T08:00:00+01:00", "what": "seen to"}
PRINTER = path_of("printer", "wide-64")
MODE, TRIAL = path_of("print-mode", BACKLIT), path_of("print-mode", WINDOW)
FILM_AT, SHEET_AT = path_of("substrate", FILM), path_of("substrate", SHEET)
USE, ADVICE = path_of("application", "light-box"), path_of("guidance", "aqueous-suits")
COMPLAINT = path_of("complaint", "harbour-yard/pale-hall")
EARLY = path_of("confirmation", "harbour-yard/2026-01-11-early")
RUN = path_of("run", "harbour-yard/2026-02-21-job-1")
ADOPTED = path_of("event", "harbour-yard/2026-02-20-adopted")
SERVICED = path_of("event", "harbour-yard/2026-02-20-serviced")
PROFILE = f"records/substrates/{SHEET}/profiles/window.icc"
ICC = icc_profile()


def with_profile(data: bytes) -> Change:
    def change(now: Small) -> None:
        now.files[f"records/substrates/{SHEET}/profiles/window.icc"] = data
        profile = {"file": "window.icc", "sha256": sha256(data)}
        now.patch("print-mode", WINDOW, {"colour": {"profile": profile}})

    return change


def with_reading(note: str) -> Change:
    def change(now: Small) -> None:
        data = cgats(note=note, light=95.1)
        now.files[f"records/substrates/{SHEET}/measurements/window.txt"] = data
        reading = {"file": "window.txt", "sha256": sha256(data)}
        now.patch("print-mode", WINDOW, {"evidence": {"measurement": reading}})

    return change


def other_shops_unit(now: Small) -> None:
    unit = now.document("unit", "harbour-yard/wide-1")
    now.put("unit", "mill-lane/wide-2", {**unit, "title": "Wide 2", "site": "mill-lane"})
    now.patch("complaint", "harbour-yard/pale-hall", {"unit": "mill-lane/wide-2"})


def on_another_model(now: Small) -> None:
    now.put("printer", "narrow-24", {**now.document("printer", "wide-64"), "title": "Narrow 24"})
    now.patch("unit", "harbour-yard/wide-1", {"printer": "narrow-24"})


def judged_early(now: Small) -> None:
    now.revise("print-mode", BACKLIT, {"heat": {"cure_c": 97}, "status": "trial"}, "cooler")
    now.confirm(BACKLIT, "2026-01-11-early")


def with_byte(data: bytes, at_byte: int, new: bytes) -> bytes:
    return data[:at_byte] + new + data[at_byte + len(new) :]


MUTATIONS: tuple[Mutation, ...] = (
    Mutation(
        "missing-reference",
        "an unknown use",
        patched("substrate", FILM, {"applications": ["light-box", "none"]}),
        FILM_AT,
        "/applications/1",
    ),
    Mutation(
        "missing-reference",
        "an unknown shop",
        patched("printer", "wide-64", {"recorded": {"site": "none"}}),
        PRINTER,
        "/recorded/site",
    ),
    Mutation(
        "withdrawn-reference",
        "a use withdrawn",
        patched("application", "light-box", {"withdrawn": WITHDRAWN}),
        path_of("display", "harbour-yard/hall-1"),
        "/application",
    ),
    Mutation(
        "missing-replacement",
        "none such",
        patched(
            "print-mode",
            WINDOW,
            {"status": "withdrawn", "withdrawn": {**WITHDRAWN, "instead": f"{SHEET}/none"}},
        ),
        TRIAL,
        "/withdrawn/instead",
    ),
    Mutation(
        "missing-replacement",
        "itself",
        patched("print-mode", WINDOW, {"status": "withdrawn", "withdrawn": {**WITHDRAWN, "instead": WINDOW}}),
        TRIAL,
        "/withdrawn/instead",
    ),
    Mutation(
        "withdrawn-status",
        "no withdrawal",
        patched("print-mode", WINDOW, {"status": "withdrawn"}),
        TRIAL,
        "/status",
    ),
    Mutation(
        "withdrawn-status",
        "no status",
        patched("print-mode", WINDOW, {"withdrawn": WITHDRAWN}),
        TRIAL,
        "/status",
    ),
    Mutation("foreign-printer", "another model", on_another_model, COMPLAINT, "/unit"),
    Mutation("before-its-settings", "a day too early", judged_early, EARLY, "/date", based=True),
    Mutation("other-sites-unit", "another shop's", other_shops_unit, COMPLAINT, "/unit"),
    Mutation(
        "unknown-instrument",
        "mistyped",
        happened(
            "event",
            "2026-02-20-serviced",
            {**EVENT, "kind": "instrument-recalibrated", "instrument": "sphere-2"},
        ),
        SERVICED,
        "/instrument",
    ),
    Mutation(
        "event-incomplete",
        "no unit",
        happened("event", "2026-02-20-serviced", {**EVENT, "kind": "head-replaced"}),
        SERVICED,
        "/unit",
    ),
    Mutation(
        "event-incomplete",
        "no digest",
        patched("event", "harbour-yard/2026-02-20-adopted", {"settings_digest": None}),
        ADOPTED,
        "/settings_digest",
    ),
    Mutation(
        "event-incomplete",
        "a mode nobody adopted",
        happened("event", "2026-02-20-serviced", {**EVENT, "kind": "humidity-excursion", "mode": BACKLIT}),
        SERVICED,
        "/mode",
    ),
    Mutation(
        "dates-out-of-order",
        "good after refused",
        patched("complaint", "harbour-yard/pale-hall", {"good": "2026-03-02T09:30:00Z"}),
        COMPLAINT,
        "/good",
    ),
    Mutation(
        "dates-out-of-order",
        "refused before printed",
        patched("complaint", "harbour-yard/pale-hall", {"received": "2026-03-01"}),
        COMPLAINT,
        "/received",
    ),
    Mutation(
        "dates-out-of-order",
        "recorded before it happened",
        patched("run", "harbour-yard/2026-02-21-job-1", {"recorded": {"date": "2026-02-20"}}),
        RUN,
        "/recorded/date",
    ),
    Mutation(
        "attachment-missing",
        "no such spectrum",
        patched("application", "light-box", {"lamp": {"spectrum": "none.txt"}}),
        USE,
        "/lamp/spectrum",
    ),
    Mutation(
        "attachment-altered",
        "another profile",
        filed(PROFILE_AT, icc_profile(body=b"other")),
        MODE,
        "/colour/profile/sha256",
    ),
    Mutation(
        "attachment-unused",
        "nobody's reading",
        filed(READING_AT.replace("16", "17"), cgats()),
        READING_AT.replace("16", "17"),
        based=True,
    ),
    Mutation(
        "attachment-too-large",
        "2 MiB of notes",
        filed(SPECTRUM_AT, cgats() + b"# note\n" * 300_000),
        SPECTRUM_AT,
    ),
    Mutation("profile-unusable", "too short", with_profile(ICC[:100]), PROFILE),
    Mutation("profile-unusable", "no signature", with_profile(with_byte(ICC, 36, b"none")), PROFILE),
    Mutation("profile-unusable", "cut off", with_profile(ICC + b"\0"), PROFILE),
    Mutation("profile-unusable", "version 9", with_profile(with_byte(ICC, 8, b"\x09")), PROFILE),
    Mutation("profile-unusable", "a monitor's", with_profile(with_byte(ICC, 12, b"mntr")), PROFILE),
    Mutation("profile-unusable", "no connection space", with_profile(with_byte(ICC, 20, b"RGB ")), PROFILE),
    Mutation("profile-unusable", "a tag beyond", with_profile(with_byte(ICC, 140, b"\0\0\0\x40")), PROFILE),
    Mutation("profile-unusable", "too many tags", with_profile(with_byte(ICC, 128, b"\0\0\1\0")), PROFILE),
    Mutation("measurement-unreadable", "cut off", filed(SPECTRUM_AT, cgats()[:-10]), SPECTRUM_AT),
    *(
        Mutation("measurement-of-another", name, with_reading(note), TRIAL, "/evidence/measurement/file")
        for name, note in (
            ("another mode", f"{BACKLIT} revision 1"),
            ("another substrate", f"printed on {FILM}, lit"),
            (
                "another mode's title",
                "a print of Backlit, 16 passes; read lit",
            ),
            ("another substrate's title", "dayfilm 210 in the hall"),
            ("another load", f"{WINDOW} load 130 %"),
            ("another load, said otherwise", "130% ink load"),
            ("other passes", "16-pass"),
        )
    ),
)
