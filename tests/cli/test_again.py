"""What is recorded twice, and how what was mistyped is put right: by a later word, and nothing is edited."""

import json
from pathlib import Path

import pytest

from registry.audit.prints import runs_of
from registry.question.registry import Registry
from tests import small
from tests.cli.conftest import Litstock
from tests.cli.test_writing import MODE_PATH, document

ONE = ("--unit", small.OTHER_UNIT)
LEFT = ("--unit", small.UNIT, "--site", "harbour-yard")
RUN = ("run", f"{small.MODE}@r3", "--job", 'J "7"', *ONE)
FAILED = ("--outcome", "failed", "--note", "Tacky at one edge")
GOOD = ("--outcome", "good", "--hours", "24", "--seen", "on-light-table")


def runs(registry: Path) -> list[str]:
    return sorted(path.name for path in (registry / "records/sites/mill-lane/runs").glob("*.json"))


def standing(litstock: Litstock, when: str = "") -> tuple[str, str | None]:
    told = json.loads(litstock("show", small.MODE + when, "--format", "json").stdout)
    return told["standing"], told["on_trial_because"]


def test_a_key_pressed_twice_records_one_run(litstock: Litstock, registry: Path) -> None:
    litstock(*RUN, "--at", "2025-12-01T10:00")
    again = litstock(*RUN, "--at", "2025-12-01T10:00:59", code=2).stderr
    assert 'job J "7" is on record: mill-lane/2025-12-01-j-7 says that mill-lane/one printed it with' in again
    assert runs(registry) == ["2025-12-01-j-7.json"]


def test_a_run_that_has_not_landed_yet_counts_too(litstock: Litstock, clone: Path) -> None:
    litstock(*RUN)
    litstock(*RUN, code=2)
    assert len(runs(clone)) == 1


OTHERS = {
    "a minute later": ("--at", "2025-12-01T10:01"),
    "another machine": ("--at", "2025-12-01T10:00", "--unit", small.UNIT, "--site", "harbour-yard"),
}


@pytest.mark.parametrize("other", OTHERS)
def test_the_same_job_once_more_is_recorded_and_said_to_be_so(
    litstock: Litstock, registry: Path, other: str
) -> None:
    litstock(*RUN, "--at", "2025-12-01T10:00", "--site", "mill-lane")
    said = litstock(*RUN, *OTHERS[other])
    words = f"printed it with {small.MODE} r3 on 2025-12-01 10:00"
    assert (words in said.stderr) is (other == "a minute later")  # another shop's job numbers are its own
    assert document(registry, said.stdout.strip())["mode_revision"] == 3


def test_another_job_is_not_taken_for_it(litstock: Litstock) -> None:
    litstock(*RUN, "--at", "2025-12-01T10:00")
    other = ("run", f"{small.MODE}@r3", "--job", "J 7", *ONE)
    assert "on record" not in litstock(*other, "--at", "2025-12-01T10:00").stderr


def test_a_run_with_the_wrong_revision_is_put_right_by_recording_it_again(
    litstock: Litstock, registry: Path
) -> None:
    litstock(*RUN, "--at", "2025-12-01T10:00:17")
    right = ("run", f"{small.MODE}@r4", "--job", 'J "7"', *ONE, "--at", "2025-12-01T10:00")
    made = litstock(*right)
    assert "r3: this takes its place, of two at one moment the later record counts" in made.stderr
    assert document(registry, made.stdout.strip())["printed"] == "2025-12-01T10:00:17+01:00"
    shown = json.loads(litstock("show", f"{small.MODE}@site:mill-lane", "--format", "json").stdout)
    assert shown["record"]["number"] == 4
    (audited,) = runs_of(Registry(registry, {}), small.MODE, small.OTHER_UNIT)
    assert (audited.rid, audited.document["mode_revision"]) == ("mill-lane/2025-12-01-j-7-2", 4)


