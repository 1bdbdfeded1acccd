"""What changed between a good print and a bad one."""

from dataclasses import replace

import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.request import AuditRequest, of_complaint, of_prints
from registry.errors import RequestError
from registry.question.registry import Registry
from tests.audit.asking import BANNER_MODE, asked, clue, every
from tests.audit.story import COMPLAINT, DISPLAY, GOOD, PRINTED
from tests.small import MODE, OTHER_UNIT, UNIT


def test_runs_prove_what_was_in_force_at_both_prints(answer: AuditAnswer) -> None:
    for which, run, label in ((answer.good, "2025-12-01-j150", "r5"), (answer.bad, "2025-12-10-j152", "r6")):
        assert which.run == f"harbour-yard/{run}"
        assert which.in_force is not None
        assert which.mode is not None
        assert (which.in_force.how, which.mode.label) == ("run", label)


def test_every_setting_that_differs_is_found_in_every_record(answer: AuditAnswer) -> None:
    found = {(each.place, each.change.path) for each in every(answer) if each.change}
    assert found == {
        ("job", "roll_lot"),
        ("mode", "motion.direction"),
        ("mode", "heat.cure_c"),
        ("mode", "colour.profile.sha256"),
        ("unit", f"own.{MODE}.feed_correction_pct"),
        ("unit", f"own.{MODE}.head_alignment_um"),  # recorded in between, landed after the complaint
        ("substrate", "light.transmittance_pct"),
        ("display", "lamp.illuminant"),
    }


def test_every_event_between_on_unit_display_lot_and_site_is_found_and_no_other(answer: AuditAnswer) -> None:
    found = {each.record.removeprefix("harbour-yard/") for each in every(answer) if each.event}
    assert found == {
        "2025-12-04-adopted",
        "2025-12-04-roll",
        "2025-12-05-bench",
        "2025-12-08-lamps",
        "2025-12-09-nozzles",
        "2025-12-12-dimmed",
    }


def test_what_happened_at_the_display_counts_until_the_print_was_judged(december: Registry) -> None:
    records = {each.record for each in asked(december).clues}
    assert "harbour-yard/2025-12-12-dimmed" not in records
    assert "harbour-yard/2025-12-08-lamps" in records


@pytest.mark.parametrize(
    ("good", "printed", "found"),
    [
        ("2025-12-04T07:59", "2025-12-04T08:00", True),
        ("2025-12-04T08:00", "2025-12-04T08:01", False),
        ("2025-12-04T07:00", "2025-12-04T07:59", False),
    ],
)
def test_an_event_counts_after_the_good_print_and_up_to_the_bad_one(
    december: Registry, good: str, printed: str, found: bool
) -> None:
    records = {each.record for each in every(asked(december, good=good, printed=printed))}
    assert ("harbour-yard/2025-12-04-adopted" in records) is found


def test_the_adoption_of_another_mode_is_no_event_of_this_one(december: Registry) -> None:
    answer = asked(december, mode=BANNER_MODE)
    assert "adopted" not in {each.event for each in answer.clues}
    assert "nozzle-loss" in {each.event for each in answer.clues}


def test_what_happened_at_a_display_that_another_site_looks_after_is_found(december: Registry) -> None:
    answer = asked(december, unit=OTHER_UNIT, mode=BANNER_MODE)
    assert "harbour-yard/2025-12-08-lamps" in {each.record for each in answer.clues}
    assert "harbour-yard/2025-12-05-bench" not in {each.record for each in answer.clues}


def test_of_a_defect_of_colour_what_usually_explains_it_comes_first_then_direct_effects(
    december: Registry,
) -> None:
    dark = audit(december, replace(of_complaint(december, COMPLAINT), defect="too-dark"))
    effects = ("direct", "indirect", "none")
    ranks = [
        (not each.likely, each.event == "adopted", bool(each.cleared_by), effects.index(each.effect))
        for each in dark.clues
    ]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) > 4


