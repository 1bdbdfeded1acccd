"""What questions read from the shipped schema."""

import copy
from typing import Any

from registry.model.kinds import KINDS, kind_at, path_of, place_at
from registry.model.shape import shape_of
from tests import small

MODE = shape_of("print-mode")


def document() -> dict[str, Any]:
    return {
        "title": "Two colours",
        "substrate": "a/b",
        "layers": [
            {"what": "colour", "load_pct": 100},
            {"what": "white", "load_pct": 80},
            {"what": "colour", "load_pct": 90},
        ],
        "heat": {"cure_c": 98},
        "status": "trial",
        "sources": {"/heat": {"kind": "measured"}},
    }


def test_values_are_found_by_the_path_that_people_type() -> None:
    found = MODE.flatten(document())
    assert found["heat.cure_c"].value == 98
    assert found["heat.cure_c"].setting.unit == "°C"
    assert (found["layers.white.load_pct"].value, found["layers.colour#2.load_pct"].value) == (80, 90)
    assert found["layers.white.load_pct"].label == "load, white"
    assert found["layers.white.load_pct"].setting.group == "layers"
    assert found["sources./heat.kind"].value == "measured"


def test_a_concrete_path_leads_to_its_setting() -> None:
    setting = MODE.setting_at("layers.colour#2.load_pct")
    assert setting is MODE.settings["layers.*.load_pct"]
    assert MODE.setting_at("layers.colour.loud_pct") is None


def test_the_digest_is_of_the_settings_alone() -> None:
    before = MODE.digest(document())
    changed: dict[str, dict[str, Any]] = {
        "status": {"status": "known-good"},
        "title": {"title": "Other name"},
        "cautions": {"cautions": ["Hot."]},
        "sources": {"sources": {}},
        "trials": {"trials": [{"what": "cure"}]},
        "revision": {"revision": 9, "reason": "x", "recorded": {"date": "2026-01-01", "site": "a"}},
    }
    for name, change in changed.items():
        assert MODE.digest(document() | change) == before, name
    hotter = document() | {"heat": {"cure_c": 99}}
    assert MODE.digest(hotter) != before


def test_the_digest_does_not_depend_on_key_order_but_on_the_order_of_layers() -> None:
    turned = dict(reversed(document().items()))
    assert MODE.digest(turned) == MODE.digest(document())
    swapped = copy.deepcopy(document())
    swapped["layers"].reverse()
    assert MODE.digest(swapped) != MODE.digest(document())


def test_a_part_that_may_hold_itself_ends_after_one_level() -> None:
    paths = shape_of("guidance").settings
    assert "when.*.minimum" in paths
    assert all(path.count("not") <= 1 for path in paths)


def test_path_and_identity_are_one() -> None:
    for kind in KINDS.values():
        parts = [f"x{number}" for number in range(kind.path.count("<"))]
        rid = "/".join(parts) or kind.name
        path = path_of(kind.name, rid)
        place = place_at(path)
        assert place is not None
        assert (place.kind, place.id) == (kind.name, rid)


def test_foreign_paths_are_no_records() -> None:
    foreign = (
        "records/readme.json",
        "records/printers/Wide.json",
        "records/printers/a.json/b.json",
        "records/substrates/a/b/modes/c.txt",
        "other/printers/a.json",
        "records/printers/a.json\n",
    )
    assert [kind_at(path) for path in foreign] == [None] * len(foreign)


def test_attachments_have_places_of_their_own() -> None:
    place = place_at(f"records/substrates/{small.FILM}/measurements/solids.txt")
    assert place is not None
    assert (place.kind, place.attachment) == ("measurement", True)
    assert kind_at(f"records/substrates/{small.FILM}/measurements/solids.txt") is None
