"""What may change against a base without anything being found."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from registry.check import check
from registry.model.kinds import path_of
from tests.check.small import BACKLIT, FILM, HAPPENED, WINDOW, Small, cgats, sha256

Change = Callable[[Small], object]
WITHDRAWN: dict[str, Any] = {"date": "2026-02-01", "reason": "it re-wets", "instead": BACKLIT}


def tuned_on_trial(now: Small) -> None:
    now.revise("print-mode", BACKLIT, {"status": "trial", "heat": {"cure_c": 99}})


def tuned_and_confirmed(now: Small) -> None:
    now.revise("print-mode", BACKLIT, {"heat": {"cure_c": 99}})
    now.confirm(BACKLIT, "2026-02-22-again")


def said_otherwise_and_on_trial(now: Small) -> None:
    now.confirm(BACKLIT, "2026-02-22-again", outcome="failed", note="it stuck")
    now.revise("print-mode", BACKLIT, {"status": "trial"}, "no good word is left")


def known_good_at_last(now: Small) -> None:
    trial = {"what": "re-wet", "date": "2026-02-01", "site": "harbour-yard", "passed": True}
    now.revise("print-mode", WINDOW, {"status": "known-good", "trials": [trial]})
    now.confirm(WINDOW, "2026-02-22-window")


def noted(now: Small) -> None:
    now.revise("print-mode", WINDOW, {"notes": ["handle with gloves"]})


def advice_withdrawn(now: Small) -> None:
    now.revise("guidance", "aqueous-suits", {"withdrawn": WITHDRAWN | {"instead": None}})


def another_mode(now: Small) -> None:
    now.put("print-mode", f"{WINDOW}-b", now.document("print-mode", WINDOW) | {"title": "Another"})


def cleaned(now: Small) -> None:
    event = {"title": "cleaned", "kind": "cleaned", "at": "2026-02-20T08:00:00Z", "what": "dusted"}
    document = HAPPENED | event | {"display": "harbour-yard/hall-1"}
    now.put("event", "harbour-yard/2026-02-20-cleaned", document)


def ran_the_revision_before(now: Small) -> None:
    digest = now.digest(BACKLIT)
    tuned_and_confirmed(now)
    now.confirm(BACKLIT, "2026-02-23-late", mode_revision=1, settings_digest=digest)


def attached_another(now: Small) -> None:
    data = cgats(note="measured anew")
    now.files[f"records/substrates/{FILM}/measurements/backlit-16-b.txt"] = data
    reading = {"file": "backlit-16-b.txt", "sha256": sha256(data)}
    now.revise("print-mode", BACKLIT, {"evidence": {"measurement": reading}})


@pytest.mark.parametrize(
    "change",
    [
        tuned_on_trial,
        tuned_and_confirmed,
        said_otherwise_and_on_trial,
        known_good_at_last,
        ran_the_revision_before,
        attached_another,
        noted,
        advice_withdrawn,
        another_mode,
        cleaned,
    ],
)
def test_a_proper_change_is_not_found(pristine: Small, small: Small, change: Change) -> None:
    change(small)
    assert check(small, pristine) == []


def test_a_withdrawal_is_a_proper_change(small: Small) -> None:
    small.put("print-mode", f"{FILM}/other", small.document("print-mode", BACKLIT) | {"status": "trial"})
    base = small.copy()
    small.revise("print-mode", f"{FILM}/other", {"status": "withdrawn", "withdrawn": WITHDRAWN})
    assert check(small, base) == []


def test_what_a_withdrawn_mode_asks_for_is_not_judged_any_more(small: Small) -> None:
    hot = {"heat": {"cure_c": 140, "web_centre_c": 139}, "mirrored": False, "motion": {"passes": 64}}
    small.patch(
        "print-mode", WINDOW, {**hot, "status": "withdrawn", "withdrawn": {**WITHDRAWN, "instead": None}}
    )
    assert check(small) == []


def test_a_change_of_form_alone_is_a_matter_of_form_alone(pristine: Small, small: Small) -> None:
    path = path_of("site", "mill-lane")
    small.files[path] = b" " + small.files[path]
    assert [finding.code for finding in check(small, pristine)] == ["file-form"]


def test_a_base_that_nobody_can_read_is_no_measure(pristine: Small, small: Small) -> None:
    base = pristine.copy()
    for path in base.files:
        if path.endswith(".json"):
            base.files[path] = b"{"
    small.patch("site", "mill-lane", {"title": "Mill Lane shop"})
    assert check(small, base) == []


def test_a_record_that_is_only_laid_out_anew_needs_no_new_revision(pristine: Small) -> None:
    path = path_of("print-mode", BACKLIT)
    base = pristine.copy()
    backwards = dict(reversed(base.document("print-mode", BACKLIT).items()))
    base.files[path] = json.dumps(backwards).encode()
    assert base.files[path] != pristine.files[path]
    assert check(pristine, base) == []


def test_a_source_that_landed_before_it_had_to_say_more_may_move_with_its_value(small: Small) -> None:
    bare = {"kind": "measured", "note": "the probe's old list"}
    small.patch("print-mode", WINDOW, {"sources": {"/heat": bare}})
    base = small.copy()
    moved = {"/heat": {"kind": "unknown", "note": None}, "/heat/cure_c": bare}
    small.revise("print-mode", WINDOW, {"sources": moved})
    assert check(small, base) == []
