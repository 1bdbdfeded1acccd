import json

from registry.check import check, to_json, to_text
from registry.model.kinds import path_of
from tests.check.small import SHEET, WINDOW, Small


def test_text_says_place_severity_what_was_found_what_is_allowed_and_what_to_do(small: Small) -> None:
    path = small.patch("print-mode", WINDOW, {"mirrored": False})
    line = small.files[path].decode().splitlines().index('  "mirrored": false,') + 1
    assert to_text(check(small)) == (
        f"{path}:{line}:3: error: the print would read backwards: found second-surface, not mirrored,"
        " allowed second-surface, mirrored; set mirrored to true, or correct the print side"
        " [mirroring at /mirrored]\n"
        "1 error\n"
    )


def test_text_counts_errors_and_warnings(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False, "motion": {"resolution": "600x600"}})
    small.patch("substrate", SHEET, {"sources": None})
    assert to_text(check(small)).splitlines()[-1] == "2 errors, 4 warnings"


def test_text_says_so_where_nothing_is_found(pristine: Small) -> None:
    assert to_text(check(pristine)) == "nothing found\n"


def test_json_holds_every_member_of_every_finding(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False})
    answer = to_json(check(small))
    assert json.loads(json.dumps(answer)) == answer
    (finding,) = answer["findings"]
    assert answer | {"findings": []} == {"findings": [], "errors": 1, "warnings": 0}
    assert finding.pop("line") > 1
    assert finding == {
        "code": "mirroring",
        "severity": "error",
        "path": path_of("print-mode", WINDOW),
        "column": 3,
        "pointer": "/mirrored",
        "found": "second-surface, not mirrored",
        "allowed": "second-surface, mirrored",
        "message": "the print would read backwards",
        "remedy": "set mirrored to true, or correct the print side",
    }
