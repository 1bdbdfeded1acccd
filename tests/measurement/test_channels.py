"""Which patch is the bare material: what the check reads without numbers' libraries is what `light` reads."""

import pytest

from registry.lit.solids import unprinted
from registry.measurement import Table
from registry.measurement.channels import channels, holds_unprinted
from registry.measurement.patches import patches


def table(fields: tuple[str, ...], *rows: tuple[float, ...]) -> Table:
    return Table({}, ("SAMPLE_ID", *fields), tuple(dict(zip(fields, row, strict=True)) for row in rows))


CMYK = ("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K")
RGB = ("RGB_R", "RGB_G", "RGB_B")


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (table(CMYK, (0, 0, 0, 100), (0, 0, 0, 0)), True),
        (table(CMYK, (0, 0, 0, 100), (0, 0, 0, 0.5)), False),
        (table(CMYK, (0, 0, 0, 0.004)), True),
        (table(("6CLR_1", "6CLR_2"), (0, 0)), True),
        (table(RGB, (255, 255, 255), (0, 0, 0)), True),
        (table(RGB, (255, 255, 0), (0, 0, 0)), False),
        (table(RGB, (254, 254, 254), (0, 0, 0)), False),
        (table(("LAB_L", "LAB_A", "LAB_B"), (90, 0, 0)), False),
    ],
)
def test_the_unprinted_patch_is_known_as_the_lit_white_is(given: Table, expected: bool) -> None:
    assert holds_unprinted(given) is expected
    assert bool(len(unprinted(patches(_named(given))))) is expected


def _named(given: Table) -> Table:
    sets = tuple({"SAMPLE_ID": str(number), **each} for number, each in enumerate(given.sets, 1))
    return Table(given.header, given.fields, sets)


def test_of_two_spaces_the_one_with_most_channels_is_what_was_printed() -> None:
    assert list(channels([*RGB, *CMYK]).values()) == ["C", "M", "Y", "K"]
