"""A complaint's readings say whether the unprinted white moved with the inks, and so where to look first."""

import os
import shutil
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from registry.audit.answer import AuditAnswer, Shift
from registry.audit.audit import audit
from registry.audit.readings import de00, shift
from registry.audit.request import of_complaint
from registry.audit.usual import EVENT_EFFECT, WHITE
from registry.model.shape import shape_of
from registry.question.registry import Registry
from tests.audit.asking import every
from tests.audit.story import COMPLAINT, Continued
from tests.audit.test_usual import KIND
from tests.goldens import run

LIT, BY_HAND = "lit, against the white of box B", "by hand, by reflection"
BLUER, SAME, WARMER = [98.7, -1.2, -6.6], [100, 0.1, -0.3], [99, 0.5, 5]
WHITE_EXPECTED, CYAN_EXPECTED, GREY_EXPECTED = [100, 0, 0], [69.2, -47.8, -44.8], [67.6, 0.1, 0.2]


def read(
    patch: str, found: Sequence[float], expected: Sequence[float] | None, how: str = LIT
) -> dict[str, Any]:
    known = {"patch": patch, "found_lab": list(found), "how": how}
    return known if expected is None else {**known, "expected_lab": list(expected)}


def readings(white: list[float], *, named: str = "lit white", how: str = LIT) -> list[dict[str, Any]]:
    """Return two printed patches, both much bluer than expected, and a white."""
    return [
        read(named, white, WHITE_EXPECTED, how),
        read("cyan solid", [67.8, -46.1, -51], CYAN_EXPECTED),
        read("neutral, black 50 %", [66.8, -1.5, -5.9], GREY_EXPECTED),
    ]


@pytest.mark.parametrize(("white", "moved"), [(BLUER, "white"), (WARMER, "white"), (SAME, "inks")])
@pytest.mark.parametrize("named", ["lit white", "White", "unprinted film", "bare film", "paper"])
def test_the_white_moved_or_stayed(white: list[float], moved: str, named: str) -> None:
    found = shift("cast", readings(white, named=named))
    assert found is not None
    assert (found.moved, found.patches) == (moved, (named,))
    assert found.white_de00 == de00(read(named, white, WHITE_EXPECTED))
    assert found.inks_de00 == pytest.approx((2.6 + 5.8) / 2, abs=0.1)


def test_the_white_counts_as_moved_from_half_of_what_the_inks_moved() -> None:
    """Along L* at one lightness ΔE00 is proportional to the difference, nearly: 4 is twice 2."""
    inks = read("black 50 %", [46, 0, 0], [50, 0, 0])
    whole = de00(inks)
    assert whole is not None
    for lightness, moved in ((47.8, "white"), (48.2, "inks")):
        white = read("unprinted", [lightness, 0, 0], [50, 0, 0])
        share = (de00(white) or 0) / whole
        assert (share >= 0.5) is (moved == "white")
        found = shift("cast", [white, inks])
        assert found is not None
        assert found.moved == moved


@pytest.mark.parametrize(
    ("white", "inks", "moved"),
    [
        ([0, 0, 0.9], [0, 0, 1.1], None),  # the white moved with the inks, but not so that it could be seen
        ([0, 0, 1.3], [0, 0, 1.5], "white"),
        ([0, 0, 0.1], [0, 0, 0.9], None),  # the inks moved alone, but not so that it could be seen
        ([0, 0, 0.1], [0, 0, 1.5], "inks"),
    ],
)
def test_a_shift_that_nobody_sees_is_none(white: list[float], inks: list[float], moved: str | None) -> None:
    """Greys of lightness 50, where a difference in b* alone is nearly ΔE00 itself."""
    grey = np.array([50.0, 0, 0])
    asked = [
        read("unprinted", (grey + white).tolist(), grey.tolist()),
        read("black 50 %", (grey + inks).tolist(), grey.tolist()),
    ]
    found = shift("cast", asked)
    assert (found.moved if found else None) == moved


@pytest.mark.parametrize(
    "unfit",
    [
        (),
        readings(BLUER)[1:],  # no white
        readings(BLUER)[:1],  # nothing printed
        [read("lit white", BLUER, None), *readings(BLUER)[1:]],  # not known what was expected
        readings(BLUER, how=BY_HAND),  # the white read otherwise than the inks
        readings(BLUER, named="white ink, solid"),
        readings(BLUER, named="off-white"),
        readings(BLUER, named="white 50 %"),
        [
            read("white", [100, 0, 0.4], WHITE_EXPECTED),
            read("cyan", [69.2, -47.8, -44], CYAN_EXPECTED),
        ],  # unseen
    ],
    ids=repr,
)
def test_readings_that_do_not_tell_say_nothing(unfit: list[dict[str, Any]]) -> None:
    assert shift("cast", unfit) is None


def test_readings_say_nothing_of_a_defect_that_is_not_one_of_colour() -> None:
    assert shift("banding", readings(BLUER)) is None
    assert shift("too-dark", readings(BLUER)) is not None


@pytest.mark.parametrize("entry", [entry for step in WHITE for entry in step])
def test_what_acts_on_the_white_names_a_setting_or_a_kind_of_event(entry: str) -> None:
    place, _, what = entry.partition("/")
    if place == "event":
        assert what in EVENT_EFFECT
    else:
        what = "layers" if what.startswith("layers.") else what  # of one layer by its name
        assert any(path == what or path.startswith(f"{what}.") for path in shape_of(KIND[place]).settings), (
            entry
        )


