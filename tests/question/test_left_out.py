"""What a merge left out of a record, told apart from what its own branch replaced before it landed."""

import json
from typing import Any

import pytest

from registry.index.left_out import left_out, lost
from registry.model.shape import shape_of
from registry.question.inforce import in_force
from registry.question.revisions import came_words, known
from tests import small
from tests.goldens import run
from tests.index.branch import Branch
from tests.index.drawn import as_file, whole

WIDE = "records/printers/wide.json"
MODE = small.mode_path(small.MODE)
BASE = small._START[MODE]  # noqa: SLF001


def printer(number: int, width: int) -> dict[str, Any]:
    return {"title": "Wide", "max_width_mm": width, "revision": number, "reason": f"{width} measured"}


def came(branch: Branch, path: str = WIDE) -> list[tuple[str, str]]:
    """Each revision that is known: what it is called, and what became of it."""
    registry = branch.registry()
    return [(each.label, came_words(registry, each)) for each in known(registry.model, path)]


def became(branch: Branch, path: str = WIDE) -> list[str]:
    """What became of each revision, in a word."""
    return [
        "landed" if "landed on" in words[:10] else "merged away" if "merged away" in words else "replaced"
        for _, words in came(branch, path)
    ]


@pytest.fixture
def wide(branch: Branch) -> Branch:
    branch.land({WIDE: printer(1, 1600)})
    return branch


def test_what_its_own_branch_replaced_before_it_landed_was_not_merged_away(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(3, 1710)}, merging=[side])
    assert came(wide) == [
        ("r1", "landed on 2026-01-02"),
        (
            "r2",
            "written on 2026-01-03 by Mill Lane and replaced before it landed, by what landed on 2026-01-05",
        ),
        ("r3", "landed on 2026-01-05"),
    ]
    steps = json.loads(run(wide.folder, "history", "wide", "--format", "json").stdout)["revisions"]
    assert [(each["merged_away"], each["replaced"]) for each in steps] == [
        (False, False), (False, True), (False, False),
    ]  # fmt: skip
    assert "r2  replaced before it landed\n" in run(wide.folder, "history", "wide").stdout


def test_what_a_merge_left_out_was_merged_away(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({}, merging=[side])
    words = "written on {} by Mill Lane, came in with the landing of 2026-01-06 and was merged away"
    assert came(wide) == [
        ("r1", "landed on 2026-01-02"),
        ("r2", "landed on 2026-01-05"),
        ("r2", words.format("2026-01-03")),
        ("r3", words.format("2026-01-04")),
    ]
    steps = json.loads(run(wide.folder, "history", "wide", "--format", "json").stdout)["revisions"]
    assert [(each["merged_away"], each["replaced"]) for each in steps[2:]] == [(True, False)] * 2
    assert "r3  merged away\n" in run(wide.folder, "history", "wide").stdout


def test_a_merge_that_settles_two_revisions_under_a_higher_number_leaves_none_out(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: printer(3, 1650)}, merging=[side])
    assert became(wide) == ["landed", "landed", "replaced", "landed"]
    assert lost(wide.model(), WIDE) == set()


def test_a_merge_that_mixes_two_revisions_under_their_own_number_leaves_both_out(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: printer(2, 1650)}, merging=[side])
    assert became(wide) == ["landed", "landed", "merged away", "landed"]
    assert {number for number, _ in lost(wide.model(), WIDE)} == {4}


def test_a_branch_that_settled_with_what_had_landed_leaves_nothing_out_when_it_lands(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)})
    tip = wide.land({WIDE: printer(2, 1620)})
    settled = wide.land({WIDE: printer(3, 1650)}, onto=side, merging=[tip])
    wide.git("reset", "--quiet", "--hard", tip)
    wide.land({WIDE: printer(3, 1650)}, merging=[settled])
    assert became(wide) == ["landed", "landed", "replaced", "landed"]
    assert lost(wide.model(), WIDE) == set()


def test_a_branch_that_took_a_record_away_and_brought_it_back_left_nothing_out(wide: Branch) -> None:
    path = "records/printers/narrow.json"
    side = wide.beside({path: printer(1, 900)}, {path: None}, {path: printer(1, 910)})
    wide.land({path: printer(1, 910)}, merging=[side])
    assert became(wide, path) == ["replaced", "replaced", "landed"]


