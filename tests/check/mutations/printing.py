"""Physics, policy and evidence of print modes."""

from registry.model.kinds import path_of
from tests.check.mutations.mutation import Change, Mutation, patched
from tests.check.small import BACKLIT, FILM, READING, READING_AT, SHEET, WINDOW, Small, cgats, ladder, sha256

__all__ = ["MUTATIONS"]

SPHERE = {"name": "sphere-1", "measures": "transmission"}
EVIDENCE_FILE = "/evidence/measurement/file"
MODE, TRIAL = path_of("print-mode", BACKLIT), path_of("print-mode", WINDOW)


def with_reading(data: bytes) -> Change:
    def change(now: Small) -> None:
        now.files[READING_AT] = data
        now.patch("print-mode", BACKLIT, {"evidence": {"measurement": {"sha256": sha256(data)}}})

    return change


def with_ladder(*, alone: bool = False) -> Change:
    data = ladder()
    at = READING_AT.replace("16.txt", "loads.txt")
    named = {"ladder": {"file": at.rpartition("/")[2], "sha256": sha256(data)}}

    def change(now: Small) -> None:
        now.files[at] = data
        now.patch("print-mode", BACKLIT, {"evidence": named | ({"measurement": None} if alone else {})})

    return change


def with_layer(**more: float) -> Change:
    return patched("print-mode", WINDOW, {"layers": [{"what": "colour", "load_pct": 120, **more}]})


def measured_long_after(now: Small) -> None:
    now.patch("site", "harbour-yard", {"instruments": [SPHERE | {"calibrated": "2024-12-01"}]})
    sources = {"/light": {"kind": "measured", "instrument": "sphere-1", "date": "2026-01-10"}}
    now.patch("substrate", FILM, {"sources": sources})


def read_long_after(instrument: bytes) -> Change:
    def change(now: Small) -> None:
        now.patch("site", "harbour-yard", {"instruments": [SPHERE | {"calibrated": "2024-12-01"}]})
        header = b'CREATED "2026-01-10"\nINSTRUMENTATION "%s"\nNUMBER_OF_FIELDS' % instrument
        with_reading(cgats().replace(b"NUMBER_OF_FIELDS", header, 1))(now)

    return change


def read_elsewhere(data: bytes) -> Change:
    """Attach a reading to a mode of another film too."""

    def change(now: Small) -> None:
        now.files[f"records/substrates/{SHEET}/measurements/window.txt"] = data
        now.patch("substrate", SHEET, {"light": {"transmittance_pct": None}})
        named = {"file": "window.txt", "sha256": sha256(data)}
        now.patch("print-mode", WINDOW, {"evidence": {"measurement": named}})

    return change


def both(first: Change, second: Change) -> Change:
    def change(now: Small) -> None:
        first(now)
        second(now)

    return change


def retried(now: Small, *, passed: bool) -> None:
    trials = now.document("print-mode", BACKLIT)["trials"]
    now.patch("print-mode", BACKLIT, {"trials": [*trials, trials[0] | {"passed": passed}]})


def hot_at_one_edge(now: Small) -> None:
    now.patch("substrate", SHEET, {"heat": {"max_web_c": 91}})
    now.patch("print-mode", WINDOW, {"heat": {"web_centre_c": 90, "web_edge_hot_c": 91.5}})


