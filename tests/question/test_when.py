import datetime
import json
import shutil
from pathlib import Path

import pytest

from registry.errors import RegistryError, RequestError
from registry.question.registry import NotThen, Registry
from registry.question.when import moment, newest_version, offered_version, version, version_of
from tests import small
from tests.index.branch import DAY, START, Branch
from tests.index.drawn import whole

PATH = "records/printers/wide.json"


def revision(number: int) -> dict[str, object]:
    return whole(PATH, {"title": f"Wide {number}", "revision": number, "reason": f"Reason {number}"})


def seconds(text: str) -> int:
    return int(datetime.datetime.fromisoformat(text).timestamp())


@pytest.fixture(scope="module")
def _pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    branch = Branch(tmp_path_factory.mktemp("pattern") / "registry")
    branch.land({PATH: revision(1)}, at=seconds("2026-03-01T23:59:59+01:00"))
    branch.land({PATH: revision(2)}, at=seconds("2026-03-02T00:00:00+01:00"))
    branch.land({PATH: revision(3)}, at=seconds("2026-03-05T12:00:00+01:00"))
    branch.model()
    return branch.folder


@pytest.fixture(scope="module")
def asked(_pattern: Path) -> Registry:
    """Three revisions of one record, landed around midnight one hour east of UTC; to ask only."""
    return Registry(_pattern, {})


@pytest.fixture
def three(_pattern: Path, tmp_path: Path) -> Branch:
    """The same, to go on with."""
    return Branch(Path(shutil.copytree(_pattern, tmp_path / "three")))


def test_without_when_it_is_the_newest_landed_one(asked: Registry) -> None:
    found = version(asked, "wide")
    assert (found.label, found.document, found.draft, found.asked) == (
        "r3",
        revision(3),
        False,
        "newest landed",
    )
    assert found.landed is not None
    assert found.landed.commit == asked.commit


def test_a_landed_revision_is_asked_for_by_its_number(asked: Registry) -> None:
    for number in (1, 2, 3):
        found = version(asked, f"wide@r{number}")
        assert (found.label, found.document, found.asked) == (f"r{number}", revision(number), f"@r{number}")
    assert version_of(asked, asked.model.named("wide")[0], 2, "before").document == revision(2)


@pytest.mark.parametrize(
    ("when", "number"),
    [
        ("2026-03-01", 1),
        ("2026-03-02", 2),
        ("2026-03-04", 2),
        ("2026-03-05", 3),
        ("9999-12-31", 3),
        ("2026-03-01T23:59:59", 1),
        ("2026-03-02T00:00:00", 2),
        ("2026-03-01T22:59:59Z", 1),
        ("2026-03-01T23:00:00+00:00", 2),
        ("2026-03-05T12:00", 3),
        ("2026-03-05T11:59", 2),
        ("2026-03-05 12:00", 3),
    ],
)
def test_a_day_ends_at_its_last_second_on_the_registrys_clock(
    asked: Registry, when: str, number: int
) -> None:
    assert version(asked, f"wide@{when}").seq == number


def test_what_had_not_landed_by_a_day_says_when_it_did(asked: Registry) -> None:
    with pytest.raises(NotThen) as caught:
        version(asked, "wide@2026-02-28")
    assert str(caught.value) == "wide had not landed by 2026-02-28: r1 landed on 2026-03-01"


@pytest.mark.parametrize(
    "when",
    [
        *("", "r", "r-1", "r1x", "R1", "7", "1.5", "latest", "2026", "2026-3-1", "20260301", "2026-W09-7"),
        *("2026-02-30", "2026-13-01", "2026-03-01T", "2026-03-01T25:00", "2026-03-01Tnoon", "r1234567"),
        *(
            "git",
            "git:",
            "site",
            "site:",
            "site::2026-03-01",
            "draft:",
            "drafts",
            "next",
            "@r1",
            "r1@r2",
            "\u0661",
        ),
    ],
)
def test_a_form_that_is_no_time_is_refused_with_the_forms_there_are(asked: Registry, when: str) -> None:
    with pytest.raises(RequestError) as caught:
        version(asked, f"wide@{when}")
    words = str(caught.value)
    assert (
        "write @r7, @DIGEST12, @2026-03-01, @git:REVISION" in words
        or "write 2026-03-01 or" in words
        or "only a" in words
    )
    assert caught.value.exit_code == 2


@pytest.mark.parametrize("when", ["r0", "r4", "r999999"])
def test_a_revision_that_there_is_not_is_answered_with_those_there_are(asked: Registry, when: str) -> None:
    with pytest.raises(NotThen) as caught:
        version(asked, f"wide@{when}")
    assert str(caught.value) == f"wide has no {when}: it has r1 to r3"