def test_where_a_clone_is_cut_off_nothing_is_said_to_be_left_out(wide: Branch, tmp_path: Any) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: printer(3, 1710)}, merging=[side])
    assert lost(wide.model(), WIDE) == {(4, wide.git("rev-parse", f"HEAD^:{WIDE}"))}
    wide.git("clone", "-q", "--depth", "2", wide.folder.as_uri(), str(tmp_path / "cut"))
    cut = Branch(tmp_path / "cut")
    assert lost(cut.model(), WIDE) == set()


def test_what_a_merge_left_out_above_the_cut_is_told_in_a_cut_clone_too(wide: Branch, tmp_path: Any) -> None:
    for width in range(1601, 1605):
        wide.land({WIDE: printer(width - 1599, width)})
    side = wide.beside({WIDE: printer(6, 1700)}, {WIDE: printer(7, 1710)})
    wide.land({WIDE: printer(6, 1620)})
    wide.land({WIDE: printer(7, 1710)}, merging=[side])
    wide.git("clone", "-q", "--depth", "4", wide.folder.as_uri(), str(tmp_path / "cut"))
    cut = Branch(tmp_path / "cut")
    assert [blob for _, blob in lost(cut.model(), WIDE)] == [wide.git("rev-parse", f"HEAD^:{WIDE}")]


def mode(number: int) -> dict[str, Any]:
    start = small._START[MODE]  # noqa: SLF001
    return start | {"revision": number, "status": "trial", "heat": {"cure_c": 90 + number}}


def ran(number: int, day: str) -> dict[str, dict[str, Any]]:
    digest = shape_of("print-mode").digest(whole(MODE, mode(number)))
    proof = {"title": "Ran", "unit": "quay/one", "mode": small.MODE, "mode_revision": number}
    at = {"settings_digest": digest, "printed": f"{day}T12:00:00+01:00"}
    return {f"records/sites/quay/runs/{day}-a.json": proof | at}


@pytest.fixture(params=[3, 1])
def merged(branch: Branch, request: pytest.FixtureRequest) -> tuple[Branch, bool]:
    """A mode of which a branch wrote r2 and then r3; r3 landed, or a merge left both out."""
    unit = {"title": "One", "printer": "broadreach-64"}
    sites = {"records/sites/quay/site.json": {"title": "Quay"}, "records/sites/quay/units/one.json": unit}
    branch.land(small._START | {MODE: mode(1), **sites})  # noqa: SLF001
    side = branch.beside({MODE: mode(2)}, {MODE: mode(3)})
    branch.land({MODE: mode(request.param)}, merging=[side])
    return branch, request.param == 1


def test_a_run_of_what_did_not_land_so_says_which_it_was(merged: tuple[Branch, bool]) -> None:
    branch, left_out = merged
    branch.land(ran(1, "2026-01-03") | ran(2, "2026-01-04"))
    registry = branch.registry()
    found = in_force(registry, registry.model.named(small.MODE)[0], "quay/one", float("inf"))
    assert found.mismatch == "r2 was written on 2026-01-03 by Mill Lane" + (
        ", came in with the landing of 2026-01-05 and was merged away"
        if left_out
        else " and replaced before it landed, by what landed on 2026-01-05"
    )
    asked = ("--unit", "quay/one", "--mode", small.MODE, "--printed", "2026-01-04", "--good", "2026-01-03")
    told = run(branch.folder, "audit", *asked)
    assert told.exit_code == 1, told.stderr
    assert "curing set-point: 91 °C → 92 °C" in told.stdout


def test_a_card_of_what_did_not_land_so_says_which_it_was(merged: tuple[Branch, bool]) -> None:
    branch, left_out = merged
    digest = shape_of("print-mode").digest(whole(MODE, mode(2)))
    told = run(branch.folder, "card", "--verify", f"litstock:{small.MODE}@r2#{digest}")
    assert told.exit_code == 1, told.stderr
    words = "which a merge has left out" if left_out else "which was replaced before it landed"
    assert words in " ".join(told.stdout.split())


