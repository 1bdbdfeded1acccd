"""Whether a card is current, by every way that a mode's history can go on."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.card.code import CardCode
from registry.card.current import Landed, Standing, Verdict, on_machine, verdict

MODE = "lumenfold/dayfilm-210/backlit-16"
A, B, C = ("a" * 64, "b" * 64, "c" * 64)


def code(revision: int, digest: str, *, draft: bool = False) -> CardCode:
    return CardCode(MODE, revision, digest[:12], draft=draft)


def test_newest_known_good_revision_is_current() -> None:
    assert verdict(code(2, B), [(1, A, "known-good"), (2, B, "known-good")]) == Verdict(
        Standing.CURRENT, "r2 is current", 2
    )


def test_known_good_revision_stays_current_while_a_newer_one_is_on_trial() -> None:
    found = verdict(code(2, B), [(1, A, "known-good"), (2, B, "known-good"), (3, C, "trial")])
    assert found == Verdict(Standing.CURRENT, "r2 is current; r3 is on trial", 2)
    assert found.current


def test_newer_known_good_revision_replaces_the_card() -> None:
    found = verdict(code(1, A), [(1, A, "known-good"), (2, B, "known-good"), (3, C, "trial")])
    assert found == Verdict(Standing.NEWER, "r2 has replaced r1; r3 is on trial", 2)
    assert not found.current


def test_newer_revision_with_the_same_settings_differs_in_form_only() -> None:
    found = verdict(code(1, A), [(1, A, "known-good"), (2, A, "known-good")])
    assert found == Verdict(
        Standing.FORM_ONLY,
        "the settings are those of r2, which is known-good: between it and r1 only the record's form, "
        "reason, status or trials changed",
        2,
    )
    assert found.current


def test_trial_that_was_promoted_differs_in_form_only() -> None:
    history = [(1, A, "known-good"), (2, B, "trial"), (3, B, "known-good")]
    assert verdict(code(2, B), history).standing is Standing.FORM_ONLY


def test_card_of_the_newest_trial_is_on_trial_and_names_the_known_good() -> None:
    assert verdict(code(2, B), [(1, A, "known-good"), (2, B, "trial")]) == Verdict(
        Standing.ON_TRIAL, "r2 is on trial; r1 is the last known-good revision", 1
    )


def test_trial_without_a_known_good_revision_is_on_trial() -> None:
    assert verdict(code(1, A), [(1, A, "trial")]) == Verdict(
        Standing.ON_TRIAL, "r1 is on trial; none is known-good yet", 1
    )


def test_trial_replaced_by_another_trial_is_not_current() -> None:
    assert verdict(code(1, A), [(1, A, "trial"), (2, B, "trial")]) == Verdict(
        Standing.NEWER, "r2 has replaced r1 and is on trial itself", 2
    )


@pytest.mark.parametrize("revision", [1, 2])
def test_withdrawn_mode_is_withdrawn_whatever_the_card_says(revision: int) -> None:
    assert verdict(code(revision, A), [(1, A, "known-good"), (2, A, "withdrawn")]) == Verdict(
        Standing.WITHDRAWN, f"{MODE} is withdrawn since r2: take the card down"
    )


def test_revision_that_never_landed_is_unknown() -> None:
    assert verdict(code(7, B), [(1, A, "known-good")]) == Verdict(
        Standing.UNKNOWN_REVISION, "r7 has not landed here; the newest is r1"
    )


def test_mode_without_revisions_is_unknown() -> None:
    assert verdict(code(1, A), []) == Verdict(
        Standing.UNKNOWN_REVISION, f"{MODE} has no landed revision in this registry"
    )


def test_digest_of_other_settings_is_a_typing_error_or_another_registrys() -> None:
    assert verdict(code(1, C), [(1, A, "known-good")]) == Verdict(
        Standing.FOREIGN,
        "the settings digest cccccccccccc does not belong to r1: "
        "a typing error, or a card of another registry",
    )


def test_settings_are_known_by_their_digest_whatever_number_the_card_calls_them_by() -> None:
    found = verdict(code(1, B), [(1, A, "known-good"), (2, B, "known-good"), (3, B, "known-good")])
    assert found.words == "the settings are those of r3, which is known-good: the card calls them r1"
    assert found.current
    found = verdict(code(3, A), [(1, A, "known-good"), (2, B, "known-good"), (3, C, "known-good")])
    assert found.words == "r3 has replaced r1 (r3 on the card)"
    assert found.use_digest == C


def test_settings_that_a_merge_left_out_are_known_and_replaced() -> None:
    history = [
        Landed(1, A, "known-good"),
        Landed(2, B, "known-good", beside=True, merged_away=True),
        Landed(2, C, "known-good"),
    ]
    found = verdict(code(2, B), history)
    assert found == Verdict(Standing.NEWER, "r2 has replaced r2, which a merge has left out", 2)
    assert found.use_digest == C


def test_settings_that_were_replaced_before_they_landed_are_said_to_be_just_that() -> None:
    history = [
        Landed(1, A, "known-good"),
        Landed(2, B, "known-good", beside=True),
        Landed(3, C, "known-good"),
        Landed(4, C, "trial"),
    ]
    found = verdict(code(2, B), history)
    words = "r3 has replaced r2, which was replaced before it landed; r4 is on trial"
    assert found == Verdict(Standing.NEWER, words, 3)


def test_draft_that_has_not_landed_stays_a_draft() -> None:
    assert verdict(code(1, B, draft=True), [(1, A, "known-good")]) == Verdict(
        Standing.DRAFT, "a draft whose settings have not landed; r1 is to be used", 1
    )


def test_draft_whose_settings_landed_and_were_confirmed_differs_in_form_only() -> None:
    found = verdict(code(1, B, draft=True), [(1, A, "known-good"), (2, B, "known-good")])
    assert found.standing is Standing.FORM_ONLY
    assert "between it and the draft on r1 only" in found.words


def test_draft_whose_settings_landed_and_were_replaced_is_replaced() -> None:
    history = [(1, A, "known-good"), (2, B, "known-good"), (3, C, "known-good")]
    assert verdict(code(1, B, draft=True), history) == Verdict(
        Standing.NEWER, "r3 has replaced the draft on r1", 3
    )


UNIT = "harbour-yard/left"


def on_unit(digest: str, unit_revision: int | None, *, newest: int, same: bool | None) -> Verdict:
    card = CardCode(MODE, 1 if digest == A else 2, digest[:12], UNIT, unit_revision)
    return on_machine(card, verdict(card, [(1, A, "known-good"), (2, B, "known-good")]), newest, same=same)


def test_card_whose_machine_kept_its_own_values_is_current() -> None:
    assert on_unit(B, 4, newest=6, same=True) == Verdict(
        Standing.CURRENT, f"r2 is current; {UNIT}'s own values for this mode are unchanged since r4", 2, 6
    )


def test_card_whose_machine_changed_its_own_values_is_not_current() -> None:
    found = on_unit(B, 4, newest=6, same=False)
    assert found == Verdict(
        Standing.OWN_VALUES,
        f"{UNIT}'s own values for this mode changed from r4 to r6; otherwise r2 is current",
        2,
        6,
    )
    assert not found.current


def test_card_that_was_replaced_tells_of_its_machine_too() -> None:
    assert on_unit(A, 4, newest=6, same=False) == Verdict(
        Standing.NEWER, f"r2 has replaced r1; {UNIT}'s own values for this mode changed from r4 to r6", 2, 6
    )


def test_card_that_does_not_name_its_machines_revision_says_that_it_cannot_be_compared() -> None:
    assert on_unit(B, None, newest=6, same=None) == Verdict(
        Standing.CURRENT,
        f"r2 is current; it does not say at which revision {UNIT} was, whose own values may have changed",
        2,
    )


histories = st.lists(
    st.tuples(st.sampled_from([A, B, C]), st.sampled_from(["trial", "known-good", "withdrawn"])),
    min_size=1,
    max_size=6,
).map(lambda held: [Landed(number, *each) for number, each in enumerate(held, 1)])


@given(histories, st.data())
def test_card_is_current_exactly_when_its_settings_are_the_known_good_ones(
    history: list[Landed], data: st.DataObject
) -> None:
    own = data.draw(st.sampled_from(history))
    good = [each for each in history if each.status == "known-good"]
    expected = bool(good) and history[-1].status != "withdrawn" and good[-1].digest == own.digest
    assert verdict(code(own.number, own.digest), history).current is expected


@given(histories, st.data())
def test_what_is_to_be_used_is_never_worse_than_known_good_where_there_is_one(
    history: list[Landed], data: st.DataObject
) -> None:
    own = data.draw(st.sampled_from(history))
    use = verdict(code(own.number, own.digest), history).use
    good = [each.number for each in history if each.status == "known-good"]
    if history[-1].status == "withdrawn":
        assert use is None
    else:
        assert use == (good[-1] if good else history[-1].number)
