"""Changes against the base."""

from registry.model.kinds import path_of
from registry.model.versions import NEWEST
from registry.question.landed import Oddity
from registry.question.snapshots import Checkout, Left
from tests.check.mutations.mutation import Change, Mutation, filed, patched, revised
from tests.check.small import BACKLIT, SPECTRUM_AT, WINDOW, Small, cgats

__all__ = ["MUTATIONS"]

WITHDRAWN = {"date": "2026-02-01", "reason": "it re-wets"}
MODE, TRIAL = path_of("print-mode", BACKLIT), path_of("print-mode", WINDOW)
ADVICE = path_of("guidance", "aqueous-suits")
GONE = path_of("site", "north-quay")
RUN = path_of("run", "harbour-yard/2026-02-21-job-1")
AGAIN = path_of("confirmation", "harbour-yard/2026-02-22-again")


def _beside(attributes: bytes) -> Change:
    def change(now: Small) -> None:
        now.beside = Checkout({".gitattributes": ""}, attributes)

    return change


def _hotter(now: Small) -> None:
    """Raise the set-point of a mode whose web was measured at the set-point before."""
    now.revise("print-mode", BACKLIT, {"status": "trial", "heat": {"cure_c": 119}})


def _confirmed_without(member: str) -> Change:
    """Confirm a backlit mode once more, with one thing left unsaid."""

    def change(now: Small) -> None:
        now.confirm(BACKLIT, "2026-02-22-again")
        now.patch("confirmation", "harbour-yard/2026-02-22-again", {member: None})

    return change


