"""How a change reads."""

from typing import Any

import pytest

from registry.canonical import visible
from registry.change.compare import compare
from registry.cli import output
from registry.cli.wording import change_words
from registry.model.shape import shape_of


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ([1270, 1524], [1270, 1524, 1600], "added 1600"),
        ([1270, 1524], [1600, 1524], "added 1600; removed 1270"),
        ([1270, 1524], [1524], "removed 1270"),
        ([1270, 1524], [1067, 1600], ""),
        ([1270], [], ""),
        ([], [1270], ""),
        ([1270, 1524], [1524, 1270], "order"),
    ],
)
def test_what_a_list_gained_and_lost_is_said_where_some_of_it_stayed(
    before: list[Any], after: list[Any], words: str
) -> None:
    (change,) = compare(shape_of("substrate"), {"widths_mm": before}, {"widths_mm": after})
    assert change_words(change) == words


def test_what_is_taken_for_plain_without_a_closer_look_has_nothing_to_hide() -> None:
    plain = [each for each in map(chr, range(0x110000)) if output._PLAIN.fullmatch(each)]  # noqa: SLF001
    assert len(plain) > 900
    assert visible("".join(plain), keep="\n") == "".join(plain)
    assert output._seen("a\nb") == visible("a\nb") != "a\nb"  # noqa: SLF001
