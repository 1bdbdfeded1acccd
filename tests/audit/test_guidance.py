"""What guidance refuses or warns of in the settings of the bad print is told near the top."""

import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from registry.audit.answer import Guided
from registry.question.registry import Registry
from tests.audit.asking import BANNER_MODE, asked
from tests.audit.story import SITE, Continued
from tests.goldens import run
from tests.small import MODE, OTHER_UNIT, UNIT

ASKED = ("--unit", UNIT, "--mode", MODE, "--printed", "2025-12-10T10:00", "--good", "2025-12-01T10:00")
COATED = {"/substrate/coating": {"const": "aqueous"}}
SAYS = "Such a coating re-wets: greasy off the take-up."


def ruled(audited: Path, folder: Path, level: str, when: dict[str, Any], day: str = "2025-12-22") -> Path:
    """Return a registry with one more rule of guidance."""
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        rule = {"title": "Re-wets", "level": level, "when": when, "text": SAYS}
        teller.create(
            day, SITE, "records/guidance/re-wets.json", rule | {"source": "common practice, no source"}
        )
        teller.series.finish()
    return folder


def test_what_guidance_warns_of_is_told_with_its_rule(december: Registry) -> None:
    assert asked(december).guidance == (
        Guided(
            rule="heavy-ink",
            level="warn",
            text="Heavy ink needs more passes and less speed.",
            source="common practice, no source",
            landed="2025-09-01",
            after=False,
            certain=True,
        ),
    )


def test_settings_material_and_printer_are_those_of_the_bad_print(december: Registry) -> None:
    """The load was raised to 210 % after the good print of October; a warning begins at 205 %."""
    earlier = asked(december, good="2025-09-20", printed="2025-10-01T10:00:00+01:00")
    assert earlier.bad.mode is not None
    assert earlier.bad.mode.document["layers"][0]["load_pct"] == 200
    assert earlier.guidance == ()


def test_where_the_settings_are_not_known_guidance_says_nothing(december: Registry) -> None:
    assert asked(december, good="2001-01-01", printed="2001-02-01").guidance == ()


def test_a_refusal_is_the_first_thing_told_and_nothing_is_printed_with_it(
    audited: Path, tmp_path: Path
) -> None:
    folder = ruled(audited, tmp_path / "refused", "refuse", COATED)
    answer = asked(Registry(folder, os.environ))
    assert [(each.rule, each.level) for each in answer.guidance] == [
        ("re-wets", "refuse"),
        ("heavy-ink", "warn"),
    ]
    assert answer.in_short[0] == (
        f"guidance refuses this: {SAYS.removesuffix('.')} (re-wets, landed 2025-12-22, after this print)"
    )
    assert not any("print a short strip" in each for each in answer.advice)
    assert any(each.startswith("print nothing more with it: litstock find --for") for each in answer.advice)
    page = run(folder, "audit", *ASKED, "--display", "harbour-yard/concourse-a").stdout
    head = " ".join(page.partition("From the good print")[0].split())
    assert head.index("In short - guidance refuses this: Such a coating re-wets") < head.index(
        "the mode's settings"
    )
    assert "Guidance warns of these settings - Heavy ink needs more passes and less speed (heavy-ink" in head


def test_what_was_written_before_the_print_is_not_said_to_come_after(audited: Path, tmp_path: Path) -> None:
    answer = asked(
        Registry(ruled(audited, tmp_path / "known", "refuse", COATED), os.environ), printed="2025-12-28"
    )
    assert answer.in_short[0].endswith("(re-wets, landed 2025-12-22)")


def test_json_holds_what_guidance_says(audited: Path, tmp_path: Path) -> None:
    folder = ruled(audited, tmp_path / "json", "refuse", COATED)
    told = json.loads(run(folder, "audit", *ASKED, "--format", "json").stdout)["guidance"]
    assert told[0] == {
        "rule": "re-wets",
        "level": "refuse",
        "text": SAYS,
        "source": "common practice, no source",
        "landed": "2025-12-22",
        "after": True,
        "certain": True,
    }


@pytest.mark.parametrize(("level", "told"), [("refuse", True), ("warn", False)])
def test_a_rule_that_only_may_apply_is_told_where_it_would_refuse(
    audited: Path, tmp_path: Path, level: str, *, told: bool
) -> None:
    unknown = {**COATED, "/substrate/adhesive/type": {"const": "removable"}}
    folder = ruled(audited, tmp_path / "open", level, unknown)
    answer = asked(Registry(folder, os.environ))
    assert ("re-wets" in {each.rule for each in answer.guidance}) is told
    said = "guidance may refuse this: Such a coating re-wets"
    assert answer.in_short[0].startswith(said) is told
    if told:
        assert answer.in_short[0].endswith("after this print; something that it looks at is not on record)")
        assert any("print a short strip" in each for each in answer.advice)  # it may, or may not


def test_a_rule_of_the_place_alone_says_nothing_of_the_mode(audited: Path, tmp_path: Path) -> None:
    place = {"/application/lighting": {"const": "backlit"}}
    answer = asked(Registry(ruled(audited, tmp_path / "place", "refuse", place), os.environ))
    assert [each.rule for each in answer.guidance] == ["heavy-ink"]


@pytest.mark.parametrize(
    ("display", "rules"), [("harbour-yard/concourse-a", ["front-lit-in-a-light-box"]), ("", [])]
)
def test_guidance_on_a_mode_in_its_display_counts(december: Registry, display: str, rules: list[str]) -> None:
    answer = asked(december, unit=OTHER_UNIT, mode=BANNER_MODE, display=display)
    assert [each.rule for each in answer.guidance] == rules