def test_a_word_is_not_counted_twice(litstock: Litstock) -> None:
    litstock("confirm", f"{small.MODE}@r3", *GOOD, *ONE)
    again = litstock("confirm", f"{small.MODE}@r3", *GOOD, *ONE, code=2).stderr
    assert "says so already: a second print judged that day is told apart by --note" in again
    litstock("confirm", f"{small.MODE}@r3", *GOOD, *ONE, "--note", "The second panel")


def test_a_mistyped_failure_is_put_right_by_confirming_again(litstock: Litstock, registry: Path) -> None:
    mistyped = litstock("confirm", f"{small.MODE}@r4", *FAILED, *ONE).stdout.strip()
    before = (registry / mistyped).read_bytes()
    assert (
        standing(litstock)[1]
        == f"mill-lane printed it, and it FAILED, on {document(registry, mistyped)['date']}"
    )
    right = litstock("confirm", f"{small.MODE}@r4", *GOOD, *ONE)
    assert "beware: this takes the place of mill-lane/" in right.stderr
    assert "which said failed on" in right.stderr
    assert (registry / mistyped).read_bytes() == before
    shown = litstock("show", small.MODE).stdout
    assert "FAILED with these very settings" not in shown
    assert "said before of the same machine's print, which does not count any more" in shown
    assert "; its record still says trial" not in shown
    assert str(standing(litstock)[1]).startswith("confirmed by mill-lane on")


def test_a_word_of_another_machine_takes_no_place(litstock: Litstock) -> None:
    litstock("confirm", f"{small.MODE}@r4", *FAILED, *ONE)
    other = litstock("confirm", f"{small.MODE}@r4", *GOOD, *LEFT)
    assert "takes the place" not in other.stderr
    assert "mill-lane printed it, and it FAILED" in str(standing(litstock)[1])


def test_a_word_of_an_earlier_day_does_not_count_beside_a_later_one(litstock: Litstock) -> None:
    litstock("confirm", f"{small.MODE}@r4", *FAILED, *ONE, "--date", "2025-12-05")
    said = litstock("confirm", f"{small.MODE}@r4", *GOOD, *ONE, "--date", "2025-12-04").stderr
    assert "this does not count beside mill-lane/2025-12-05-" in said
    assert "FAILED, on 2025-12-05" in str(standing(litstock)[1])


def test_a_mode_whose_only_good_word_is_taken_back_goes_on_trial(litstock: Litstock) -> None:
    litstock("confirm", f"{small.MODE}@r3", *FAILED, *LEFT, "--date", "2025-12-01")
    because = "harbour-yard printed it, and it FAILED, on 2025-12-01"
    assert standing(litstock, "@r3") == ("trial", because)
    assert json.loads(litstock("slug", small.MODE, "--format", "json").stdout)["revision"] == 4


def test_the_known_good_mode_itself_is_put_on_trial_with_it(
    litstock: Litstock, registry: Path, tmp_path: Path
) -> None:
    reading = tmp_path / "lit.txt"
    geometry = b'MEASUREMENT_GEOMETRY "transmission, 0:d"\nNUMBER_OF_FIELDS 5'
    reading.write_bytes(small.READINGS.replace(b"NUMBER_OF_FIELDS 5", geometry))
    litstock("revise", small.MODE, "--attach", str(reading), "--reason", "Read in transmission")
    litstock("confirm", f"{small.MODE}@r5", *GOOD, *ONE)
    litstock("revise", small.MODE, "--set", "status=known-good", "--reason", "Confirmed at mill-lane")
    assert standing(litstock) == ("known-good", None)
    wrong = litstock("confirm", f"{small.MODE}@r6", *FAILED, *ONE)
    assert f"beware: {small.MODE} goes on trial: no good word is left for its settings" in wrong.stderr
    assert MODE_PATH in wrong.stdout.split()
    assert (document(registry)["status"], document(registry)["revision"]) == ("trial", 7)
    assert "no errors" in litstock("check", "--base", "HEAD~1").stdout
    litstock("confirm", f"{small.MODE}@r7", *GOOD, *ONE)
    litstock("revise", small.MODE, "--set", "status=known-good", "--reason", "It had been mistyped")
    assert standing(litstock) == ("known-good", None)
