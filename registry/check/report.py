"""Findings as text for people, as JSON, and as SARIF 2.1.0 (OASIS) for editors and forges."""

from collections.abc import Sequence
from dataclasses import asdict, fields
from os import fsencode
from typing import Any
from urllib.parse import quote

import registry
from registry.canonical import visible
from registry.check.finding import Finding
from registry.check.rule import Rule
from registry.check.rules import RULES

__all__ = ["COLUMNS", "to_json", "to_rows", "to_sarif", "to_text"]

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


COLUMNS = tuple(member.name for member in fields(Finding))
"""The members of a finding, as JSON and tables name them."""


def to_text(findings: Sequence[Finding], records: int) -> str:
    """Return one paragraph a finding, and a last line that counts them and the records checked."""
    return "".join(f"{_lines(finding)}\n" for finding in findings) + f"{_count(findings, records)}\n"


def to_json(findings: Sequence[Finding], records: int) -> dict[str, Any]:
    """Return the findings with every member by name, and how many there are among how many records."""
    return {
        "findings": to_rows(findings),
        "errors": _number(findings, "error"),
        "warnings": _number(findings, "warning"),
        "records": records,
    }


def to_rows(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    """Return each finding with every member by name."""
    return [asdict(finding) for finding in findings]


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
    line = f"{place}: {finding.severity}: {finding} [{finding.code}{pointer}]{_landed(finding)}"
    return visible(line)  # a file's name may hold anything, also the end of a line


def _landed(finding: Finding) -> str:
    return f" (came with {finding.landing[:12]})" if finding.landing else ""


def _count(findings: Sequence[Finding], records: int) -> str:
    counts = ((_number(findings, each), each) for each in ("error", "warning"))
    counted = ", ".join(f"{number or 'no'} {noun}{'' if number == 1 else 's'}" for number, noun in counts)
    return f"{counted} in {f'{records:,}' if records else 'no'} record{'' if records == 1 else 's'}"


def _number(findings: Sequence[Finding], severity: str) -> int:
    return sum(finding.severity == severity for finding in findings)


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
            "artifactLocation": {"uri": quote(fsencode(finding.path)), "uriBaseId": "%SRCROOT%"},
            "region": {"startLine": finding.line, "startColumn": finding.column},
        }
    }
    if finding.pointer:
        location["logicalLocations"] = [{"fullyQualifiedName": finding.pointer, "kind": "member"}]
    return {
        "ruleId": finding.code,
        "ruleIndex": number,
        "level": finding.severity,
        "message": {"text": f"{finding}{_landed(finding)}"},
        "locations": [location],
    }
