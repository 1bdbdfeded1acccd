"""The check: rules over the files of a registry, and what they find.

It knows neither git nor the command line: it is handed a snapshot of the files, and perhaps an earlier one to
judge changes against.
"""

from registry.check.finding import Finding, Severity
from registry.check.report import to_json, to_rows, to_sarif, to_text
from registry.check.rule import Rule
from registry.check.rules import RULES
from registry.check.running import check, explain, fixed, records_in
from registry.check.snapshot import Snapshot

__all__ = [
    "RULES",
    "Finding",
    "Rule",
    "Severity",
    "Snapshot",
    "check",
    "explain",
    "fixed",
    "records_in",
    "to_json",
    "to_rows",
    "to_sarif",
    "to_text",
]
