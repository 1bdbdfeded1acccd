"""A revision is its settings and its commit; the number in its file is only what people call it by."""

import json
from pathlib import Path

import pytest

from registry.errors import RequestError
from registry.question.registry import Registry
from registry.question.revisions import digest_of
from registry.question.when import version
from tests.goldens import run
from tests.index.branch import START, Branch

PATH = "records/printers/wide.json"
WEEK = 7 * 86400


def printer(number: int, width: int, reason: str) -> dict[str, object]:
    return {"title": "Wide", "max_width_mm": width, "revision": number, "reason": reason}


@pytest.fixture
def twice(tmp_path: Path) -> Branch:
    """A record whose second number two shops gave to different settings, and the third is left out."""
    branch = Branch(tmp_path / "registry")
    branch.land({PATH: printer(1, 1600, "First")}, at=START)
    branch.land({PATH: printer(2, 1625, "The yard's own")}, at=START + WEEK)
    branch.land({PATH: printer(2, 1700, "Measured anew")}, at=START + 2 * WEEK)
    branch.land({PATH: printer(4, 1710, "Settled")}, at=START + 3 * WEEK)
    return branch


def digests(registry: Registry) -> list[str]:
    return [digest_of(registry, each) for each in registry.model.revisions(PATH)]


def test_a_revision_is_called_by_the_number_in_its_file(twice: Branch) -> None:
    registry = twice.registry()
    assert [each.label for each in registry.model.revisions(PATH)] == ["r1", "r2", "r2", "r4"]
    found = version(registry, "wide")
    assert (found.label, found.number, found.document["max_width_mm"]) == ("r4", 4, 1710)
    assert version(registry, "wide@r4").document == found.document
    with pytest.raises(RequestError, match=r"^wide has no r3: it has r1 to r4$"):
        version(registry, "wide@r3")


def test_a_number_that_two_settings_carry_is_answered_with_both(twice: Branch) -> None:
    registry = twice.registry()
    _, one, other, _ = digests(registry)
    with pytest.raises(RequestError) as caught:
        version(registry, "wide@r2")
    assert str(caught.value) == (
        "2 revisions of wide with other settings call themselves r2: "
        f"wide@{one[:12]} (r2, landed on 2026-01-08: The yard's own); "
        f"wide@{other[:12]} (r2, landed on 2026-01-15: Measured anew): write one of these"
    )
    assert caught.value.exit_code == 2
    for digest, width in ((one, 1625), (other, 1700)):
        for digits in (12, 20, 64):
            found = version(registry, f"wide@{digest[:digits]}")
            assert (found.document["max_width_mm"], found.digest) == (width, digest)


def test_of_one_number_and_the_same_settings_the_later_is_meant(twice: Branch) -> None:
    twice.land({PATH: printer(4, 1710, "Settled, and said why")})
    found = version(twice.registry(), "wide@r4")
    assert found.document["reason"] == "Settled, and said why"


def test_settings_that_never_landed_are_said_to_be_none(twice: Branch) -> None:
    with pytest.raises(
        RequestError, match=r"^wide has no settings 0123456789ab: no branch here has or had them$"
    ):
        version(twice.registry(), "wide@0123456789ab")


def test_programs_are_told_the_number_in_the_file(twice: Branch) -> None:
    digest = digests(twice.registry())[2][:12]
    told = json.loads(run(twice.folder, "show", f"wide@{digest}", "--format", "json").stdout)["record"]
    assert (told["revision"], told["number"]) == ("r2", 2)
    told = json.loads(run(twice.folder, "history", "wide", "--format", "json").stdout)["revisions"]
    assert [(each["revision"], each["number"]) for each in told] == [
        ("r1", 1), ("r2", 2), ("r2", 2), ("r4", 4),
    ]  # fmt: skip


def test_a_slow_clock_hides_nothing_that_had_landed_before(tmp_path: Path) -> None:
    branch = Branch(tmp_path / "registry")
    for number, weeks in ((1, 0), (2, 10), (3, 0.1), (4, 12)):  # the third is dated before the second
        at = START + int(weeks * WEEK)
        branch.land({PATH: printer(number, 1600 + number, f"Reason {number}")}, at=at)
    registry = branch.registry()
    landed = [registry.model.landing(each.n) for each in registry.model.revisions(PATH)]
    assert [(each.landed - START) / WEEK for each in landed] == [0, 10, 10, 12]
    assert [round((each.clock - START) / WEEK, 1) for each in landed] == [0, 10, 0.1, 12]
    days = {"2026-01-05": "r1", "2026-02-20": "r1", "2026-03-13": "r3", "2026-04-01": "r4"}
    assert {day: version(registry, f"wide@{day}").label for day in days} == days
