"""A job's number finds its complaint, else its run and a good one before it."""

import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from registry.audit.by_job import is_complaint, of_job
from registry.audit.request import AuditRequest, of_complaint
from registry.errors import RequestError
from registry.question.registry import Registry
from tests.audit.story import COMPLAINT, DISPLAY, SITE, Continued
from tests.goldens import run
from tests.small import MODE, OTHER_UNIT, UNIT, mode_path

NOTHING: dict[str, Any] = dict.fromkeys(("site", "unit", "mode", "printed", "good", "display", "defect"), "")


def ask(registry: Registry, job: str, **asked: Any) -> AuditRequest:
    return of_job(registry, job, **(NOTHING | {"lots": ()} | asked))


def printed(registry: Registry, request: AuditRequest) -> tuple[str, str]:
    return tuple(f"{registry.time(at):%m-%d %H:%M}" for at in (request.good, request.printed))  # type: ignore[return-value]


@pytest.mark.parametrize("job", ["J152", "j152"])
@pytest.mark.parametrize("good", ["", "2025-12-06T10:00"])
def test_of_a_job_its_complaint_is_asked(december: Registry, job: str, good: str) -> None:
    assert ask(december, job, good=good) == of_complaint(december, COMPLAINT, good=good)
    assert ask(december, job, good=good, site=SITE) == of_complaint(december, COMPLAINT, good=good)


def test_of_a_job_without_a_complaint_its_run_is_asked_and_the_last_good_one_for_the_display(
    december: Registry,
) -> None:
    request = ask(december, "J151", defect="cast")
    assert (request.job, request.complaint, request.defect) == ("J151", "", "cast")
    assert (request.unit, request.mode) == (UNIT, MODE)
    assert printed(december, request) == ("12-01 10:00", "12-06 10:00")
    assert request.assumed == (
        (
            "the good print is job J150 of 2025-12-01 10:00: the last run before it of this mode on this "
            f"unit for {DISPLAY}, of which no complaint is on record; --good names another"
        ),
    )


def test_a_run_of_which_there_is_a_complaint_is_no_good_one(december: Registry) -> None:
    """J152 was complained of, and J160, that names no display, takes the last run wherever it went."""
    request = ask(december, "J160")
    assert printed(december, request) == ("12-06 10:00", "12-20 10:00")
    assert request.assumed[0].startswith(
        "the good print is job J151 of 2025-12-06 10:00: the last run before it of this mode on this unit, "
    )


def test_a_run_for_another_display_is_good_enough_where_there_is_none_for_this_one(
    december: Registry,
) -> None:
    assert printed(december, ask(december, "J149")) == ("10-01 10:00", "11-28 10:00")
    assert printed(december, ask(december, "J151", display=DISPLAY)) == ("12-01 10:00", "12-06 10:00")


@pytest.mark.parametrize(
    "asked", [{"site": SITE}, {"unit": UNIT}, {"site": SITE, "unit": "left"}, {"mode": MODE}]
)
def test_a_job_may_be_narrowed_by_site_unit_and_mode(december: Registry, asked: dict[str, str]) -> None:
    assert ask(december, "J151", **asked) == ask(december, "J151")


def test_a_good_print_that_is_named_is_taken(december: Registry) -> None:
    request = ask(december, "J151", good="2025-11-28T10:00")
    assert printed(december, request) == ("11-28 10:00", "12-06 10:00")
    assert request.assumed == ()


@pytest.mark.parametrize(
    ("job", "asked", "said"),
    [
        (
            "J999",
            {},
            "there is no complaint and no job 'J999' among what has landed; did you mean J149",
        ),
        (
            "lines",
            {},
            "there is no complaint and no job 'lines' among what has landed; did you mean " + COMPLAINT,
        ),
        (
            "no such thing",
            {},
            (
                "there is no complaint and no job 'no such thing' among what has landed; write the number as "
                "its run has it"
            ),
        ),
        (
            "J152",
            {"defect": "cast", "lots": ("L",), "site": SITE},
            f"the complaint {COMPLAINT} of job J152 says all but --good itself: leave out --defect, --lot",
        ),
        (
            "J151",
            {"unit": OTHER_UNIT},
            "no run of job J151 is on record there: give --unit, --mode, --printed and --good",
        ),
        (
            "J100",
            {},
            (
                f"before job J100 no run of {MODE} on {UNIT} is on record without a complaint: name a good "
                "print with --good"
            ),
        ),
    ],
)
def test_what_a_job_does_not_tell_is_asked_for(
    december: Registry, job: str, asked: dict[str, Any], said: str
) -> None:
    with pytest.raises(RequestError) as refused:
        ask(december, job, **asked)
    assert str(refused.value) == said


