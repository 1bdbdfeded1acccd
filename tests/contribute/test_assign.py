"""Settings assigned, added and taken out by path, as people type them."""

from typing import Any

import pytest

from registry.contribute.assign import added, assigned
from registry.errors import RequestError
from registry.model.shape import shape_of
from tests import small
from tests.contribute.conftest import Files

MODE_PATH = small.mode_path(small.MODE)


MODE = shape_of("print-mode")


def test_settings_are_assigned_by_path(tree: Files) -> None:
    before = tree.document(MODE_PATH)
    after = assigned(
        MODE,
        before,
        {
            "layers.colour.load_pct": "190.5",
            "mirrored": "yes",
            "web.take_up": "face-in",
            "finishing": "film-laminate, acrylic-face",
        },
        ["heat.dry_c"],
    )
    assert after["layers"][0]["load_pct"] == 190.5
    assert after["mirrored"] is True
    assert after["web"] == {"take_up": "face-in"}
    assert after["finishing"] == ["film-laminate", "acrylic-face"]
    assert "dry_c" not in after["heat"]
    assert before == tree.document(MODE_PATH)


def test_taking_out_what_is_not_there_leaves_no_empty_group_behind() -> None:
    assert assigned(MODE, {"title": "x"}, {}, ["heat.dry_c", "colour.profile.file"]) == {"title": "x"}


@pytest.mark.parametrize(
    ("assignment", "words"),
    [
        ({"heat.cure": "98"}, "has no setting 'heat.cure'; did you mean heat.cure_c"),
        ({"heat.cure_c": "hot"}, "heat.cure_c is a number in °C, not 'hot'"),
        ({"heat.cure_c": "nan"}, "heat.cure_c is a number in °C, not 'nan'"),
        ({"mirrored": "maybe"}, "mirrored is yes or no, not 'maybe'"),
        ({"layers.white.load_pct": "100"}, "add one first with --add layers:what=white,…"),
        ({"heat": "100"}, "a print-mode has no setting 'heat' of its own: it holds heat.dry_c, heat.cure_c"),
        ({"trials": "none"}, "it holds trials.NAME.what, trials.NAME.standard"),
    ],
)
def test_a_wrong_assignment_says_what_is_allowed(tree: Files, assignment: dict[str, str], words: str) -> None:
    with pytest.raises(RequestError) as refused:
        assigned(MODE, tree.document(MODE_PATH), assignment)
    assert words in str(refused.value)


def test_of_a_group_of_few_settings_all_are_named(tree: Files) -> None:
    with pytest.raises(RequestError) as refused:
        assigned(MODE, tree.document(MODE_PATH), {"web": "tight"})
    assert str(refused.value).endswith("it holds web.vacuum_pct, web.tension_n, web.take_up")
    with pytest.raises(RequestError) as refused:
        assigned(MODE, tree.document(MODE_PATH), {"heat": "hot"})
    assert str(refused.value).endswith(", …")


def test_an_item_is_added_to_a_list(tree: Files) -> None:
    after = added(
        MODE, tree.document(MODE_PATH), "trials:what=cure,date=2025-12-01,site=mill-lane,passed=yes"
    )
    assert after["trials"][-1] == {"what": "cure", "date": "2025-12-01", "site": "mill-lane", "passed": True}
    with pytest.raises(RequestError, match="write LIST:NAME=VALUE,… or LIST:TEXT with one of layers"):
        added(MODE, {}, "colours:what=red")


def test_a_text_in_an_item_may_hold_commas(tree: Files) -> None:
    text = "trials:what=cure,date=2025-12-01, site=mill-lane,passed=yes,result=dry, no smear, x=1"
    assert added(MODE, tree.document(MODE_PATH), text)["trials"][-1]["result"] == "dry, no smear, x=1"


def test_a_sentence_is_one_entry_of_its_list_whatever_its_commas() -> None:
    noted = assigned(MODE, {}, {"notes": "Matte face up, to the heads", "finishing": "none, film-laminate"})
    assert noted == {"notes": ["Matte face up, to the heads"], "finishing": ["none", "film-laminate"]}
    assert added(MODE, noted, "notes:Dry, then wind")["notes"][-1] == "Dry, then wind"
    assert added(MODE, noted, "finishing:acrylic-face")["finishing"][-1] == "acrylic-face"


def test_a_list_of_numbers_is_numbers() -> None:
    film = assigned(shape_of("substrate"), {}, {"widths_mm": "1067, 1524.5"})
    assert film == {"widths_mm": [1067, 1524.5]}
    assert assigned(shape_of("printer"), {}, {"passes": "8,16"}) == {"passes": [8, 16]}


@pytest.mark.parametrize("kind", ["substrate", "print-mode", "printer", "application", "display"])
def test_a_caution_is_never_cut_at_its_commas(kind: str) -> None:
    words = "Isolate the box, prove it dead, then open it"
    assert assigned(shape_of(kind), {}, {"cautions": words}) == {"cautions": [words]}


def test_a_source_is_entered_under_the_pointer_of_its_value() -> None:
    given = {"sources./heat.kind": "measured", "sources./heat.date": "2025-12-01", "sources..kind": "copied"}
    assert assigned(MODE, {}, given) == {
        "sources": {"/heat": {"kind": "measured", "date": "2025-12-01"}, "": {"kind": "copied"}}
    }


HEAT, LAYERS = {"cure_c": 9}, [{"what": "colour"}, {"what": "white"}]
SOURCES = {"/heat": {"kind": "copied"}}


@pytest.mark.parametrize(
    ("path", "left"),
    [
        ("heat", {"layers": LAYERS, "sources": SOURCES}),
        ("layers.colour", {"heat": HEAT, "layers": [{"what": "white"}], "sources": SOURCES}),
        ("sources./heat", {"heat": HEAT, "layers": LAYERS, "sources": {}}),
        ("sources", {"heat": HEAT, "layers": LAYERS}),
        ("heat.cure_c", {"heat": {}, "layers": LAYERS, "sources": SOURCES}),
        ("web.vacuum_pct", {"heat": HEAT, "layers": LAYERS, "sources": SOURCES}),
    ],
)
def test_a_group_or_one_entry_may_be_taken_out_whole(path: str, left: dict[str, Any]) -> None:
    assert assigned(MODE, {"heat": HEAT, "layers": LAYERS, "sources": SOURCES}, {}, [path]) == left


@pytest.mark.parametrize("path", ["revision", "reason", "recorded.date", "$schema"])
def test_what_litstock_fills_in_is_not_set_by_hand(path: str) -> None:
    with pytest.raises(RequestError, match="is not for you to set"):
        assigned(MODE, {}, {path: "1"})
    with pytest.raises(RequestError, match="is not for you to set"):
        assigned(MODE, {}, {}, [path])
