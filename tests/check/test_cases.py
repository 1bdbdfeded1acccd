"""Case files: a new case is a new file.

`tests/cases/valid/KIND/NAME.json` and `tests/cases/invalid/KIND/NAME.json` stand in for the small registry's
own record of that kind. Beside an invalid one, `NAME.expected` lists what is found in it, one finding a line:
code, line, and pointer where there is one.
"""

from pathlib import Path

import pytest

from registry.check import check
from registry.model.kinds import KINDS, path_of
from tests.check.small import BACKLIT, Small

CASES = Path(__file__).parent.parent / "cases"
VALID = sorted((CASES / "valid").glob("*/*.json"))
INVALID = sorted((CASES / "invalid").glob("*/*.json"))
STANDS_IN = {
    "registry": "registry",
    "substrate": "lumenfold/case",  # beside the film, on which the small registry's modes rest
    "print-mode": BACKLIT,
    "printer": "wide-64",
    "application": "light-box",
    "guidance": "aqueous-suits",
    "site": "harbour-yard",
    "unit": "harbour-yard/wide-1",
    "display": "harbour-yard/hall-1",
    "complaint": "harbour-yard/pale-hall",
    "event": "harbour-yard/2026-02-20-adopted",
    "run": "harbour-yard/2026-02-21-job-1",
    "confirmation": "harbour-yard/2026-02-19-confirmed",
}


def name(case: Path) -> str:
    return f"{case.parent.name}/{case.stem}"


def put_in(small: Small, case: Path) -> str:
    kind = case.parent.name
    path = path_of(kind, STANDS_IN[kind])
    small.files[path] = case.read_bytes()
    return path


@pytest.mark.parametrize("case", VALID, ids=name)
def test_nothing_is_found_in_a_valid_case(small: Small, case: Path) -> None:
    put_in(small, case)
    assert check(small) == []


@pytest.mark.parametrize("case", INVALID, ids=name)
def test_what_is_expected_is_found_in_an_invalid_case(small: Small, case: Path) -> None:
    path = put_in(small, case)
    found = [finding for finding in check(small) if finding.path == path]
    said = [" ".join(filter(None, (each.code, str(each.line), each.pointer))) for each in found]
    assert said == case.with_suffix(".expected").read_text().splitlines()


def test_every_kind_has_a_valid_case() -> None:
    assert {case.parent.name for case in VALID} == set(KINDS)


def test_every_expectation_has_its_case() -> None:
    expected = (CASES / "invalid").glob("*/*.expected")
    assert sorted(path.with_suffix(".json") for path in expected) == INVALID
