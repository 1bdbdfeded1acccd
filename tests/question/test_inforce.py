from typing import Any

import pytest

from registry.errors import RequestError
from registry.model.shape import shape_of
from registry.question.inforce import InForce, in_force
from registry.question.names import once_named
from registry.question.registry import NotThen, Registry
from registry.question.when import moment, version
from tests import small
from tests.index.branch import DAY, START, Branch
from tests.index.drawn import as_file, whole

PATH = small.mode_path(small.MODE)
BASE = small._START[PATH]  # noqa: SLF001
SITE = {"title": "Quay", "revision": 1}
UNITS = {
    "records/sites/quay/site.json": SITE,
    "records/sites/quay/units/one.json": SITE,
    "records/sites/quay/units/two.json": SITE,
    "records/sites/mill/site.json": SITE,
}


def mode(number: int, status: str = "trial", **more: Any) -> dict[str, Any]:
    return BASE | {"revision": number, "status": status, "heat": {"cure_c": 90 + number}} | more


def proof(number: int, **more: Any) -> dict[str, Any]:
    digest = shape_of("print-mode").digest(mode(number))
    return {
        "title": "T",
        "site": "quay",
        "unit": "quay/one",
        "mode": small.MODE,
        "mode_revision": number,
        "settings_digest": digest,
    } | more


def run(number: int, day: str, **more: Any) -> dict[str, Any]:
    path = f"records/sites/{more.get('site', 'quay')}/runs/{day}-r{number}.json"
    return {path: proof(number, printed=f"{day}T12:00:00+01:00", **more)}


def adopted(number: int, day: str, **more: Any) -> dict[str, Any]:
    path = f"records/sites/{more.get('site', 'quay')}/events/{day}-r{number}.json"
    return {path: proof(number, at=f"{day}T12:00:00+01:00", **{"kind": "adopted"} | more)}


@pytest.fixture
def four(branch: Branch) -> Branch:
    """Four revisions, landed on the second to the fifth of January."""
    branch.land({PATH: mode(1), **UNITS})
    branch.land({PATH: mode(2, "known-good")})
    branch.land({PATH: mode(3)})
    branch.land({PATH: mode(4)})
    return branch


def used(branch: Branch, where: str, day: str = "") -> InForce:
    registry = branch.registry()
    until = moment(registry, day) if day else float("inf")
    return in_force(registry, registry.model.named(small.MODE)[0], where, until)


def test_a_run_proves_what_was_in_force(four: Branch) -> None:
    four.land(run(1, "2026-01-10") | run(3, "2026-01-12"))
    found = used(four, "quay")
    assert (found.seq, found.how, found.record) == (3, "run", "quay/2026-01-12-r3")
    assert (found.words, found.mismatch) == ("a run on 2026-01-12 12:00 proves it", "")
    assert (used(four, "quay", "2026-01-11").seq, used(four, "quay", "2026-01-12").seq) == (1, 3)


def test_of_two_runs_at_the_same_moment_the_later_record_counts(four: Branch) -> None:
    first = run(1, "2026-01-10")
    second = {
        path.replace(".json", "-2.json"): proof(3, printed=held["printed"]) for path, held in first.items()
    }
    four.land(first | second)
    assert (used(four, "quay").seq, used(four, "quay").record) == (3, "quay/2026-01-10-r1-2")


def test_of_many_runs_at_the_same_moment_the_last_in_number_counts(four: Branch) -> None:
    ((path, held),) = run(1, "2026-01-10").items()
    for number in (2, 9, 10, 11):
        again = proof(3 if number == 11 else 4, printed=held["printed"])
        four.land({path.replace(".json", f"-{number}.json"): again})
    assert (used(four, "quay").seq, used(four, "quay").record) == (3, "quay/2026-01-10-r1-11")


def test_an_adoption_says_what_is_in_force_until_something_later_does(four: Branch) -> None:
    four.land(adopted(2, "2026-01-10") | run(1, "2026-01-09"))
    found = used(four, "quay/one")
    assert (found.seq, found.how, found.words) == (2, "adopted", "adopted on 2026-01-10 12:00")
    four.land(run(4, "2026-01-11"))
    assert (used(four, "quay/one").seq, used(four, "quay/one", "2026-01-10").seq) == (4, 2)


def test_a_run_proves_more_than_an_adoption_at_the_same_moment(four: Branch) -> None:
    four.land(adopted(2, "2026-01-10") | run(1, "2026-01-10"))
    assert (used(four, "quay").how, used(four, "quay").seq) == ("run", 1)


def test_each_unit_and_each_site_has_its_own(four: Branch) -> None:
    four.land(
        run(1, "2026-01-10")
        | run(3, "2026-01-11", unit="quay/two")
        | run(4, "2026-01-12", site="mill", unit="mill/one")
    )
    assert [used(four, where).seq for where in ("quay/one", "quay/two", "quay", "mill")] == [1, 3, 3, 4]


def test_other_events_and_other_modes_prove_nothing(four: Branch) -> None:
    four.land(adopted(3, "2026-01-10", kind="moved") | run(3, "2026-01-11", mode=small.FRONT))
    assert used(four, "quay").how == "landed"


