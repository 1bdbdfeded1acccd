"""Reading what is to be printed, and how much of it the image inks."""

import pytest

from registry.errors import RequestError
from registry.plan.job import MOST_PIECES, Coverage, Piece, coverage_of, pieces_of


def test_a_piece_is_width_height_and_how_many() -> None:
    assert pieces_of(["1200x1800x6", "poster=594×841", " stop = 300x400.5x2"], []) == (
        Piece("1200x1800", 1200, 1800, 6),
        Piece("poster", 594, 841, 1),
        Piece("stop", 300, 400.5, 2),
    )


def test_panels_of_a_set_share_its_name_and_are_not_turned() -> None:
    pieces = pieces_of([], ["wall=1000x2000x3+800x2000", "500x500x2"])
    assert [(piece.name, piece.set, piece.count, piece.turns) for piece in pieces] == [
        ("wall", "wall", 3, False),
        ("wall", "wall", 1, False),
        ("set 2", "set 2", 2, False),
    ]


def test_inches_are_read_exactly() -> None:
    (piece,) = pieces_of(["47.25x70.875x6"], [], "us")
    assert (piece.name, piece.width_mm, piece.height_mm) == ("47.25x70.875", 1200.15, 1800.225)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1200", "'1200' is no piece: write WIDTHxHEIGHTxCOUNT"),
        ("1200x", "'1200x' is no piece"),
        ("axb", "'axb' is no piece"),
        ("a=b=1x2", "'a=b=1x2' is no piece"),
        ("-5x10", "'-5x10' is no piece"),
        ("1e3x10", "'1e3x10' is no piece"),
        ("1200x1800x0", "no pieces are asked for"),
        ("0x1800", "a side of 0 mm cannot be planned, only 1 mm to 100,000 mm"),
        ("1200x100001", "a side of 100001 mm cannot be planned"),
        (f"{'n' * 41}=10x10", "is no name for a piece"),
        (f"100x100x{MOST_PIECES + 1}", f"{MOST_PIECES + 1:,} pieces are too many for one plan"),
    ],
)
def test_what_is_no_piece_is_refused_with_what_to_write(text: str, said: str) -> None:
    with pytest.raises(RequestError) as refused:
        pieces_of([text], [])
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("alone", "sets"),
    [
        ([], ["left=1180x1750+right=1180x1750"]),
        ([], ["1180x1750+right=1180x1750"]),
        ([], ["wall=left=1180x1750+1180x1750"]),
        (["1180x1750+1180x1750"], []),
    ],
)
def test_who_names_panels_is_told_to_name_the_whole_set(alone: list[str], sets: list[str]) -> None:
    with pytest.raises(RequestError) as refused:
        pieces_of(alone, sets)
    said, _, written = str(refused.value).partition(": --set ")
    assert said.startswith(f"{(alone or sets)[0]!r} is no piece and no set")
    assert "name stands once, before the whole of it" in said
    assert [(each.name, each.width_mm) for each in pieces_of([], [written])] == [("wall", 1180)] * 2


def test_a_set_that_cannot_be_read_is_answered_with_one_that_can() -> None:
    with pytest.raises(RequestError) as refused:
        pieces_of([], ["wall=1180x1750+1180"])
    assert pieces_of([], [str(refused.value).partition(": --set ")[2]])


def test_two_sets_of_one_name_are_refused() -> None:
    with pytest.raises(RequestError) as refused:
        pieces_of([], ["wall=10x10", "wall=20x20"])
    assert str(refused.value) == ("two sets are called 'wall': give each its own name, or join them with +")


def test_a_job_without_pieces_is_told_how_to_name_them() -> None:
    with pytest.raises(RequestError) as refused:
        pieces_of([], [])
    assert "--piece 1200x1800x6" in str(refused.value)


def test_coverage_is_a_sum_or_each_channel() -> None:
    assert coverage_of("62.5") == Coverage(62.5)
    assert coverage_of("C=20, M=15,light cyan=2.5") == Coverage(37.5, {"C": 20, "M": 15, "light cyan": 2.5})


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("much", "'much' is no coverage"),
        ("60%", "'60%' is no coverage"),
        ("C=20,M", "'C=20,M' is no coverage"),
        ("C=20,C=30", "'C=20,C=30' names the channel 'C' twice"),
        ("C=101", "'C=101': no channel inks more than 100 % of an area"),
        ("-5", "'-5' is no coverage"),
    ],
)
def test_what_is_no_coverage_is_refused_with_what_to_write(text: str, said: str) -> None:
    with pytest.raises(RequestError) as refused:
        coverage_of(text)
    assert said in str(refused.value)
