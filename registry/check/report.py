"""Findings as text for people, as JSON, and as SARIF 2.1.0 (OASIS) for editors and forges."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any
from urllib.parse import quote

import registry
from registry.check.finding import Finding
from registry.check.rule import Rule
from registry.check.rules import RULES

__all__ = ["to_json", "to_sarif", "to_text"]

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def to_text(findings: Sequence[Finding]) -> str:
    """Return one paragraph a finding, and a last line that counts them."""
    return "".join(f"{_lines(finding)}\n" for finding in findings) + f"{_count(findings)}\n"


def to_json(findings: Sequence[Finding]) -> dict[str, Any]:
    """Return the findings with every member by name."""
    return {
        "findings": [asdict(finding) for finding in findings],
        "errors": sum(finding.severity == "error" for finding in findings),
        "warnings": sum(finding.severity == "warning" for finding in findings),
    }


def to_sarif(findings: Sequence[Finding]) -> dict[str, Any]:
    """Return the findings as a SARIF log with every rule's explanation."""
    numbers = {rule.code: number for number, rule in enumerate(RULES)}
    driver = {
        "name": "litstock",
        "version": registry.__version__,
        "rules": [_rule(rule) for rule in RULES],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, numbers[finding.code]) for finding in findings],
    }
    return {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}


def _lines(finding: Finding) -> str:
    place = f"{finding.path}:{finding.line}:{finding.column}"
    pointer = f" at {finding.pointer}" if finding.pointer else ""
    return f"{place}: {finding.severity}: {finding} [{finding.code}{pointer}]"


def _count(findings: Sequence[Finding]) -> str:
    if not findings:
        return "nothing found"
    errors = sum(finding.severity == "error" for finding in findings)
    warnings = len(findings) - errors
    counts = ((errors, "error"), (warnings, "warning"))
    return ", ".join(f"{number} {noun}{'' if number == 1 else 's'}" for number, noun in counts if number)


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.code,
        "shortDescription": {"text": rule.summary},
        "help": {"text": rule.explanation},
        "defaultConfiguration": {"level": rule.severity},
    }


def _result(finding: Finding, number: int) -> dict[str, Any]:
    location: dict[str, Any] = {
        "physicalLocation": {
            "artifactLocation": {"uri": quote(finding.path), "uriBaseId": "%SRCROOT%"},
            "region": {"startLine": finding.line, "startColumn": finding.column},
        }
    }
    if finding.pointer:
        location["logicalLocations"] = [{"fullyQualifiedName": finding.pointer, "kind": "member"}]
    return {
        "ruleId": finding.code,
        "ruleIndex": number,
        "level": finding.severity,
        "message": {"text": str(finding)},
        "locations": [location],
    }