def asked(registry: Registry, white: list[float] | None, defect: str = "cast") -> AuditAnswer:
    """Return the audit of the small registry's complaint as if it had these readings."""
    request = of_complaint(registry, COMPLAINT)
    given = tuple(readings(white)) if white else ()
    return audit(registry, replace(request, defect=defect, readings=given))


def ordered(answer: AuditAnswer) -> list[tuple[str, bool | None]]:
    return [(clue.label, clue.fits) for clue in answer.clues if clue.likely]


def test_where_the_white_moved_lamps_panel_and_film_come_first(december: Registry) -> None:
    answer = asked(december, BLUER)
    assert ordered(answer) == [
        *(("all lamps replaced", True), ("dimming", True), ("roll lot", True)),
        *(("luminous transmittance", True), ("nozzle loss", False)),
        *(("profile's SHA-256", False), ("instrument recalibrated", False)),
    ]
    assert answer.in_short[2:6] == (
        (
            "the unprinted white moved with the inks (ΔE00 6.0, the printed patches 4.2 on average), and ink "
            "and settings do not act on it: look at lamps, panel and film first; read from the readings, not "
            "proved"
        ),
        (
            "the readings are off by ΔE00 4.8 on average; all lamps replaced can explain 67 % of it, the "
            "rest is unexplained"
        ),
        "the likely cause is all lamps replaced: it explains 67 % of what was read",
        "then look at: dimming; roll lot; luminous transmittance; nozzle loss",
    )


def test_where_the_white_moved_a_bare_piece_tells_the_film_from_lamps_and_panel(december: Registry) -> None:
    told = [
        any("an unprinted piece of an earlier roll" in line for line in asked(december, white, defect).advice)
        for white, defect in ((BLUER, "cast"), (SAME, "cast"), (None, "cast"), (BLUER, "banding"))
    ]
    assert told == [True, False, False, False]


def test_where_the_white_stayed_ink_settings_and_profile_come_first(december: Registry) -> None:
    answer = asked(december, SAME)
    assert ordered(answer) == [
        *(("nozzle loss", True), ("profile's SHA-256", True), ("instrument recalibrated", True)),
        *(("roll lot", False), ("luminous transmittance", False)),
        *(("all lamps replaced", False), ("dimming", False)),
    ]
    assert answer.in_short[2].startswith("the unprinted white stayed where the inks moved (ΔE00 0.")
    assert "look at ink, settings, profile and the job's own colour choices first" in answer.in_short[2]
    assert answer.in_short[4:6] == (
        "look first at: nozzle loss, but not surely: what it does cannot be computed",
        (
            "then at: roll lot; luminous transmittance; all lamps replaced; dimming; the other likely ones "
            "ran in a job since that nobody complained of"
        ),
    )


def test_without_readings_of_the_white_nothing_is_said_of_it(december: Registry) -> None:
    request = replace(of_complaint(december, COMPLAINT), defect="cast")
    without = audit(december, request)
    inks = audit(december, replace(request, readings=tuple(readings(BLUER)[1:])))
    assert (without.shift, inks.shift) == (None, None)
    assert [clue.label for clue in inks.clues if not clue.acts] == [
        clue.label for clue in without.clues if not clue.acts
    ]
    assert {clue.fits for clue in every(without)} == {None}
    assert inks.in_short[:2] == without.in_short[:2]
    assert not any("unprinted white" in line for line in (*inks.in_short, *without.in_short))


def test_what_stands_beside_a_clue_fits_as_it_does(december: Registry) -> None:
    for clue in asked(december, BLUER).clues:
        assert {each.fits for each in clue.every} == {clue.fits}


def test_that_nothing_on_record_fits_the_readings_is_said(december: Registry) -> None:
    request = of_complaint(december, COMPLAINT, good="2025-12-09T12:00")
    request = replace(
        request, defect="cast", display="", received="2025-12-10", readings=tuple(readings(BLUER))
    )
    answer = audit(december, replace(request, printed=request.good + 60, job=""))
    assert not any(clue.fits for clue in answer.clues)
    (said,) = (line for line in answer.in_short if "unprinted white" in line)
    assert "; no change of these is on record, so ask for one" in said


@pytest.fixture(scope="module")
def read_registry(audited: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small registry whose complaint of a cast has readings of the white."""
    folder = tmp_path_factory.mktemp("read") / "registry"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        path = "records/sites/harbour-yard/complaints/reddish-concourse.json"
        teller.revise("2025-12-22", "harbour-yard", path, {"readings": readings(WARMER)}, "Read the print")
        teller.series.finish()
    return folder


def test_the_page_says_the_criterion_and_the_difference_of_each_patch(read_registry: Path) -> None:
    page = " ".join(run(read_registry, "audit", "reddish-concourse").stdout.split())
    found = shift("cast", readings(WARMER))
    assert isinstance(found, Shift)
    assert found.criterion in page
    assert "at least half of the mean of the printed patches" in found.criterion
    assert "not proof" in found.criterion
    for each in readings(WARMER):
        assert f" {de00(each):.1f} " in page.partition("Read on the refused print")[2]


def test_the_parts_of_what_differs_say_whether_the_readings_point_to_it(read_registry: Path) -> None:
    registry = Registry(read_registry, os.environ)
    answer = audit(registry, of_complaint(registry, "reddish-concourse"))
    page = run(read_registry, "audit", "reddish-concourse").stdout.partition("What differs")[2]
    assert {clue.fits for clue in answer.clues if clue.likely} == {True, False}
    pointed, elsewhere = "and the readings point to it", "but the readings point elsewhere"
    first, second = (page.index(f"Likely with this defect (cast), {words}") for words in (pointed, elsewhere))
    assert first < page.index("roll lot: L-17 → L-19") < second < page.index("head replaced: Magenta")