def test_of_banding_what_acts_on_feed_and_nozzles_comes_before_what_acts_on_colour(
    answer: AuditAnswer,
) -> None:
    assert [each.likely for each in answer.clues] == [True] * 6 + [False] * (len(answer.clues) - 6)
    likely = [(each.label, bool(each.cleared_by)) for each in answer.clues if each.likely]
    assert likely == [
        ("nozzle loss", False),
        ("two-way alignment", False),
        ("feed correction", False),
        ("roll lot", False),
        ("direction", True),
        ("curing set-point", True),
    ]


def test_another_defect_orders_the_same_findings_otherwise(december: Registry) -> None:
    request = of_complaint(december, COMPLAINT)
    dark = audit(december, replace(request, defect="too-dark"))
    likely = {each.label for joined in dark.clues if joined.likely for each in joined.every}
    assert {"lamp", "all lamps replaced", "dimming", "luminous transmittance"} <= likely
    assert "feed correction" not in likely
    banding = audit(december, request)
    assert {each.record for each in every(dark)} == {each.record for each in every(banding)}


def test_without_a_defect_nothing_is_called_likely(december: Registry) -> None:
    assert not any(each.likely for each in asked(december).clues)


def test_each_difference_says_who_when_and_why(answer: AuditAnswer, december: Registry) -> None:
    direction = clue(answer, "direction")
    assert (direction.at_is, f"{december.time(direction.at):%Y-%m-%d %H:%M}") == (
        "first used",
        "2025-12-06 10:00",
    )
    origin = direction.origin
    assert (origin.label, origin.recorded, origin.site) == ("r6", "2025-12-03", "harbour-yard")
    assert (origin.writers, origin.reason) == (("specialist, harbour-yard",), "Lines seen in dark panels")


def test_each_setting_is_laid_to_the_revision_that_changed_it_last(december: Registry) -> None:
    answer = asked(december, good="2025-11-12T10:00")
    origins = {each.label: each.origin.label for each in every(answer) if each.place == "mode"}
    assert origins == {
        "direction": "r6",
        "curing set-point": "r6",
        "profile": "r5",
        "profile's SHA-256": "r6",
        "rendering intent": "r5",
    }


def test_what_was_written_after_the_complaint_is_marked(answer: AuditAnswer) -> None:
    late = {each.record: each.late for each in answer.clues if each.late}
    assert late == {
        "harbour-yard/2025-12-09-nozzles": (
            "recorded on 2025-12-16, after the complaint came in on 2025-12-13"
        ),
        UNIT: "landed on 2025-12-17, after the complaint came in on 2025-12-13",
    }
    assert [each.what for each in answer.timeline if each.late] == [
        "nozzle loss: Two nozzles out, noted late",
        f"unit {UNIT} r3 landed: Was so since the ninth",
    ]


def test_a_job_between_that_nobody_complained_of_narrows_what_it_ran_with(answer: AuditAnswer) -> None:
    assert [(each.job, each.settings, each.complaint) for each in answer.others] == [
        ("J151", "of the bad print", "")
    ]
    cleared = {each.label for each in answer.clues if each.cleared_by}
    assert cleared == {
        "direction",
        "curing set-point",
        "profile's SHA-256",
        "instrument recalibrated",
    }


def test_each_job_between_says_whose_settings_it_had(december: Registry) -> None:
    answer = asked(december, good="2025-11-28T10:00")
    assert [(each.job, each.settings) for each in answer.others] == [
        ("J150", "of the good print"),
        ("J151", "of the bad print"),
    ]
    earlier = asked(december, good="2025-11-12T10:00")
    assert [(each.job, each.settings) for each in earlier.others] == [
        ("J149", "others"),
        ("J150", "others"),
        ("J151", "of the bad print"),
    ]


def test_a_job_between_two_prints_of_the_same_settings_is_of_both(december: Registry) -> None:
    answer = asked(december, good="2025-11-28T10:00", printed="2025-12-02T10:00")
    assert [(each.job, each.settings) for each in answer.others] == [("J150", "of both")]


