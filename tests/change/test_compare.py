"""The comparator of keyed fields, on documents alone."""

import copy
import json
from typing import Any

import pytest

from registry.change.compare import BOOKKEEPING, SettingChange, compare, in_units, matching
from registry.model.shape import Shape, shape_of
from tests.change.documents import PRINTER, edited, mode

MODE = shape_of("print-mode")


def only(before: dict[str, Any], after: dict[str, Any]) -> SettingChange:
    (change,) = compare(MODE, before, after)
    return change


def test_a_document_does_not_differ_from_itself() -> None:
    assert compare(MODE, mode(), mode()) == []


def test_key_order_never_shows() -> None:
    turned = json.loads(json.dumps(dict(reversed(mode().items()))))
    turned["heat"] = dict(reversed(turned["heat"].items()))
    assert compare(MODE, mode(), turned) == []


def test_the_form_of_a_number_never_shows() -> None:
    assert compare(MODE, mode(), edited("heat", cure_c=100.0)) == []


def test_a_number_is_not_the_same_as_a_truth() -> None:
    change = only(mode(mirrored=False), mode(mirrored=0))
    assert (change.before, change.after) == (False, 0)


def test_a_change_says_everything_from_the_schema() -> None:
    change = only(mode(), edited("ink", profile_max_pct=234))
    assert change == SettingChange(
        path="ink.profile_max_pct",
        setting="ink.profile_max_pct",
        name="heaviest ink in the profile",
        label="heaviest ink in the profile",
        group="ink",
        unit="%",
        before=260,
        after=234,
        effect="direct",
        scope="model",
    )
    assert (change.change, change.change_pct, change.is_setting) == (-26, -10, True)


def test_an_absent_value_is_unknown_before_and_after() -> None:
    gained = only(mode(), edited("heat", airflow_pct=60))
    lost = only(edited("heat", airflow_pct=60), mode())
    assert [(each.before, each.after, each.change) for each in (gained, lost)] == [
        (None, 60, None),
        (60, None, None),
    ]


def test_a_temperature_has_no_change_in_percent() -> None:
    change = only(mode(), edited("heat", cure_c=104))
    assert (change.change, change.change_pct) == (4, None)


def test_a_change_from_zero_or_below_has_no_percentage() -> None:
    zero = only(edited("ink", light_inks_pct=0), edited("ink", light_inks_pct=10))
    assert (zero.change, zero.change_pct) == (10, None)


def test_in_us_units_a_difference_of_temperatures_has_no_offset() -> None:
    change = in_units(only(mode(), edited("heat", cure_c=110)), "us")
    assert (change.before, change.after, change.change, change.unit) == (212, 230, 18, "°F")


def test_us_units_convert_the_members_of_a_list() -> None:
    shape = shape_of("substrate")
    (change,) = compare(shape, {"widths_mm": [254, 508]}, {"widths_mm": [254]})
    assert in_units(change, "us").before == [10, 20]
    assert in_units(change, "us").unit == "inch"


def test_floating_point_noise_is_no_change_of_its_own() -> None:
    change = only(edited("motion", pause_s=0.1), edited("motion", pause_s=0.3))
    assert change.change == 0.2


def test_a_list_says_what_was_added_and_removed() -> None:
    change = only(mode(), mode(finishing=["liquid-laminate", "acrylic-face"]))
    assert (change.added, change.removed, change.reordered) == (
        ("liquid-laminate",),
        ("film-laminate",),
        False,
    )


def test_a_member_that_is_there_twice_counts_twice() -> None:
    change = only(mode(finishing=["none"]), mode(finishing=["none", "none"]))
    assert (change.added, change.removed) == (("none",), ())


def test_the_order_of_a_list_of_words_is_a_change_of_order() -> None:
    change = only(mode(), mode(finishing=["acrylic-face", "film-laminate"]))
    assert (change.path, change.reordered) == ("finishing", True)


def test_the_order_of_layers_is_a_setting() -> None:
    change = only(mode(), mode(layers=list(reversed(mode()["layers"]))))
    assert (change.path, change.before, change.after) == ("layers", ["colour", "white"], ["white", "colour"])
    assert (change.label, change.effect, change.reordered) == ("order of layers", "direct", True)


def test_an_added_layer_is_told_as_added_and_moves_no_other() -> None:
    layers = mode()["layers"]
    changes = compare(
        MODE, mode(), mode(layers=[layers[0], {"what": "block-out", "load_pct": 150}, layers[1]])
    )
    assert [(each.path, each.item, each.after) for each in changes] == [
        ("layers.block-out.what", "added", "block-out"),
        ("layers.block-out.load_pct", "added", 150),
    ]
    assert {each.item_name for each in changes} == {"block-out"}


