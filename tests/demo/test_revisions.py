"""Every revision in the story is a record that the registry accepts, and every landing passes the check."""

import functools
import itertools
import json
from collections import Counter
from typing import Any

import jsonschema_rs
import pytest

from registry import canonical
from registry.check import RULES, check
from registry.check.snapshot import Files
from registry.demo.replay import Told
from registry.model.export import model_of
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from registry.shipped import shipped
from tests.demo.telling import Landed, Records


@functools.cache
def _validator(kind: str) -> Any:
    schema = json.loads((shipped("schema") / f"{kind}.json").read_bytes())
    return jsonschema_rs.Draft202012Validator(schema, validate_formats=True)


def test_every_revision_is_valid_for_schema_and_model_and_in_the_file_form(
    history: tuple[Landed, ...],
) -> None:
    for landed in history:
        data = landed.told.state[landed.path]
        faults = [error.message for error in _validator(landed.kind).iter_errors(landed.document)]
        assert faults == [], landed.path
        model_of(landed.kind).model_validate_json(data)
        assert data == canonical.file_form(landed.document, shape_of(landed.kind).schema), landed.path


def test_every_landing_passes_every_rule_against_its_base(story: tuple[Told, ...]) -> None:
    base = None
    for told in story:
        now = Files(told.state)
        found = [str(finding) for finding in check(now, base)]
        assert found == [], told.landing.reason
        base = now
    assert len(RULES) > 40


def test_revisions_rise_by_one_with_a_new_reason_each_time(history: tuple[Landed, ...]) -> None:
    for landed in history:
        if KINDS[landed.kind].once:
            assert landed.before is None, landed.path
            continue
        before = landed.before or {"revision": 0, "reason": "", "recorded": {"date": ""}}
        assert landed.document["revision"] == before["revision"] + 1, landed.path
        assert landed.document["reason"] != before["reason"], landed.path
        assert landed.document["recorded"]["date"] >= before["recorded"]["date"], landed.path


def test_nothing_is_ever_taken_away(story: tuple[Told, ...]) -> None:
    for before, after in itertools.pairwise(story):
        assert set(before.state) <= set(after.state)


@pytest.mark.parametrize(
    ("kind", "least"),
    [
        ("substrate", 17),
        ("print-mode", 32),
        ("printer", 3),
        ("unit", 5),
        ("site", 3),
        ("application", 9),
        ("display", 7),
        ("event", 32),
        ("run", 42),
        ("confirmation", 34),
        ("guidance", 22),
        ("complaint", 3),
    ],
)
def test_there_is_enough_of_each_kind(present: Records, kind: str, least: int) -> None:
    assert len(present[kind]) >= least


def test_every_construction_base_coating_and_kind_of_event_is_met(
    present: Records,
) -> None:
    for setting in ("construction", "base", "coating", "finish"):
        words = set(shape_of("substrate").settings[setting].words)
        assert {document.get(setting) for document in present["substrate"].values()} >= words
    events = Counter(event["kind"] for event in present["event"].values())
    assert set(events) == set(shape_of("event").settings["kind"].words)
    assert len({substrate["maker"] for substrate in present["substrate"].values()}) >= 6


def test_every_setting_of_every_model_is_used_somewhere(history: tuple[Landed, ...]) -> None:
    used: dict[str, set[str]] = {kind: set() for kind in KINDS}
    for landed in history:
        found = shape_of(landed.kind).flatten(landed.document).values()
        used[landed.kind] |= {each.setting.path for each in found}
    unused = {
        f"{kind} {path}"
        for kind in KINDS
        for path in shape_of(kind).written
        if path not in used[kind]
        and not path.startswith(("sources", "withdrawn", "luminance", "lamp.spectrum", "unless"))
    }
    assert unused == {"guidance when.*.exclusiveMinimum", "guidance when.*.exclusiveMaximum"}


def test_every_value_of_a_substrate_has_a_source(history: tuple[Landed, ...]) -> None:
    named = {"$schema", "title", "maker", "grade", "notes", "sources", "withdrawn"}
    named |= {"revision", "reason", "recorded"}
    for landed in history:
        if landed.kind == "substrate":
            wanted = {f"/{name}" for name in landed.document if name not in named}
            covered = {pointer for pointer in landed.document["sources"] if pointer.count("/") == 1}
            assert wanted <= covered, landed.path