def heard(branch: Branch) -> str:
    """What who asks anything hears."""
    return run(branch.folder, "find").stderr


def test_every_reader_hears_once_what_a_merge_left_out_until_the_record_is_revised(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(2, 1620)})
    assert heard(wide) == ""
    wide.land({}, merging=[side])
    told = "beware: the merge of 2026-01-06 left out what one side had of 1 record: litstock check shows it\n"
    for asked in (("find",), ("history", "wide"), ("show", "wide"), ("diff", "wide")):
        assert run(wide.folder, *asked).stderr == told, asked
    wide.land({WIDE: printer(2, 1630)})
    assert heard(wide) == told  # nobody can have meant to settle anything by that
    wide.land({WIDE: printer(3, 1640)})
    assert heard(wide) == ""


def test_a_merge_that_took_one_sides_file_is_told_though_its_number_is_higher(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: printer(3, 1710)}, merging=[side])
    assert "left out what one side had of 1 record" in heard(wide)
    wide.land({WIDE: printer(3, 1720)})
    assert "left out what one side had of 1 record" in heard(wide)
    wide.land({WIDE: printer(4, 1720)})
    assert heard(wide) == ""


def test_several_merges_and_records_are_counted_in_one_line(wide: Branch) -> None:
    narrow = "records/printers/narrow.json"
    wide.land({narrow: printer(1, 900)})
    for number in (2, 3):
        side = wide.beside({WIDE: printer(number, 1700 + number)}, {narrow: printer(number, 900 + number)})
        wide.land({WIDE: printer(number, 1600 + number)})
        wide.land({}, merging=[side])
        wide.land({WIDE: printer(number + 1, 1650)})
    assert heard(wide) == (
        "beware: 2 merges, the last of 2026-01-12, left out what one side had of 1 record: "
        "litstock check shows it\n"
    )
    side = wide.beside({WIDE: printer(9, 1709)})
    wide.land({}, merging=[side])
    assert "beware: 3 merges, the last of 2026-01-15, left out what one side had of 2 records: " in heard(
        wide
    )


def test_an_event_that_a_merge_left_out_is_told_until_it_is_there_again(wide: Branch) -> None:
    path = "records/sites/quay/events/2026-01-03-cleaned.json"
    event = {"title": "Cleaned", "kind": "cleaned", "at": "2026-01-03T12:00:00+01:00", "what": "the head"}
    side = wide.beside({path: event})
    wide.land({}, merging=[side])
    assert "left out what one side had of 1 record" in heard(wide)
    ((_, _, _, remedy),) = found(wide)
    assert remedy.endswith(
        "shows what is lost: put that file back as it is, under another name where its own is taken"
    )
    wide.land({path: event | {"what": "the head, twice"}})
    assert heard(wide) == ""


def test_an_event_whose_name_another_has_is_told_until_it_is_there_under_another_name(wide: Branch) -> None:
    path = "records/sites/quay/events/2026-01-03-cleaned.json"
    event = {"title": "Cleaned", "kind": "cleaned", "at": "2026-01-03T12:00:00+01:00", "what": "the head"}
    side = wide.beside({path: event})
    wide.land({path: event | {"what": "the belt"}})
    wide.land({}, merging=[side])
    wide.land({WIDE: printer(2, 1610)})
    assert "left out what one side had of 1 record" in heard(wide)
    wide.land({path.replace("cleaned", "cleaned-too"): event})
    assert heard(wide) == ""


def test_a_record_that_a_merge_took_away_is_told_until_it_is_entered_again(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700), "records/printers/narrow.json": printer(1, 900)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: None}, merging=[side])
    assert "left out what one side had of 2 records" in heard(wide)
    wide.land({WIDE: printer(1, 1600), "records/printers/narrow.json": printer(1, 910)})
    assert heard(wide) == ""


def test_what_was_brought_back_as_it_was_is_not_told(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)})
    wide.land({}, merging=[side])
    assert heard(wide)
    wide.land({WIDE: printer(2, 1700)})
    assert heard(wide) == ""


def test_a_clock_that_nobody_can_read_keeps_no_reader_from_hearing(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)})
    wide.land({}, merging=[side])
    wide.land({"records/registry.json": b"{"})
    assert "the merge of 2026-01-04 left out what one side had of 1 record" in heard(wide)