def test_a_value_that_is_new_in_a_layer_of_before_is_no_added_layer() -> None:
    before = mode(layers=[{"what": "colour", "load_pct": 200}])
    change = only(before, mode(layers=[{"what": "colour", "load_pct": 200, "passes": 16}]))
    assert (change.path, change.item) == ("layers.colour.passes", "")


def test_a_second_layer_of_a_kind_is_told_apart() -> None:
    two = mode(layers=[{"what": "colour", "load_pct": 200}, {"what": "colour", "load_pct": 90}])
    more = mode(layers=[{"what": "colour", "load_pct": 200}, {"what": "colour", "load_pct": 95}])
    assert only(two, more).path == "layers.colour#2.load_pct"


def test_changes_stand_in_the_models_order() -> None:
    after = edited("heat", cure_c=104, dry_c=50, airflow_pct=60, web_centre_c=None)
    after |= {
        "ink_set": "set two",
        "layers": [
            {"what": "white", "load_pct": 90, "passes": 4},
            {"what": "colour", "load_pct": 210, "passes": 16},
        ],
        "finishing": ["none"],
    }
    assert [change.path for change in compare(MODE, mode(), after)] == [
        "ink_set",
        "layers",
        "layers.white.load_pct",
        "layers.colour.load_pct",
        "heat.dry_c",
        "heat.cure_c",
        "heat.airflow_pct",
        "heat.web_centre_c",
        "finishing",
    ]


def test_what_is_no_setting_is_told_as_aside() -> None:
    after = mode(status="known-good", trials=[], reason="Stood", revision=4)
    changes = compare(MODE, mode(), after)
    assert all(change.aside and not change.is_setting for change in changes)
    assert {change.path for change in changes} > {"status", "reason", "revision"}


def test_bookkeeping_is_what_every_revision_changes() -> None:
    after = mode(revision=4, reason="Again", recorded={"date": "2025-10-01", "site": "mill-lane"})
    assert {change.path for change in compare(MODE, mode(), after)} <= set(BOOKKEEPING)


def test_computed_values_are_compared_only_with_their_cases_and_say_how() -> None:
    after = mode(layers=[{"what": "colour", "load_pct": 400, "passes": 16}, mode()["layers"][1]])
    cases = [{"mode": each, "printer": PRINTER} for each in (mode(), after)]
    assert [each.path for each in compare(MODE, mode(), after)] == ["layers.colour.load_pct"]
    changes = compare(MODE, mode(), after, case_before=cases[0], case_after=cases[1])
    solid = next(change for change in changes if change.path == "ink.solid_ml_m2")
    assert (solid.group, solid.unit, solid.effect, solid.is_setting) == ("computed", "mL/m²", "direct", False)
    assert solid.how.startswith("drop volume × resolution")
    # 7 pL × 720 × 720 dpi: 5.625 mL/m² at 100 %, so 11.25 at 200 % and 22.5 at 400 %
    assert (solid.before, solid.after) == (11.25, 22.5)


@pytest.mark.parametrize("field", ["heat", "heat.cure_c", "curing set-point", "Heat", "CURING SET-POINT"])
def test_a_field_is_meant_by_its_path_its_beginning_its_label_or_its_group(field: str) -> None:
    assert matching(only(mode(), edited("heat", cure_c=104)), field)


@pytest.mark.parametrize("field", ["hea", "heat.cure", "ink", "cure_c"])
def test_a_field_is_not_meant_by_a_piece_of_a_name(field: str) -> None:
    assert not matching(only(mode(), edited("heat", cure_c=104)), field)


@pytest.mark.parametrize("field", ["layers", "layers.colour", "layers.*.load_pct", "load", "load, colour"])
def test_a_setting_in_a_list_is_meant_with_and_without_its_item(field: str) -> None:
    after = mode(layers=[{"what": "colour", "load_pct": 210, "passes": 16}, mode()["layers"][1]])
    assert matching(only(mode(), after), field)


def test_a_setting_that_only_the_schema_knows_is_compared_with_no_other_change() -> None:
    schema = copy.deepcopy(MODE.schema)
    group = schema["$defs"]["Heat"]["properties"]
    group["test_only_c"] = {"type": "number", "title": "test only", "x-unit": "°C", "x-effect": "direct"}
    (change,) = compare(Shape(schema), mode(), edited("heat", test_only_c=42))
    assert (change.label, change.unit, change.effect, change.group) == ("test only", "°C", "direct", "heat")


def test_documents_that_no_schema_allows_are_compared_all_the_same() -> None:
    words = only(mode(), mode(finishing="none"))
    assert (words.before, words.after, words.reordered) == (["film-laminate", "acrylic-face"], "none", False)
    assert only(mode(finishing="none"), mode(finishing=["none"])).after == ["none"]
    named = {"colour": {"load_pct": 200}, "white": {"load_pct": 100}}
    paths = {change.path for change in compare(MODE, mode(layers=named), mode())}
    assert paths == {f"layers.{name}.{part}" for name in named for part in ("what", "passes")}
