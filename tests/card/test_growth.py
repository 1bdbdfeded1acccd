"""A setting is defined once: what the model gains, the card says by itself."""

import copy
from typing import Any

import pytest

from registry.card import facts as facts_module
from registry.card import stops, values
from registry.card.facts import facts
from registry.model.shape import Shape, shape_of
from tests.card import documents
from tests.card.cards import pdf
from tests.card.documents import entries, request
from tests.card.reading import printed, without_blanks


def _with_setting(kind: str, group: str, name: str, setting: dict[str, Any]) -> Shape:
    schema = copy.deepcopy(shape_of(kind).schema)
    where = schema["$defs"][group] if group else schema
    where["properties"][name] = setting
    return Shape(schema)


@pytest.mark.parametrize(("group", "place"), [("Heat", "heat"), ("Motion", "motion"), ("", "lamp warm-up")])
def test_new_setting_of_the_model_appears_by_itself(
    monkeypatch: pytest.MonkeyPatch, group: str, place: str
) -> None:
    new = {"title": "lamp warm-up", "type": "number", "x-unit": "min", "x-effect": "indirect"}
    grown = _with_setting("print-mode", group, "warm_up_min", new)
    for module in (values, facts_module, stops):
        monkeypatch.setattr(
            module, "shape_of", lambda kind: grown if kind == "print-mode" else shape_of(kind)
        )
    mode = copy.deepcopy(documents.MODE)
    (mode[place] if group else mode)["warm_up_min"] = 12.5
    asked = request(mode=mode, digest="0" * 64)
    assert entries(facts(asked), place)["lamp warm-up"] == "12.5 min"
    page = printed(pdf(asked))
    assert page.sizes_of("lamp warm-up 12.5 min")[0] >= 9.99
    del (mode[place] if group else mode)["warm_up_min"]
    (found,) = [each for each in facts(asked)["settings"] if each["label"] == place]
    assert found["unrecorded"] == ["lamp warm-up"]


def test_new_member_of_a_layer_appears_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    grown = _with_setting("print-mode", "LaidLayer", "drops", {"title": "drop size", "type": "integer"})
    monkeypatch.setattr(values, "shape_of", lambda kind: grown if kind == "print-mode" else shape_of(kind))
    mode = copy.deepcopy(documents.MODE)
    mode["layers"][0]["drops"] = 3
    assert without_blanks("drop size 3") in printed(pdf(request(mode=mode, digest="0" * 64))).text


def test_labels_come_from_the_model(monkeypatch: pytest.MonkeyPatch) -> None:
    cure = {"title": "second oven", "type": "number", "x-unit": "°C"}
    renamed = _with_setting("print-mode", "Heat", "cure_c", cure)
    monkeypatch.setattr(values, "shape_of", lambda kind: renamed if kind == "print-mode" else shape_of(kind))
    assert entries(facts(request()), "heat")["second oven"] == "100 °C"