def test_where_nothing_proves_it_what_had_landed_is_assumed_and_said_so(four: Branch) -> None:
    found = used(four, "quay")
    assert (found.seq, found.how, found.record) == (2, "landed", "")  # the last that said known-good
    assert found.words == "assumed: r2 had landed by then; no run or adoption at quay says so"
    assert found.since == START + 2 * DAY
    assert used(four, "quay", "2026-01-02").seq == 1  # nothing was known good then
    with pytest.raises(
        NotThen, match=f"^{small.MODE} had not landed by then, so it was not in force at quay$"
    ):
        used(four, "quay", "2026-01-01")


def test_what_was_removed_or_cannot_be_read_is_not_assumed(four: Branch) -> None:
    four.land({PATH: mode(5, "known-good")})
    four.land({PATH: b"{"})
    four.land({PATH: None})
    four.land({PATH: mode(8)})
    assert used(four, "quay").seq == 5


def test_evidence_that_does_not_agree_with_what_landed_says_how(four: Branch) -> None:
    four.land(run(2, "2026-01-10", mode_revision=4))
    found = used(four, "quay")
    assert (found.seq, found.mismatch) == (2, "quay/2026-01-10-r2 names r4, its settings are those of r2")
    four.land(run(3, "2026-01-11", settings_digest="ab" * 32))
    found = used(four, "quay")
    assert (found.seq, found.mismatch) == (
        3,
        "quay/2026-01-11-r3 names settings abababababab that never landed",
    )
    four.land(run(9, "2026-01-12", settings_digest="ab" * 32))
    assert used(four, "quay").seq == 4


@pytest.mark.parametrize("missing", ["settings_digest", "mode_revision", "printed"])
def test_a_run_that_lacks_what_it_must_say_proves_nothing(four: Branch, missing: str) -> None:
    [(path, document)] = run(3, "2026-01-10").items()
    run_of_three = whole(path, document)
    del run_of_three[missing]
    four.land({PATH: None})
    four.land({PATH: mode(5), path: as_file(run_of_three)})
    found = used(four, "quay")
    assert (found.how, found.seq) == ("landed", 2)


def test_a_run_of_a_mode_that_nobody_could_ever_read_proves_nothing(branch: Branch) -> None:
    branch.land({PATH: as_file(whole(PATH, mode(1) | {"layers": "deep"})), **UNITS, **run(1, "2026-01-10")})
    registry = branch.registry()
    with pytest.raises(NotThen, match=r"quay/2026-01-10-r1 used .*, of which no revision can be read"):
        in_force(registry, once_named(registry, small.MODE), "quay", float("inf"))


def test_settings_that_landed_twice_are_those_of_the_number_that_is_named(four: Branch) -> None:
    four.land({PATH: mode(5, heat={"cure_c": 91})})
    four.land(run(1, "2026-01-10"))
    assert used(four, "quay").seq == 1
    four.land(run(1, "2026-01-11", mode_revision=5))
    assert (used(four, "quay").seq, used(four, "quay").mismatch) == (5, "")


def test_what_is_in_force_at_a_site_is_a_version_with_its_evidence(four: Branch) -> None:
    four.land(run(1, "2026-01-10") | adopted(3, "2026-01-12", unit="quay/two"))
    registry = four.registry()
    found = version(registry, f"{small.MODE}@site:quay")
    assert (found.label, found.asked, found.evidence) == ("r3", "@site:quay", used(four, "quay"))
    assert version(registry, f"{small.MODE}@site:quay/one").label == "r1"
    assert version(registry, f"{small.MODE}@site:quay:2026-01-11").label == "r1"
    assert version(registry, f"{small.MODE}@site:quay:2026-01-12T12:00").label == "r3"
    assert version(registry, f"{small.MODE}@site:quay/two:2026-01-11").evidence == used(
        four, "quay/two", "2026-01-11"
    )


def test_a_site_or_unit_that_there_is_not_is_answered_with_what_is_near(four: Branch) -> None:
    for where, said in {
        "kuay": "there is no site 'kuay' among what has landed; did you mean quay",
        "quay/on": "there is no unit 'quay/on' among what has landed; did you mean quay/one, quay/two",
        "site:": "there is no site 'site' among what has landed",
    }.items():
        with pytest.raises(RequestError) as caught:
            version(four.registry(), f"{small.MODE}@site:{where}")
        assert str(caught.value).startswith(said)


def test_only_a_print_mode_is_in_force_somewhere(four: Branch) -> None:
    with pytest.raises(RequestError, match="only a print mode is in force at a site, not the unit quay/one"):
        version(four.registry(), "quay/one@site:quay")


def test_a_site_that_was_removed_can_still_be_asked_about(four: Branch) -> None:
    four.land(run(1, "2026-01-10") | {"records/sites/quay/site.json": None})
    assert used(four, "quay").seq == 1


def test_the_story_tells_runs_and_adoptions_apart(story: Registry) -> None:
    asked = f"{small.MODE}@site:{small.UNIT}"
    for day, label, how in (
        ("2025-09-15", "r3", "landed"),
        ("2025-09-20", "r3", "adopted"),
        ("2025-10-02", "r3", "run"),
        ("2025-11-12", "r4", "run"),
    ):
        found = version(story, f"{asked}:{day}")
        assert found.evidence is not None
        assert (found.label, found.evidence.how) == (label, how)
