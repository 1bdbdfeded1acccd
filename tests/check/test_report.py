import json
from dataclasses import replace

from registry.check import check, to_json, to_sarif, to_text
from registry.model.kinds import path_of
from tests.check.small import SHEET, WINDOW, Small


def test_text_says_place_severity_what_was_found_what_is_allowed_and_what_to_do(small: Small) -> None:
    path = small.patch("print-mode", WINDOW, {"mirrored": False})
    line = small.files[path].decode().splitlines().index('  "mirrored": false,') + 1
    assert to_text(check(small), 12) == (
        f"{path}:{line}:3: error: the print would read backwards: found second-surface, not mirrored,"
        " allowed second-surface, mirrored; set mirrored to true, or correct the print side"
        " [mirroring at /mirrored]\n"
        "1 error, no warnings in 12 records\n"
    )


def test_text_counts_errors_and_warnings(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False, "motion": {"resolution": "600x600"}})
    small.patch("substrate", SHEET, {"sources": None})
    assert to_text(check(small), 1).splitlines()[-1] == "2 errors, 4 warnings in 1 record"


def test_text_says_so_where_nothing_is_found(pristine: Small) -> None:
    assert to_text(check(pristine), 1200) == "no errors, no warnings in 1,200 records\n"
    assert to_text([], 0) == "no errors, no warnings in no records\n"


def test_text_names_the_landing_that_a_finding_came_with(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False})
    (finding,) = check(small)
    landed = replace(finding, landing="0123456789abcdef" * 2)
    assert "[mirroring at /mirrored] (came with 0123456789ab)\n" in to_text([landed], 1)


def test_json_holds_every_member_of_every_finding(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False})
    answer = to_json(check(small), 12)
    assert json.loads(json.dumps(answer)) == answer
    (finding,) = answer["findings"]
    assert answer | {"findings": []} == {"findings": [], "errors": 1, "warnings": 0, "records": 12}
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
        "landing": "",
    }


def test_what_a_file_is_called_cannot_part_a_line_nor_break_an_answer(small: Small) -> None:
    small.files["records/new\nline.json"] = b"{}"
    small.files["records/\udcff\x1b.json"] = b"{}"
    found = check(small)
    assert [line.split(":")[0] for line in to_text(found, 1).splitlines()[:-1]] == [
        r"records/new\x0aline.json",
        r"records/\udcff\x1b.json",
    ]
    results = to_sarif(found)["runs"][0]["results"]
    uris = [each["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for each in results]
    assert uris == ["records/new%0Aline.json", "records/%FF%1B.json"]