def found(branch: Branch, *paths: str) -> list[tuple[str, str, str, str]]:
    told = json.loads(run(branch.folder, "check", *paths, "--format", "json").stdout)["findings"]
    codes = ("left-out", "revision-repeated", "rewritten")
    return [
        (each["code"], each["path"], each["message"], each["remedy"])
        for each in told
        if each["code"] in codes
    ]


MEND = "shows what is lost: bring back what still holds with litstock revise, which settles it"


def test_the_check_shows_what_readers_are_warned_of_and_how_to_see_it(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({}, merging=[side])
    ((code, path, message, remedy),) = found(wide)
    assert (code, path) == ("left-out", WIDE)
    assert message == "the merge of 2026-01-06 left out r3, written on 2026-01-04 by Mill Lane: 1710 measured"
    assert remedy.endswith(f"wide {MEND}")
    compared = run(wide.folder, *remedy.partition(" shows")[0].split()[1:])
    assert "1710 mm" in compared.stdout
    assert found(wide, WIDE) == found(wide)
    assert found(wide, "records/registry.json") == []


def test_what_had_landed_and_a_merge_left_out_is_shown_too(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)}, {WIDE: printer(3, 1710)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: printer(3, 1710)}, merging=[side])
    ((code, _, message, _),) = found(wide)
    assert code == "left-out"
    assert message == "the merge of 2026-01-06 left out r2, landed on 2026-01-05: 1620 measured"
    draft = wide.folder / WIDE
    draft.write_bytes(as_file(whole(WIDE, printer(4, 1715))))
    assert found(wide) == []  # settled, as soon as it lands


def test_a_loss_that_another_rule_tells_is_told_once(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1700)})
    wide.land({WIDE: printer(2, 1620)})
    wide.land({WIDE: printer(2, 1700)}, merging=[side])
    assert [code for code, *_ in found(wide)] == ["revision-repeated"]
    assert "left out what one side had of 1 record" in heard(wide)


def test_a_record_that_is_there_no_more_is_shown_by_its_file(wide: Branch) -> None:
    path = "records/printers/narrow.json"
    side = wide.beside({path: printer(1, 900)})
    wide.land({}, merging=[side])
    ((code, at, _, remedy),) = found(wide)
    assert (code, at) == ("left-out", path)
    shown = wide.git(*remedy.partition(" shows")[0].split()[1:])
    assert '"max_width_mm": 900' in shown


def test_settings_that_another_revision_has_too_are_shown_by_their_file(wide: Branch) -> None:
    side = wide.beside({WIDE: printer(2, 1600) | {"reason": "Looked again"}})
    wide.land({}, merging=[side])
    ((_, _, _, remedy),) = found(wide)
    assert remedy.startswith("git show ")


def test_a_file_that_is_no_record_or_cannot_be_read_is_no_loss_of_one(wide: Branch) -> None:
    side = wide.beside({WIDE: b"{", "records/notes.txt": b"words"}, {"records/printers/narrow.json": b"[]"})
    wide.land({}, merging=[side])
    assert lost(wide.model(), WIDE)
    assert heard(wide) == ""


@pytest.mark.parametrize(("kept", "told"), [({"cure_c": 97}, []), ({"cure_c": 90}, [MODE])])
def test_a_merge_that_puts_one_sides_revision_under_todays_names_leaves_nothing_out(
    branch: Branch, kept: dict[str, Any], told: list[str]
) -> None:
    def mode(number: int, coat: str, heat: dict[str, Any]) -> dict[str, Any]:
        return {MODE: BASE | {"revision": number, "reason": f"r{number}", "ink": {coat: 10}, "heat": heat}}

    branch.land(mode(1, "overcoat_pct", {"cure_c": 90}))
    side = branch.beside(mode(2, "overcoat_pct", {"cure_c": 97}))
    branch.land(mode(1, "clear_coat_pct", {"cure_c": 90}))  # migrated meanwhile
    branch.land(mode(2, "clear_coat_pct", kept), merging=[side])
    assert [each.path for each in left_out(branch.model())] == told
