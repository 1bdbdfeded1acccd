"""The reports of an audit, as an independent reader of PDF sees them."""

import json
import re
import shutil
from pathlib import Path
from typing import Any, get_args

import pytest

from registry.audit.answer import Place
from registry.cli.audit_letter import kind_of, seen
from registry.demo.replay import replay
from registry.model.words import EventKind
from tests.audit.story import COMPLAINT, continue_story
from tests.card.reading import Printed, printed, without_blanks
from tests.goldens import run


@pytest.fixture(scope="module")
def december(small_registry: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("december") / "registry"
    shutil.copytree(small_registry, folder)
    continue_story(folder)
    return folder


@pytest.fixture(scope="module")
def replayed_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with its three complaints."""
    return replay(tmp_path_factory.mktemp("report") / "demo").root


def reported(folder: Path, where: Path, *args: str) -> tuple[dict[str, Any], Printed]:
    """Return the answer of an audit, and its report as it is printed."""
    output = where / "report.pdf"
    asked = ("audit", *args, "-o", str(output), "--date", "2026-01-15", "--format", "json")
    result = run(folder, *asked)
    assert result.exit_code == 1, result.stderr
    answer = json.loads(result.stdout)
    assert answer["report"] == [str(output)]
    return answer, printed(output.read_bytes())


@pytest.mark.parametrize("complaint", [COMPLAINT, "reddish-concourse"])
def test_the_report_holds_question_answer_evidence_story_and_what_is_unknown(
    december: Path, tmp_path: Path, complaint: str
) -> None:
    answer, paper = reported(december, tmp_path, complaint)
    said = [
        answer["request"]["what"],
        *answer["in_short"],
        *answer["unknown"],
        *answer["next"],
        *(each["what"] for each in answer["timeline"]),
        *(each["label"] for each in answer["differences"]),
        *(answer[which]["mode"]["settings_digest"] for which in ("good", "bad")),
        answer["commit"],
        "2026-01-15",
        "ISO/CIE 11664-6",
    ]
    assert [words for words in said if without_blanks(words) not in paper.text] == []


def test_readings_stand_with_their_difference(replayed_folder: Path, tmp_path: Path) -> None:
    answer, paper = reported(replayed_folder, tmp_path, "2026-05-blue-concourse")
    for read in answer["request"]["readings"]:
        assert without_blanks(f"{read['patch']}") in paper.text
        assert f"{read['difference_de00']:.1f}" in paper.text


@pytest.mark.parametrize("complaint", ["2026-05-blue-concourse", "2025-08-stuck-roll", "2025-11-kiosk-bands"])
def test_the_customers_report_is_one_page_and_names_no_staff_no_other_job_and_no_machine(
    replayed_folder: Path, tmp_path: Path, complaint: str
) -> None:
    answer, paper = reported(replayed_folder, tmp_path, complaint, "--for-customer")
    assert paper.pages == 1
    origins = [each["origin"] for each in answer["differences"]]
    own = answer["request"]["job"]
    hidden = {
        *(writer.partition(",")[0] for origin in origins for writer in origin["writers"]),
        *(each["job"] for each in answer["others"]),
        *(each["record"] for each in answer["differences"]),
        *(each["what"] for each in answer["differences"] if each["what"]),
        answer["request"]["unit"],
        answer["request"]["mode"],
        answer["good"]["job"] or "?",
    } - {own}
    assert len(hidden) > 5
    assert [words for words in hidden if without_blanks(words) in paper.text] == []
    assert without_blanks(answer["request"]["what"]) in paper.text
    assert min(paper.sizes) >= 9


def test_a_customers_report_of_nothing_found_says_so_kindly(december: Path, tmp_path: Path) -> None:
    quiet = ("--mode", "tidecloth/gull-510/front-8", "--printed", "2025-12-08", "--good", "2025-12-06")
    output = tmp_path / "letter.pdf"
    asked = ("audit", "--unit", "mill-lane/one", *quiet, "--for-customer", "-o", str(output))
    assert run(december, *asked).exit_code == 1  # not everything is known
    text = printed(output.read_bytes()).text
    assert without_blanks("We know of no change that usually leads to what you see.") in text
    assert without_blanks("None of this is proved yet") not in text


def test_every_sort_of_change_has_plain_words_for_a_customer() -> None:
    for event in get_args(EventKind):
        assert kind_of(event, "event"), event
    for place in set(get_args(Place)) - {"event"}:
        assert kind_of("a.setting", place), place
    assert "light behind" in kind_of("driver", "event")
    assert "delivery" in kind_of("roll_lot", "job")
    assert "this job" in kind_of("colour.overrides", "job")


def test_how_far_apart_colours_look_rises_with_their_difference() -> None:
    words = [seen(each) for each in (0.0, 0.99, 1.0, 1.99, 2.0, 4.99, 5.0, 30.0)]
    assert list(dict.fromkeys(words)) == [words[0], words[2], words[4], words[6]]


def test_the_same_audit_gives_the_same_bytes_and_pages_as_pictures(december: Path, tmp_path: Path) -> None:
    written = []
    for name in ("one", "two"):
        asked = ("audit", COMPLAINT, "-o", str(tmp_path / f"{name}.png"), "--date", "2026-01-15")
        run(december, *asked)
        written.append([path.read_bytes() for path in sorted(tmp_path.glob(f"{name}*.png"))])
    assert written[0] == written[1]
    assert len(written[0]) > 1


@pytest.mark.parametrize(
    ("args", "says"),
    [(("--for-customer",), "say where, -o FILE.pdf"), (("-o", "x.txt"), "neither a .pdf nor a .png")],
)
def test_a_report_that_cannot_be_written_is_refused(december: Path, args: tuple[str, ...], says: str) -> None:
    result = run(december, "audit", COMPLAINT, *args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert re.search(re.escape(says), result.stderr)