@pytest.mark.parametrize(
    ("asked_for", "good", "bad"),
    [
        ({"good": "2025-12-06T10:00", "printed": "2025-12-06T18:00"}, "2025-12-06-j151", ""),
        ({"good": "2025-12-10T09:00", "printed": "2025-12-10T10:00"}, "", "2025-12-10-j152"),
        ({"good": "2025-12-06T09:00", "printed": "2025-12-07", "job": "J151"}, "", "2025-12-06-j151"),
    ],
)
def test_one_run_is_never_taken_for_both_prints(
    december: Registry, asked_for: dict[str, str], good: str, bad: str
) -> None:
    answer = asked(december, **asked_for)
    found = tuple(each.run.removeprefix("harbour-yard/") for each in (answer.good, answer.bad))
    assert found == (good, bad)


def test_a_job_that_was_complained_of_clears_nothing(december: Registry) -> None:
    answer = asked(december, printed="2025-12-12T10:00:00+01:00", good=GOOD)
    assert [(each.job, each.complaint) for each in answer.others] == [("J151", ""), ("J152", COMPLAINT)]
    assert all("J152" not in each.cleared_by for each in answer.clues)


def test_nothing_known_to_have_changed_is_not_changed(december: Registry) -> None:
    quiet = {"unit": OTHER_UNIT, "mode": BANNER_MODE, "display": ""}
    assert not asked(december, good="2025-12-06", printed="2025-12-08", **quiet).changed


def test_a_lot_that_is_named_brings_its_events(december: Registry) -> None:
    request = of_prints(december, unit=UNIT, mode=MODE, printed=PRINTED, good=GOOD, lots=("I-99",))
    assert "harbour-yard/2025-12-05-other-lot" in {each.record for each in audit(december, request).clues}


def test_a_later_good_print_leaves_less_to_explain(december: Registry) -> None:
    request = of_complaint(december, COMPLAINT, good="2025-12-06T10:00")
    labels = {each.label for each in audit(december, request).clues}
    assert "direction" not in labels
    assert {"roll lot", "feed correction", "nozzle loss"} <= labels


def test_going_back_to_earlier_settings_is_a_difference_too(december: Registry) -> None:
    answer = asked(december, good="2025-12-10T10:00", printed="2025-12-20T10:00")
    assert answer.good.mode is not None
    assert answer.bad.mode is not None
    assert (answer.good.mode.label, answer.bad.mode.label) == ("r6", "r5")
    direction = clue(answer, "direction")
    assert direction.change is not None
    assert (direction.change.before, direction.change.after) == ("one-way", "two-way")
    assert (direction.origin.label, direction.at_is) == ("r5", "first used")
    assert f"{december.time(direction.at):%Y-%m-%d}" == "2025-12-20"


def test_what_to_do_next_names_the_sample_and_the_next_question(answer: AuditAnswer) -> None:
    assert answer.advice[0] == (
        f"compare the refused print with the approved sample kept at drawer 3, lit, in {DISPLAY}"
    )
    assert any("--good 2025-12-06T10:00" in each for each in answer.advice)


def test_the_answer_names_its_commit(answer: AuditAnswer, december: Registry) -> None:
    assert answer.commit == december.commit


@pytest.mark.parametrize("good", [1, 2])
def test_the_good_print_must_be_the_earlier(good: float) -> None:
    with pytest.raises(RequestError, match="must be earlier than the bad one"):
        AuditRequest(site="a", unit="a/b", mode="a/b/c", printed=1, good=good)


def test_a_unit_may_be_named_by_its_site_and_must_stand_there(december: Registry) -> None:
    def of(site: str, unit: str) -> AuditRequest:
        return of_prints(december, unit=unit, site=site, mode=MODE, printed=PRINTED, good=GOOD)

    assert of("harbour-yard", "left").unit == UNIT
    with pytest.raises(RequestError) as refused:
        of("mill-lane", UNIT)
    assert str(refused.value) == f"the unit {UNIT} stands at harbour-yard, not at mill-lane: leave out --site"
