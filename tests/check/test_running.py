import json
import subprocess
import sys
from collections.abc import Mapping
from typing import Any

import pytest

from registry import canonical
from registry.check import check, fixed
from registry.model.kinds import path_of
from tests.check.small import BACKLIT, FILM, READING_AT, WINDOW, Small, cgats


def codes(snapshot: Small, *only: str) -> list[str]:
    return [finding.code for finding in check(snapshot, only=only)]


def test_findings_are_kept_to_the_paths_asked_about(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False})
    small.patch("unit", "harbour-yard/wide-1", {"site": "mill-lane"})
    small.files["records/sites/stray.txt"] = b""
    assert codes(small, path_of("print-mode", WINDOW)) == ["mirroring"]
    assert codes(small, "records/sites") == ["path-identity", "foreign-path"]
    assert codes(small, "records/sites/") == ["path-identity", "foreign-path"]
    assert codes(small, "records/sites/mill-lane") == []
    assert codes(small) == []


def test_a_path_asked_about_is_judged_by_all_the_rest(small: Small) -> None:
    small.patch("substrate", FILM, {"heat": {"max_web_c": 90}})
    assert codes(small, path_of("print-mode", BACKLIT)) == ["web-too-hot"]


def test_only_what_is_needed_is_read_for_one_path(small: Small) -> None:
    read: list[str] = []

    class Watched(Small):
        def read(self, path: str) -> bytes:
            read.append(path)
            return super().read(path)

    check(Watched(small.files), only=[path_of("printer", "wide-64")])
    assert path_of("complaint", "harbour-yard/pale-hall") not in read
    assert len(read) == len(set(read))


def test_a_finding_stands_where_the_value_stands(small: Small) -> None:
    path = small.patch("print-mode", WINDOW, {"mirrored": False})
    (finding,) = check(small)
    lines = small.files[path].decode().splitlines()
    assert lines[finding.line - 1] == '  "mirrored": false,'
    assert finding.column == 3


def test_a_file_with_very_many_faults_is_told_by_its_first_and_their_number(small: Small) -> None:
    small.patch("substrate", FILM, {"widths_mm": ["wide"] * 10_000})
    small.patch("printer", "wide-64", {"passes": "many"})
    found = check(small)
    film = path_of("substrate", FILM)
    ours = [finding for finding in found if finding.path == film]
    assert len(ours) == 201
    assert len(found) == 202
    assert ours[-1].message == "9,801 more of these from here on; told one by one are 200"
    assert ours[-1].pointer == "/widths_mm/200"
    assert [finding.pointer for finding in ours[:200]] == [f"/widths_mm/{n}" for n in range(200)]


def test_a_missing_value_is_found_where_its_group_stands(small: Small) -> None:
    data = json.loads(small.files[path_of("print-mode", WINDOW)])
    del data["motion"]["passes"]
    path = small.put("print-mode", WINDOW, data)
    (finding,) = check(small)
    assert (finding.code, finding.pointer) == ("schema", "/motion/passes")
    assert small.files[path].decode().splitlines()[finding.line - 1] == '  "motion": {'


def test_findings_are_in_the_order_of_paths_and_lines(small: Small) -> None:
    small.patch("print-mode", WINDOW, {"mirrored": False, "heat": {"dry_c": 20}})
    small.patch("print-mode", BACKLIT, {"mirrored": True, "trials": None})
    findings = check(small)
    places = [(finding.path, finding.line, finding.column) for finding in findings]
    assert places == sorted(places)
    assert len({finding.path for finding in findings}) == 2


def test_a_record_that_cannot_be_read_hides_no_other(small: Small) -> None:
    small.files[path_of("guidance", "aqueous-suits")] = b"{"
    small.patch("print-mode", WINDOW, {"mirrored": False})
    assert {finding.code for finding in check(small)} == {"unreadable", "mirroring"}


def test_a_record_with_a_fault_is_still_there_for_those_that_name_it(small: Small) -> None:
    withdrawn = {"date": "2026-02-01", "reason": "it re-wets", "instead": BACKLIT}
    small.put("print-mode", f"{WINDOW}-b", small.document("print-mode", WINDOW) | {"title": "Another"})
    small.patch("print-mode", f"{WINDOW}-b", {"status": "withdrawn", "withdrawn": withdrawn})
    small.patch("print-mode", BACKLIT, {"heat": {"cure_c": 500}})
    assert [finding.code for finding in check(small)] == ["schema"]


def test_every_fault_of_a_record_is_found_not_only_the_first(small: Small) -> None:
    small.patch("printer", "wide-64", {"drop_volume_pl": 0, "passes": [8, 9.5], "colour": "red"})
    pointers = [finding.pointer for finding in check(small)]
    assert sorted(pointers) == ["/colour", "/drop_volume_pl", "/passes/1"]


@pytest.mark.parametrize("spoil", [b"\n%s", b"%s\n", b"%s  "])
def test_a_fix_writes_the_file_form_and_nothing_else(small: Small, spoil: bytes) -> None:
    path = path_of("print-mode", BACKLIT)
    tidy = small.files[path]
    spoilt = spoil.replace(b"%s", json.dumps(json.loads(tidy), sort_keys=True).encode())
    assert fixed(path, spoilt) == tidy
    assert fixed(path, tidy) is None
    small.files[path] = spoilt
    assert [finding.code for finding in check(small)] == ["file-form"]


def test_a_fix_changes_no_value_even_of_a_record_that_breaks_its_schema() -> None:
    document: Mapping[str, Any] = {"title": 3, "strange": [1, {"b": 2, "a": "é"}], "revision": -1}
    data = json.dumps(document).encode()
    rewritten = fixed(path_of("site", "mill-lane"), data)
    assert rewritten is not None
    assert canonical.read(rewritten) == document


def test_what_cannot_be_read_or_is_no_record_is_not_fixed() -> None:
    assert fixed(path_of("site", "mill-lane"), b'{"a": 1, "a": 2}') is None
    assert fixed(READING_AT, cgats()) is None
    assert fixed("records/stray.json", b"{ }") is None


def test_a_clean_check_loads_neither_pydantic_nor_the_slow_reader() -> None:
    script = """
import sys
from tests.check.small import small_registry
from registry.check import check
assert check(small_registry()) == []
print(sorted({"pydantic", "jsonschema"} & set(sys.modules)))
"""
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"
