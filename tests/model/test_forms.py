"""Settings that got another name: one document under either name, and one digest."""

import copy
from typing import Any

import pytest

from registry import canonical
from registry.model import forms as module
from registry.model.forms import first, lifted, now_called
from registry.model.kinds import KINDS
from registry.model.schemas import schema_for
from registry.model.shape import shape_of
from registry.model.sound import is_sound
from registry.model.versions import NEWEST, VERSIONS

BEFORE: dict[str, dict[str, Any]] = {
    "print-mode": {
        "ink": {"overcoat_pct": 12, "light_inks_pct": 30},
        "sources": {"/ink/overcoat_pct": {"kind": "copied"}, "": {"kind": "unknown"}},
    },
    "guidance": {"when": {"/mode/ink/overcoat_pct": {"minimum": 5}, "/substrate/coating": {"const": "none"}}},
    "application": {
        "demands": [
            {"of": "mode", "setting": "ink.overcoat_pct", "at_least": 5},
            {"of": "substrate", "setting": "ink.overcoat_pct", "at_least": 5},
            {"of": "mode", "setting": "print.scratch", "grade": "fair"},
        ]
    },
    "display": {"demands": [{"of": "mode", "setting": "ink.overcoat_pct", "at_least": 5}]},
}
AFTER: dict[str, dict[str, Any]] = {
    "print-mode": {
        "ink": {"clear_coat_pct": 12, "light_inks_pct": 30},
        "sources": {"/ink/clear_coat_pct": {"kind": "copied"}, "": {"kind": "unknown"}},
    },
    "guidance": {
        "when": {"/mode/ink/clear_coat_pct": {"minimum": 5}, "/substrate/coating": {"const": "none"}}
    },
    "application": {
        "demands": [
            {"of": "mode", "setting": "ink.clear_coat_pct", "at_least": 5},
            {"of": "substrate", "setting": "ink.overcoat_pct", "at_least": 5},  # no setting of a film
            {"of": "mode", "setting": "print.scratch", "grade": "fair"},
        ]
    },
    "display": {"demands": [{"of": "mode", "setting": "ink.clear_coat_pct", "at_least": 5}]},
}


@pytest.mark.parametrize("kind", BEFORE)
def test_a_document_is_read_under_todays_names_and_keeps_its_digest(kind: str) -> None:
    before = copy.deepcopy(BEFORE[kind])
    after = lifted(kind, before)
    assert (after, before) == (AFTER[kind], BEFORE[kind])
    assert shape_of(kind).digest(after) == shape_of(kind).digest(before)
    assert lifted(kind, after) is after


@pytest.mark.parametrize("kind", BEFORE)
def test_the_digest_is_that_of_the_first_names_as_any_other_reader_takes_it(kind: str) -> None:
    settings = {name: value for name, value in BEFORE[kind].items() if name != "sources"}
    assert shape_of(kind).digest(AFTER[kind]) == canonical.digest(settings)
    assert first(kind, {name: value for name, value in AFTER[kind].items() if name != "sources"}) == settings


def test_a_document_can_be_had_under_the_names_of_a_version() -> None:
    assert lifted("print-mode", AFTER["print-mode"], 2) == BEFORE["print-mode"]
    assert lifted("print-mode", BEFORE["print-mode"], 2) is BEFORE["print-mode"]
    assert lifted("print-mode", BEFORE["print-mode"], 3) == AFTER["print-mode"]


def test_what_stands_under_two_names_at_once_is_refused_and_nothing_of_it_is_lost() -> None:
    both = {"ink": {"overcoat_pct": 12, "clear_coat_pct": 10}}
    assert lifted("print-mode", both) == both
    assert not is_sound("print-mode", both, partial=True)
    assert shape_of("print-mode").digest(both) == canonical.digest(both)


@pytest.mark.parametrize("kind", KINDS)
def test_a_document_of_wrong_shapes_is_left_as_it_is(kind: str) -> None:
    wrong: Any
    for wrong in ("x", 7, None, [], ["x"], {"of": 1}, [{"of": [], "setting": {}}]):
        document = dict.fromkeys(("ink", "sources", "demands", "when"), wrong)
        assert lifted(kind, document) == document


def test_a_setting_that_was_renamed_twice_is_known_by_each_name(monkeypatch: pytest.MonkeyPatch) -> None:
    schema = {
        "properties": {
            "list": {"type": "array", "items": {"$ref": "#/$defs/Item"}},
            "group": {"additionalProperties": {"$ref": "#/$defs/Item"}, "x-renamed": {"4": "old"}},
        },
        "$defs": {"Item": {"properties": {"c": {"x-renamed": {"3": "a", "5": "b"}}, "other": {}}}},
    }
    names = module._Names(schema)  # noqa: SLF001
    monkeypatch.setattr(module, "_names", lambda _: names)
    monkeypatch.setattr(module, "NEWEST", 9)
    now = {"list": [{"c": 1, "other": 2}], "group": {"x": {"c": 3}}}
    then = [lifted("site", now, version) for version in (0, 3, 4, 5)]
    assert then == [
        {"list": [{"a": 1, "other": 2}], "old": {"x": {"a": 3}}},
        {"list": [{"b": 1, "other": 2}], "old": {"x": {"b": 3}}},
        {"list": [{"b": 1, "other": 2}], "group": {"x": {"b": 3}}},
        now,
    ]
    assert all(lifted("site", each, 9) == now for each in then)
    assert [now_called("site", path) for path in ("old.x.a", "group.x.b", "list.1.a")] == [
        "group.x.c",
        "group.x.c",
        "list.1.c",
    ]


def test_versions_are_numbered_one_after_another() -> None:
    assert [each.number for each in VERSIONS] == list(range(1, NEWEST + 1))


@pytest.mark.parametrize("kind", KINDS)
def test_what_the_schema_says_of_names_can_be_carried_out(kind: str) -> None:
    """An earlier name belongs to one setting, ended with a version there is, and is no setting's name now.

    What is written once is never rewritten, so nothing of it is renamed. A retired setting need not be given.
    """
    schema = schema_for(kind)
    for group in (schema, *schema.get("$defs", {}).values()):
        members: dict[str, Any] = group.get("properties", {})
        before = [was for node in members.values() for was in node.get("x-renamed", {}).values()]
        assert len({*before, *members}) == len(before) + len(members)
        ended = {int(until) for node in members.values() for until in node.get("x-renamed", {})}
        retired = {name: node["x-retired"] for name, node in members.items() if "x-retired" in node}
        assert ended | set(retired.values()) <= {each.number for each in VERSIONS[1:]}
        assert not (KINDS[kind].once and ended)
        assert not set(retired) & set(group.get("required", ()))
