"""The committed schemas are those of the models, and hold nothing on which readers differ."""

import json
from typing import Any

import pytest

from registry.model.export import ALLOWED_KEYWORDS, model_of, schema_bytes
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from registry.shipped import shipped


@pytest.mark.parametrize("kind", KINDS)
def test_the_committed_schema_is_generated_from_the_model(kind: str) -> None:
    assert (shipped("schema") / f"{kind}.json").read_bytes() == schema_bytes(kind)


def test_there_is_no_schema_of_a_kind_that_is_gone() -> None:
    assert {path.stem for path in shipped("schema").glob("*.json")} == set(KINDS)


def test_the_keywords_on_which_readers_disagree_are_not_allowed() -> None:
    assert not ALLOWED_KEYWORDS & {"multipleOf", "patternProperties", "anyOf", "oneOf", "allOf", "not", "if"}


def patterns(node: Any) -> list[str]:
    if isinstance(node, list):
        return [found for each in node for found in patterns(each)]
    if not isinstance(node, dict):
        return []
    own = [node["pattern"]] if isinstance(node.get("pattern"), str) else []
    return own + [found for each in node.values() for found in patterns(each)]


@pytest.mark.parametrize("kind", KINDS)
def test_patterns_use_no_class_whose_meaning_depends_on_the_reader(kind: str) -> None:
    for pattern in patterns(shape_of(kind).schema):
        assert "\\d" not in pattern
        assert "\\w" not in pattern
        assert pattern.startswith("^")


@pytest.mark.parametrize("kind", KINDS)
def test_every_setting_has_a_label_and_a_meaning(kind: str) -> None:
    for path, setting in shape_of(kind).settings.items():
        assert setting.label, path
        assert setting.meaning or path == "$schema", path


@pytest.mark.parametrize("kind", KINDS)
def test_a_unit_in_a_name_is_the_unit_of_the_setting(kind: str) -> None:
    endings = {
        "_um": "µm",
        "_mm": "mm",
        "_c": "°C",
        "_pct": "%",
        "_m2_h": "m²/h",
        "_g_m2": "g/m²",
        "_lx": "lx",
        "_cd_m2": "cd/m²",
        "_kpa": "kPa",
        "_pl": "pL",
        "_s": "s",
        "_gu": "GU",
        "_n": "N",
    }
    longest_first = sorted(endings, key=len, reverse=True)
    for path, setting in shape_of(kind).settings.items():
        ending = next(filter(path.endswith, longest_first), "")
        if ending and setting.numeric:
            assert setting.unit.split(" ")[0] == endings[ending], path


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_may_be_null(kind: str) -> None:
    assert '"null"' not in json.dumps(shape_of(kind).schema)


def test_models_refuse_unknown_members_and_are_frozen_and_strict() -> None:
    for kind in KINDS:
        config = model_of(kind).model_config
        assert (config["extra"], config["frozen"], config["strict"]) == ("forbid", True, True)
        assert config["allow_inf_nan"] is False
