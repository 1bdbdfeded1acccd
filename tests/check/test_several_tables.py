"""A measurement file may hold several tables, each taken in its own way."""

import pytest

from registry.check import check
from tests.check.mutations.printing import with_reading
from tests.check.small import Small, cgats


@pytest.mark.parametrize(
    ("geometries", "found"),
    [
        (("reflection, 45:0", "transmission, 0:d"), []),
        (("transmission, 0:d", "reflection, 45:0"), []),
        (("reflection, 45:0", "reflection, d:8"), ["not-measured"]),
    ],
)
def test_a_mode_is_measured_in_transmission_by_any_table_of_its_file(
    small: Small, geometries: tuple[str, str], found: list[str]
) -> None:
    first, second = map(cgats, geometries)
    with_reading(first + second.removeprefix(b"CGATS.17\n"))(small)
    assert [each.code for each in check(small)] == found
