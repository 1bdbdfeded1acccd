from registry.check import check
from tests.check.small import Small


def test_nothing_is_found_in_a_valid_registry(pristine: Small) -> None:
    assert check(pristine) == []


def test_nothing_is_found_where_nothing_changed(pristine: Small) -> None:
    assert check(pristine, pristine.copy()) == []


def test_nothing_is_found_in_an_empty_registry() -> None:
    assert check(Small({})) == []