MUTATIONS: tuple[Mutation, ...] = (
    Mutation(
        "web-too-hot",
        "a film that bears less",
        patched("substrate", FILM, {"heat": {"max_web_c": 90}}),
        MODE,
        "/heat/web_centre_c",
    ),
    Mutation(
        "web-too-hot",
        "the hotter edge alone",
        hot_at_one_edge,
        TRIAL,
        "/heat/web_edge_hot_c",
    ),
    Mutation(
        "web-not-measured",
        "a sheet that bears less",
        patched("substrate", SHEET, {"heat": {"max_web_c": 80}}),
        TRIAL,
        "/heat/cure_c",
    ),
    Mutation(
        "web-above-heaters",
        "a reading too high",
        patched("print-mode", WINDOW, {"heat": {"web_centre_c": 93.5}}),
        TRIAL,
        "/heat/web_centre_c",
    ),
    Mutation(
        "web-above-heaters",
        "the hotter edge alone",
        patched("print-mode", WINDOW, {"heat": {"web_edge_hot_c": 93.5}}),
        TRIAL,
        "/heat/web_edge_hot_c",
    ),
    Mutation(
        "heaters-exceeded",
        "weaker heaters",
        patched("printer", "wide-64", {"heaters": {"cure_max_c": 99}}),
        MODE,
        "/heat/cure_c",
    ),
    Mutation(
        "heaters-exceeded",
        "below the range",
        patched("print-mode", WINDOW, {"heat": {"dry_c": 29}}),
        TRIAL,
        "/heat/dry_c",
    ),
    Mutation(
        "not-offered", "passes", patched("printer", "wide-64", {"passes": [8, 12]}), MODE, "/layers/0/passes"
    ),
    Mutation(
        "not-offered",
        "one way",
        patched("printer", "wide-64", {"directions": ["two-way"]}),
        MODE,
        "/motion/direction",
    ),
    Mutation(
        "not-offered",
        "a resolution",
        patched("print-mode", WINDOW, {"motion": {"resolution": "600x600"}}),
        TRIAL,
        "/motion/resolution",
    ),
    Mutation(
        "not-offered",
        "a gap",
        patched("print-mode", WINDOW, {"motion": {"head_gap_mm": 5}}),
        TRIAL,
        "/motion/head_gap_mm",
    ),
    Mutation(
        "not-offered",
        "a layer in more passes than the mode",
        with_layer(passes=16),
        TRIAL,
        "/layers/0/passes",
    ),
    Mutation(
        "not-offered",
        "a layer in passes that cannot be chosen",
        with_layer(passes=10),
        TRIAL,
        "/layers/0/passes",
    ),
    Mutation("reading-shared", "the very file", read_elsewhere(READING), MODE, EVIDENCE_FILE),
    Mutation("reading-shared", "under a new header", read_elsewhere(cgats(note="ours")), MODE, EVIDENCE_FILE),
    Mutation(
        "film-not-as-recorded",
        "another film",
        patched("substrate", FILM, {"light": {"transmittance_pct": 52}}),
        MODE,
        EVIDENCE_FILE,
    ),
    Mutation(
        "channel-missing",
        "no clear",
        patched("print-mode", WINDOW, {"layers": [{"what": "clear", "load_pct": 50}]}),
        TRIAL,
        "/layers/0/what",
    ),
    Mutation(
        "channel-missing",
        "no light inks",
        patched("print-mode", WINDOW, {"ink": {"light_inks_pct": 30}}),
        TRIAL,
        "/ink/light_inks_pct",
    ),
    Mutation(
        "channel-missing",
        "a block-out without white",
        patched(
            "printer",
            "wide-64",
            {"channels": [{"name": "black", "role": "colour"}, {"name": "fix", "role": "fixing-fluid"}]},
        ),
        TRIAL,
        "/layers/1/what",
    ),
    Mutation(
        "channel-missing",
        "a clear coat upon one layer",
        with_layer(clear_coat_pct=20),
        TRIAL,
        "/layers/0/clear_coat_pct",
    ),
    Mutation(
        "channel-missing",
        "a limit of no channel",
        patched("print-mode", WINDOW, {"ink": {"channels": [{"channel": "cyam", "limit_pct": 80}]}}),
        TRIAL,
        "/ink/channels/0/channel",
    ),
    Mutation(
        "block-out-bare",
        "under colour",
        patched(
            "print-mode",
            WINDOW,
            {"layers": [{"what": "colour", "load_pct": 120}, {"what": "block-out", "load_pct": 200}]},
        ),
        TRIAL,
        "/layers/1",
    ),
    Mutation(
        "too-much-ink",
        "a heavy profile",
        patched("print-mode", WINDOW, {"ink": {"profile_max_pct": 260, "coverage_limit_pct": 310}}),
        TRIAL,
        "/ink/coverage_limit_pct",
    ),
    Mutation(
        "too-much-ink",
        "white upon colour",
        patched("print-mode", WINDOW, {"ink": {"profile_max_pct": 200, "coverage_limit_pct": 310}}),
        TRIAL,
        "/ink/coverage_limit_pct",
    ),
    Mutation(
        "too-much-ink",
        "a layer above its own limit",
        both(with_layer(limit_pct=250), patched("print-mode", WINDOW, {"ink": {"profile_max_pct": 210}})),
        TRIAL,
        "/layers/0/limit_pct",
    ),
    Mutation(
        "load-not-measured",
        "a pale backlit",
        patched("print-mode", WINDOW, {"lighting": "backlit"}),
        TRIAL,
        "/layers/0/load_pct",
    ),
    Mutation(
        "behind-opaque",
        "not known to be clear",
        patched("substrate", SHEET, {"light": {"scattering": None}}),
        TRIAL,
        "/print_side",
    ),
    Mutation(
        "mirroring", "not mirrored", patched("print-mode", WINDOW, {"mirrored": False}), TRIAL, "/mirrored"
    ),
    Mutation(
        "too-wide",
        "wider than the printer",
        patched("substrate", SHEET, {"widths_mm": [2000, 1650]}),
        TRIAL,
        "/printer",
    ),
    Mutation(
        "finishing-missing",
        "a laminate",
        patched("substrate", SHEET, {"finishing": {"needed": "liquid-laminate"}}),
        TRIAL,
        "/finishing",
    ),
    Mutation(
        "cross-cut",
        "a textured face",
        patched("substrate", FILM, {"surface": {"texture": "textured"}}),
        MODE,
        "/trials/1/cross_cut",
    ),
    Mutation(
        "foreign-ink",
        "a coating for another ink",
        patched("substrate", FILM, {"ink_chemistries": ["solvent"]}),
        MODE,
        "/printer",
    ),
    Mutation("re-wet-untried", "it failed", lambda now: retried(now, passed=False), MODE, "/status"),
    Mutation(
        "re-wet-untried", "no trials", patched("print-mode", BACKLIT, {"trials": None}), MODE, "/status"
    ),
    Mutation(
        "not-confirmed",
        "usable only",
        patched("confirmation", "harbour-yard/2026-02-19-confirmed", {"outcome": "usable"}),
        MODE,
        "/status",
    ),
    Mutation(
        "not-confirmed",
        "a print to be lit that was not",
        patched("confirmation", "harbour-yard/2026-02-19-confirmed", {"seen": "not-lit"}),
        MODE,
        "/status",
    ),
    Mutation(
        "not-confirmed",
        "a setting changed",
        patched("print-mode", BACKLIT, {"heat": {"cure_c": 99}}),
        MODE,
        "/status",
    ),
    Mutation(
        "not-measured",
        "in reflection",
        with_reading(cgats("reflection, 45:0")),
        MODE,
        "/evidence/measurement",
    ),
    Mutation(
        "calibration-old",
        "a value",
        measured_long_after,
        path_of("substrate", FILM),
        "/sources/~1light",
    ),
    Mutation(
        "calibration-old",
        "a reading",
        read_long_after(b"sphere-1 at harbour-yard, 8 mm"),
        MODE,
        "/evidence/measurement/file",
    ),
    Mutation(
        "calibration-old",
        "a reading by no more than the instrument's name",
        read_long_after(b"harbour-yard sphere-1"),
        MODE,
        "/evidence/measurement/file",
    ),
    Mutation("not-measured", "a ladder of loads alone", with_ladder(alone=True), MODE, "/status"),
    Mutation(
        "not-measured",
        "in reflection, beside a ladder of loads",
        both(with_reading(cgats("reflection, 45:0")), with_ladder()),
        MODE,
        "/evidence/measurement",
    ),
    Mutation(
        "ladder-as-reference",
        "loads instead of a chart",
        with_reading(ladder()),
        MODE,
        "/evidence/measurement/file",
    ),
    Mutation(
        "no-unprinted-patch",
        "only ink",
        with_reading(cgats().replace(b"1 0 0 0 0", b"1 0 0 0 5")),
        MODE,
        "/evidence/measurement/file",
    ),
    Mutation(
        "no-unprinted-patch",
        "nothing said of what was printed",
        with_reading(cgats().replace(b"CMYK_", b"INK_")),
        MODE,
        "/evidence/measurement/file",
    ),
)