MUTATIONS: tuple[Mutation, ...] = (
    Mutation("deleted", "a mode", lambda now: now.files.pop(TRIAL), TRIAL, based=True),
    Mutation(
        "edited-once-written",
        "a note",
        patched("run", "harbour-yard/2026-02-21-job-1", {"note": "edited"}),
        RUN,
        "/note",
        based=True,
    ),
    Mutation(
        "attachment-replaced",
        "another spectrum",
        filed(SPECTRUM_AT, cgats(note="measured anew")),
        SPECTRUM_AT,
        based=True,
    ),
    Mutation(
        "attributes-removed",
        "profiles",
        _beside(b"*.json text eol=lf\nrecords/** -diff\n*.txt -text\n"),
        ".gitattributes",
        based=True,
        before=_beside(b"*.json text eol=lf\n*.txt -text\n*.icc -text\n"),
    ),
    Mutation(
        "landing-clock",
        "a slow one",
        lambda _: None,
        "records/registry.json",
        odd=(Oddity("clock", "commit aaaa is dated 2026-01-01"),),
    ),
    Mutation(
        "landing-clock",
        "dated before its record",
        lambda _: None,
        "records/registry.json",
        odd=(Oddity("clock", "commit aaaa counts as landed on 2026-01-01"),),
    ),
    Mutation(
        "rewritten",
        "forced back",
        lambda _: None,
        "records/registry.json",
        odd=(Oddity("rewritten", "the shared branch was rewritten"),),
    ),
    Mutation(
        "left-out",
        "a revision",
        lambda _: None,
        MODE,
        odd=(Oddity("left-out", "a merge left out r2", "bring it back", MODE, 2),),
    ),
    Mutation(
        "left-out",
        "a record that is gone",
        lambda _: None,
        GONE,
        odd=(Oddity("left-out", "a merge left out r1", "bring it back", GONE, 1),),
    ),
    Mutation(
        "came-in-behind",
        "a pull",
        lambda _: None,
        "records/registry.json",
        odd=(Oddity("pull", "a plain pull was pushed"),),
    ),
    Mutation(
        "line-left",
        "a pull",
        lambda now: setattr(now, "beside", Checkout(left=Left("a" * 40, "b" * 40))),
        "records/registry.json",
        based=True,
    ),
    Mutation(
        "schema-version",
        "one back",
        revised("registry", "registry", {"schema_version": NEWEST - 1}),
        "records/registry.json",
        "/schema_version",
        based=True,
    ),
    Mutation(
        "retired",
        "black in a word",
        revised("print-mode", WINDOW, {"ink": {"black_generation": "heavy"}}),
        TRIAL,
        "/ink/black_generation",
        based=True,
    ),
    Mutation(
        "web-of-before",
        "140 °F typed as °C",
        _hotter,
        MODE,
        "/heat/cure_c",
        based=True,
    ),
    Mutation(
        "identity-changed",
        "seen otherwise",
        revised("print-mode", WINDOW, {"lighting": "frontlit"}),
        TRIAL,
        "/lighting",
        based=True,
    ),
    Mutation(
        "not-confirmed",
        "its site said otherwise since",
        lambda now: now.confirm(BACKLIT, "2026-02-22-again", outcome="failed", note="it stuck"),
        MODE,
        "/status",
    ),
    Mutation(
        "revision-repeated",
        "two landings",
        lambda _: None,
        path_of("site", "mill-lane"),
        "/revision",
        landed=(
            revised("site", "mill-lane", {"title": "Mill Lane shop"}),
            patched("site", "mill-lane", {"title": "Mill", "reason": "shorter"}),
        ),
    ),
    Mutation(
        "revision-repeated",
        "a merge that has not landed",
        patched("site", "mill-lane", {"title": "Mill", "reason": "shorter"}),
        path_of("site", "mill-lane"),
        "/revision",
        landed=(revised("site", "mill-lane", {"title": "Mill Lane shop"}),),
        merging=True,
    ),
    Mutation(
        "revision-wrong",
        "not raised",
        patched("site", "mill-lane", {"title": "Mill Lane shop", "reason": "renamed"}),
        path_of("site", "mill-lane"),
        "/revision",
        based=True,
    ),
    Mutation(
        "revision-wrong",
        "raised by two",
        revised("site", "mill-lane", {"title": "Mill Lane shop", "revision": 3}),
        path_of("site", "mill-lane"),
        "/revision",
        based=True,
    ),
    Mutation(
        "revision-wrong",
        "raised for nothing",
        patched("site", "mill-lane", {"revision": 2}),
        path_of("site", "mill-lane"),
        "/revision",
        based=True,
    ),
    Mutation(
        "revision-wrong",
        "another reason for nothing",
        patched("site", "mill-lane", {"reason": "none"}),
        path_of("site", "mill-lane"),
        "/reason",
        based=True,
    ),
    Mutation(
        "revision-wrong",
        "new at 2",
        lambda now: now.put("site", "north-quay", now.document("site", "mill-lane") | {"revision": 2}),
        path_of("site", "north-quay"),
        "/revision",
        based=True,
    ),
    Mutation(
        "invisible",
        "a title with a tag character",
        revised("site", "mill-lane", {"title": "Mill\U000e0041 Lane"}),
        path_of("site", "mill-lane"),
        "/title",
        based=True,
    ),
    Mutation(
        "invisible",
        "a job number with a zero-width space, of a record written once",
        lambda now: now.put(
            "run",
            "harbour-yard/2026-02-21-job-2",
            now.document("run", "harbour-yard/2026-02-21-job-1") | {"job": "7\u200b1"},
        ),
        path_of("run", "harbour-yard/2026-02-21-job-2"),
        "/job",
        based=True,
    ),
    Mutation(
        "reason-not-new",
        "the old one",
        revised("site", "mill-lane", {"title": "Mill Lane shop"}, "First  entry"),
        path_of("site", "mill-lane"),
        "/reason",
        based=True,
    ),
    Mutation(
        "reason-not-new",
        "blank",
        lambda now: now.put("site", "north-quay", now.document("site", "mill-lane") | {"reason": "  "}),
        path_of("site", "north-quay"),
        "/reason",
        based=True,
    ),
    Mutation(
        "reason-not-new",
        "blank, of a change",
        revised("site", "mill-lane", {"title": "Mill Lane shop"}, "  "),
        path_of("site", "mill-lane"),
        "/reason",
        based=True,
    ),
    Mutation(
        "recorded-backwards",
        "a day too early",
        revised("site", "mill-lane", {"title": "Mill Lane shop", "recorded": {"date": "2026-01-11"}}),
        path_of("site", "mill-lane"),
        "/recorded/date",
        based=True,
    ),
    Mutation(
        "status-move",
        "on trial again",
        revised("print-mode", BACKLIT, {"status": "trial"}),
        MODE,
        "/status",
        based=True,
    ),
    Mutation(
        "status-move",
        "a mode brought back",
        revised("print-mode", WINDOW, {}),
        TRIAL,
        "/status",
        based=True,
        before=patched("print-mode", WINDOW, {"status": "withdrawn", "withdrawn": WITHDRAWN}),
    ),
    Mutation(
        "status-move",
        "guidance brought back",
        revised("guidance", "aqueous-suits", {}),
        ADVICE,
        based=True,
        before=patched("guidance", "aqueous-suits", {"withdrawn": WITHDRAWN}),
    ),
    Mutation(
        "not-seen-lit",
        "where is not said",
        _confirmed_without("seen"),
        AGAIN,
        "/seen",
        based=True,
    ),
    Mutation(
        "not-seen-lit",
        "when is not said",
        _confirmed_without("hours"),
        AGAIN,
        "/hours",
        based=True,
    ),
    Mutation(
        "measured-how",
        "no day",
        revised("print-mode", WINDOW, {"sources": {"/heat": {"kind": "measured", "method": "probe"}}}),
        TRIAL,
        "/sources/~1heat",
        based=True,
    ),
    Mutation(
        "measured-how",
        "neither method nor instrument",
        revised("print-mode", WINDOW, {"sources": {"/heat": {"kind": "measured", "date": "2026-02-21"}}}),
        TRIAL,
        "/sources/~1heat",
        based=True,
    ),
    Mutation(
        "source-of-before",
        "only the number",
        revised("print-mode", WINDOW, {"heat": {"cure_c": 91}, "sources": {}}),
        TRIAL,
        "/heat/cure_c",
        based=True,
    ),
    Mutation(
        "digest-unknown",
        "other settings",
        lambda now: now.confirm(BACKLIT, "2026-02-22-again", settings_digest="0" * 64),
        AGAIN,
        "/settings_digest",
        based=True,
    ),
    Mutation(
        "digest-unknown",
        "a revision to come",
        lambda now: now.confirm(BACKLIT, "2026-02-22-again", mode_revision=2),
        AGAIN,
        "/mode_revision",
        based=True,
    ),
)