@pytest.fixture(scope="module")
def busy(audited: Path, tmp_path_factory: pytest.TempPathFactory) -> Registry:
    """A job that was printed with two modes, and one of which one complaint of two was withdrawn."""
    folder = tmp_path_factory.mktemp("busy") / "registry"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        other = MODE.replace("backlit-16", "backlit-20")
        teller.create(
            "2025-12-21", SITE, mode_path(other), teller.document(mode_path(MODE)) | {"status": "trial"}
        )
        teller.run("2025-12-22", "J180", "2025-12-22T08:00:00+01:00")
        teller.run("2025-12-25", "J181", "2025-12-25T08:00:00+01:00")
        teller.run("2025-12-26", "J181", "2025-12-26T08:00:00+01:00", mode=other)
        path = f"records/sites/{SITE}/complaints"
        known = teller.document(f"{path}/dark-lines.json")
        for name, job in (("one", "J180"), ("two", "J180"), ("first", "J182"), ("second", "J182")):
            teller.create("2025-12-27", SITE, f"{path}/{name}.json", known | {"job": job})
        teller.revise("2025-12-28", SITE, f"{path}/two.json",
                      {"withdrawn": {"date": "2025-12-28", "reason": "Twice the same"}}, "Twice")  # fmt: skip
        teller.series.finish()
    return Registry(folder, os.environ)


def test_a_complaint_that_was_withdrawn_is_none(busy: Registry) -> None:
    assert ask(busy, "J180").complaint == f"{SITE}/one"


def test_two_complaints_of_a_job_are_told_apart(busy: Registry) -> None:
    with pytest.raises(RequestError) as refused:
        ask(busy, "J182")
    assert (
        str(refused.value) == f"job J182 is complained of in {SITE}/first, {SITE}/second: name one of these"
    )


def test_two_ways_of_printing_a_job_are_told_apart(busy: Registry) -> None:
    other = MODE.replace("backlit-16", "backlit-20")
    with pytest.raises(RequestError) as refused:
        ask(busy, "J181")
    assert str(refused.value) == (
        f"job J181 was printed with {MODE} on {UNIT}; {other} on {UNIT}: choose by --mode, --unit or --site"
    )
    assert printed(busy, ask(busy, "J181", mode=MODE)) == ("12-20 10:00", "12-25 08:00")


def test_of_two_runs_of_a_job_the_last_is_taken_unless_one_is_named(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "twice"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.run("2025-12-22", "J180", "2025-12-22T08:00:00+01:00")
        path = f"records/sites/{SITE}/runs/2025-12-23-j180.json"
        again = teller.document(f"records/sites/{SITE}/runs/2025-12-22-j180.json")
        again = {name: again[name] for name in ("title", "site", "job", "mode", "unit")}
        teller.happened("2025-12-23", SITE, path, again | {"printed": "2025-12-23T14:00:00+01:00"})
        teller.series.finish()
    registry = Registry(folder, os.environ)
    last = ask(registry, "J180")
    assert printed(registry, last) == ("12-20 10:00", "12-23 14:00")
    assert last.assumed[0] == (
        "the bad print is the last of the 2 runs of job J180, of 2025-12-23 14:00; --printed names another"
    )
    first = ask(registry, "J180", printed="2025-12-22T09:00")
    assert printed(registry, first) == ("12-20 10:00", "12-22 08:00")
    assert len(first.assumed) == 1


@pytest.mark.parametrize(
    ("text", "means"),
    [
        (COMPLAINT, True),
        ("dark-lines", True),
        (f"complaint:{COMPLAINT}", True),
        ("J152", False),
        ("lines", False),
    ],
)
def test_a_text_is_a_complaint_or_may_be_a_job(december: Registry, text: str, *, means: bool) -> None:
    assert is_complaint(december, text) is means


@pytest.mark.parametrize("unit", [UNIT, UNIT.partition("/")[2]])
def test_of_a_site_a_unit_may_be_named_by_its_whole_id(december: Registry, unit: str) -> None:
    assert ask(december, "J151", site=SITE, unit=unit).unit == UNIT


@pytest.mark.parametrize("asked", [("J152",), ("--job", "J152"), ("j152",)])
def test_the_command_takes_a_job_in_place_of_its_complaint(audited: Path, asked: tuple[str, ...]) -> None:
    assert run(audited, "audit", *asked).stdout == run(audited, "audit", COMPLAINT).stdout


def test_the_command_says_what_it_assumed_of_a_job(audited: Path) -> None:
    page = run(audited, "audit", "J151", "--defect", "banding")
    head = " ".join(page.stdout.partition("In short")[0].split())
    assert head.startswith("Audit of job J151, banding printed on harbour-yard/left")
    assert "ASSUMED: the good print is job J150 of 2025-12-01 10:00: the last run before it" in head
    told = json.loads(run(audited, "audit", "--job", "J151", "--format", "json").stdout)["request"]
    assert len(told["assumed"]) == 1
    assert told["assumed"][0].startswith("the good print is job J150")
    assert page.exit_code == 1


def test_a_job_is_named_once(audited: Path) -> None:
    result = run(audited, "audit", "J151", "--job", "J152")
    said = "litstock: the job is named twice, 'J151' and --job: leave one of them out\n"
    assert (result.exit_code, result.stderr) == (2, said)


def test_who_asks_without_the_complaint_of_the_job_is_told_of_it(audited: Path) -> None:
    asked = ("--unit", UNIT, "--mode", MODE, "--printed", "2025-12-10T10:00", "--good", "2025-12-01T10:00")
    page = run(audited, "audit", *asked).stdout
    assert f"- a complaint of job J152 is on record and knows more: litstock audit {COMPLAINT}" in page
    assert "knows more" not in run(audited, "audit", COMPLAINT).stdout
