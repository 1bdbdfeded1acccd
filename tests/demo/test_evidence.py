"""What is called known good has earned it, at every moment of the story."""

import hashlib
from datetime import datetime

from registry.model.shape import shape_of
from tests.demo.telling import Landed, Records
from tools.cgats import header


def digest(landed: Landed) -> str:
    return shape_of("print-mode").digest(landed.document)


def known_good(history: tuple[Landed, ...]) -> list[Landed]:
    return [
        landed
        for landed in history
        if landed.kind == "print-mode" and landed.document["status"] == "known-good"
    ]


def test_known_good_has_passed_its_latest_re_wet_trial(history: tuple[Landed, ...]) -> None:
    found = known_good(history)
    assert len({landed.id for landed in found}) >= 20
    for landed in found:
        tried = [trial for trial in landed.document["trials"] if trial["what"] == "re-wet"]
        assert tried[-1]["passed"], landed.path
        assert tried[-1]["contact"] == "face-to-back"
        assert tried[-1]["hours"] >= 24


def test_known_good_was_confirmed_with_the_same_settings_before_it_was_called_so(
    history: tuple[Landed, ...],
) -> None:
    for landed in known_good(history):
        confirmations = landed.records("confirmation", history).values()
        same = [
            each
            for each in confirmations
            if each["mode"] == landed.id and each["settings_digest"] == digest(landed)
        ]
        assert any(each["outcome"] == "good" for each in same), landed.path


def test_known_good_backlit_and_dual_modes_name_a_reading_in_transmission(
    history: tuple[Landed, ...],
) -> None:
    for landed in known_good(history):
        if landed.document["lighting"] == "frontlit":
            continue
        named = landed.document["evidence"]["measurement"]
        folder = landed.path.rpartition("/modes/")[0]
        data = landed.told.state[f"{folder}/measurements/{named['file']}"]
        assert hashlib.sha256(data).hexdigest() == named["sha256"]
        said = header(data.decode())
        assert said["MEASUREMENT_GEOMETRY"].startswith("transmission, ")
        assert "mill-lane" in said["INSTRUMENTATION"]


def test_only_one_shop_can_measure_in_transmission(present: Records) -> None:
    able = {
        site
        for site, document in present["site"].items()
        for instrument in document["instruments"]
        if "transmission" in instrument["measures"]
    }
    assert able == {"mill-lane"}


def test_changed_settings_put_a_known_good_mode_on_trial_and_promotion_changes_none(
    history: tuple[Landed, ...],
) -> None:
    shape, retried = shape_of("print-mode"), 0
    for landed in history:
        if landed.kind != "print-mode" or landed.before is None:
            continue
        before, after = landed.before["status"], landed.document["status"]
        same = shape.digest(landed.before) == digest(landed)
        if before == "known-good" and not same:
            assert after == "trial", landed.path
            retried += 1
        if (before, after) == ("trial", "known-good"):
            assert same, landed.path
    assert retried >= 5


def test_trials_are_dated_before_the_revision_that_reports_them_and_after_the_settings_they_tried(
    history: tuple[Landed, ...],
) -> None:
    for landed in history:
        if landed.kind != "print-mode":
            continue
        dates = [trial["date"] for trial in landed.document.get("trials", [])]
        assert all(date <= landed.document["recorded"]["date"] for date in dates), landed.path
        for what in ("re-wet", "pencil"):
            own = [trial["date"] for trial in landed.document.get("trials", []) if trial["what"] == what]
            assert own == sorted(own), landed.path


def test_a_re_wet_trial_is_newer_than_the_settings_it_vouches_for(history: tuple[Landed, ...]) -> None:
    first: dict[tuple[str, str], datetime] = {}
    for landed in history:
        if landed.kind == "print-mode":
            first.setdefault((landed.id, digest(landed)), landed.told.landing.landed)
    for landed in known_good(history):
        tried = [trial["date"] for trial in landed.document["trials"] if trial["what"] == "re-wet"]
        assert tried[-1] >= first[landed.id, digest(landed)].date().isoformat(), landed.path


def test_cross_cuts_are_tried_on_smooth_faces_only(history: tuple[Landed, ...], present: Records) -> None:
    tried = 0
    for landed in history:
        for trial in landed.document.get("trials", []) if landed.kind == "print-mode" else []:
            if "cross_cut" in trial:
                tried += 1
                substrate = present["substrate"][landed.document["substrate"]]
                assert substrate["surface"]["texture"] == "smooth"
    assert tried


def test_films_coated_for_other_inks_re_wet_and_are_never_known_good(
    history: tuple[Landed, ...], present: Records
) -> None:
    foreign = {
        name
        for name, document in present["substrate"].items()
        if document["coating"] in {"solvent", "uv-curable"}
    }
    assert len(foreign) == 2
    modes = [
        landed
        for landed in history
        if landed.kind == "print-mode" and landed.document["substrate"] in foreign
    ]
    assert all(landed.document["status"] != "known-good" for landed in modes)
    for name in {landed.id for landed in modes}:
        tried = [trial for trial in present["print-mode"][name]["trials"] if trial["what"] == "re-wet"]
        assert tried
        assert not any(trial["passed"] for trial in tried)
    for coating in ("solvent", "uv-curable"):
        assert any(
            rule["level"] == "refuse" and rule["when"].get("/substrate/coating") == {"const": coating}
            for rule in present["guidance"].values()
        )