def test_of_a_single_revision_it_says_so(branch: Branch) -> None:
    branch.land({PATH: revision(1)})
    with pytest.raises(NotThen, match=r"^wide has no r2: it has only r1$"):
        version(branch.registry(), "wide@r2")


@pytest.mark.parametrize("text", ["2026-03-01", "2026-03-01T23:59:59", "2026-03-01T22:59:59Z"])
def test_a_moment_is_read_on_the_registrys_clock(asked: Registry, text: str) -> None:
    assert moment(asked, text) == seconds("2026-03-01T23:59:59+01:00")


@pytest.mark.parametrize(
    ("zone", "day", "end"),
    [
        ("UTC", "2026-03-01", "2026-03-01T23:59:59+00:00"),
        ("-03:30", "2026-03-01", "2026-03-01T23:59:59-03:30"),
        ("WET", "2026-07-01", "2026-07-01T23:59:59+01:00"),
        ("WET", "2026-03-29", "2026-03-29T23:59:59+01:00"),  # the night in which summer time began
    ],
)
def test_a_day_ends_where_it_ends_there(branch: Branch, zone: str, day: str, end: str) -> None:
    branch.land({"records/registry.json": {"title": "Branch", "time_zone": zone, "revision": 2}})
    assert moment(branch.registry(), day) == seconds(end)


class Back(datetime.tzinfo):
    """Four hours west until the clock goes back an hour, `at` on its own reading; five hours afterwards."""

    def __init__(self, at: datetime.datetime) -> None:
        self.at = at

    def utcoffset(self, when: datetime.datetime | None) -> datetime.timedelta:
        assert when is not None
        plain, hour = when.replace(tzinfo=None, fold=0), datetime.timedelta(hours=1)
        twice = self.at - hour <= plain < self.at
        later = plain >= self.at or (twice and when.fold == 1)
        return -(5 if later else 4) * hour

    def tzname(self, _when: datetime.datetime | None) -> str:
        return "back"

    def dst(self, _when: datetime.datetime | None) -> datetime.timedelta:
        return datetime.timedelta(0)


@pytest.mark.parametrize(
    ("back", "end"),
    [
        (
            "2026-11-01T01:00",
            "2026-10-31T23:59:59-04:00",
        ),  # midnight's hour comes twice: the first begins the day
        ("2026-11-01T00:00", "2026-10-31T23:59:59-05:00"),  # the last hour of the day comes twice
    ],
)
def test_a_day_on_which_an_hour_comes_twice_ends_where_it_ends(branch: Branch, back: str, end: str) -> None:
    registry = branch.registry()
    registry.__dict__["zone"] = Back(datetime.datetime.fromisoformat(back))
    assert registry.end_of(datetime.date(2026, 10, 31)) == seconds(end)


def test_a_time_zone_that_is_none_is_said_with_its_place(branch: Branch) -> None:
    for zone in ("Mars/Base", "Europe", "+1:00", "+24:00", "+01:60", "+ 1:00", "../zone"):
        branch.land({"records/registry.json": {"title": "Branch", "time_zone": zone, "revision": 2}})
        with pytest.raises(RegistryError, match=r"^records/registry\.json: .*is no time zone"):
            moment(branch.registry(), "2026-03-01")
    for unfit in ("", 7):
        branch.land({"records/registry.json": {"time_zone": unfit}})
        with pytest.raises(RegistryError, match=r"does not fit its schema at /time_zone: litstock"):
            moment(branch.registry(), "2026-03-01")


def test_where_the_registrys_own_record_cannot_be_read_no_day_is_guessed(branch: Branch) -> None:
    branch.land({"records/registry.json": b"{"})
    with pytest.raises(
        RegistryError, match=r"^records/registry\.json, as it landed last, cannot be read: line 1, column 2"
    ):
        moment(branch.registry(), "2026-03-01")
    branch.land({"records/registry.json": None, "records/other.txt": b""})
    (branch.folder / "records" / "registry.json").write_text("{}")
    assert moment(branch.registry(), "2026-03-01") == seconds("2026-03-01T23:59:59+00:00")


def test_a_commit_whose_clock_ran_away_is_the_last_of_all(branch: Branch) -> None:
    branch.land({PATH: revision(1)}, at=99999999999999)
    registry = branch.registry()
    assert registry.time(registry.model.landings()[-1].landed).isoformat() == "9999-12-31T00:59:59+01:00"
    with pytest.raises(NotThen, match="r1 landed on 9999-12-31"):
        version(registry, "wide@2026-03-01")


# -- at a commit ---------------------------------------------------------------------------------------------


def test_at_a_landing_it_is_what_that_landing_left(asked: Registry) -> None:
    for rev, number in (("HEAD", 3), ("HEAD~1", 2), ("main~2", 1)):
        found = version(asked, f"wide@git:{rev}")
        assert (found.label, found.document, found.draft) == (f"r{number}", revision(number), False)
        assert found.asked == f"@git:{rev}"


def test_at_a_landing_bytes_that_came_twice_are_the_earlier_revision(branch: Branch) -> None:
    for number in (1, 2, 1, 3):
        branch.land({PATH: revision(number)})
    registry = branch.registry()
    assert [version(registry, f"wide@git:HEAD~{back}").seq for back in (3, 2, 1, 0)] == [1, 2, 3, 4]


def test_beside_the_chain_it_is_a_draft_on_the_revision_below_its_own_number(three: Branch) -> None:
    beside = three.land(
        {PATH: revision(2) | {"title": "Beside", "reason": "Beside"}}, onto="refs/heads/main~2"
    )
    three.git("reset", "-q", "--hard", "main@{1}")
    registry = three.registry()
    assert registry.model.landing_of(beside) is None
    found = version(registry, f"wide@git:{beside}")
    assert (found.draft, found.label, found.landed) == (True, "draft, on r1", None)
    assert found.document["title"] == "Beside"


def test_beside_the_chain_what_says_the_same_as_a_landed_revision_is_that_revision(three: Branch) -> None:
    same = three.land({PATH: revision(2)}, onto="refs/heads/main~2")
    form = three.land(
        {PATH: json.dumps(dict(reversed(revision(2).items()))).encode()}, onto="refs/heads/main~1"
    )
    three.git("reset", "-q", "--hard", "main@{2}")
    registry = three.registry()
    for commit in (same, form):
        assert (version(registry, f"wide@git:{commit}").label, registry.model.landing_of(commit)) == (
            "r2",
            None,
        )


def test_at_a_commit_without_it_that_is_said(asked: Registry) -> None:
    with pytest.raises(NotThen, match=r"^wide is not in commit [0-9a-f]{12}$"):
        version(asked, "wide@git:HEAD~3")


@pytest.mark.parametrize("rev", ["none", "--all", "HEAD~99", "-1"])
def test_a_revision_that_git_does_not_know_is_refused(asked: Registry, rev: str) -> None:
    with pytest.raises(RequestError, match="is unknown: no commit, branch or tag here is called so"):
        version(asked, f"wide@git:{rev}")


def test_at_a_commit_a_link_or_a_faulty_file_is_said_to_be_one(three: Branch) -> None:
    three.git("switch", "-q", "-c", "beside")
    (three.folder / PATH).write_text("{")
    three.git("commit", "-q", "-a", "-m", "faulty")
    (three.folder / PATH).unlink()
    (three.folder / PATH).symlink_to("../registry.json")
    three.git("commit", "-q", "-a", "-m", "a link")
    three.git("switch", "-q", "main")
    registry = three.registry()
    with pytest.raises(RegistryError, match=r"in commit [0-9a-f]{12} is no file, and only files are records"):
        version(registry, "wide@git:beside")
    with pytest.raises(
        RegistryError, match=f"^{PATH} in commit [0-9a-f]{{12}}: line 1, column 2: the text ends"
    ):
        version(registry, "wide@git:beside~1")


# -- what is offered -----------------------------------------------------------------------------------------


def test_while_the_newest_is_on_trial_the_last_known_good_one_is_offered(story: Registry) -> None:
    offered = version(story, small.MODE, offered=True)
    newest = version(story, small.MODE)
    assert (offered.label, offered.standing, offered.on_trial) == ("r3", "known-good", 4)
    assert (newest.label, newest.standing, newest.on_trial) == ("r4", "trial", None)
    subject = story.model.named(small.MODE)[0]
    assert offered_version(story, subject) == offered
    assert newest_version(story, subject) == newest
    assert version(story, small.FRONT, offered=True) == version(story, small.FRONT)


def test_an_earlier_revision_stands_as_known_good_only_while_its_settings_are_confirmed(
    own_registry: Path,
) -> None:
    registry = Registry(own_registry, {})
    said = [
        registry.document(each.blob)["status"]
        for each in registry.model.revisions(small.mode_path(small.MODE))
    ]
    assert said == ["trial", "trial", "known-good", "trial"]
    assert [version(registry, f"{small.MODE}@r{n}").standing for n in (1, 2, 3, 4)] == said
    branch = Branch(own_registry)
    branch.land({"records/sites/harbour-yard/confirmations/2025-09-12-first.json": None}, at=START + DAY)
    assert version(branch.registry(), f"{small.MODE}@r3").standing == "trial"
