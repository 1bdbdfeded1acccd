"""What counts as written after the complaint came in."""

from dataclasses import replace

import pytest

from registry.audit.answer import Origin
from registry.audit.entries import late
from registry.audit.request import of_complaint
from registry.question.registry import Registry
from registry.question.when import moment
from tests.audit.story import COMPLAINT


def origin(registry: Registry, recorded: str, landed: str) -> Origin:
    return Origin("r2", recorded, "harbour-yard", moment(registry, landed), ("specialist",), "")


@pytest.mark.parametrize(
    ("recorded", "landed", "words"),
    [
        ("2025-12-12", "2025-12-12", ""),
        ("2025-12-13", "2025-12-13", ""),
        ("2025-12-14", "2025-12-13", "recorded on 2025-12-14, after the complaint came in on 2025-12-13"),
        ("2025-12-13", "2025-12-14T00:01", "landed on 2025-12-14, after the complaint came in on 2025-12-13"),
        ("", "2025-12-15", "landed on 2025-12-15, after the complaint came in on 2025-12-13"),
    ],
)
def test_an_entry_is_late_from_the_day_after(
    december: Registry, recorded: str, landed: str, words: str
) -> None:
    request = of_complaint(december, COMPLAINT)
    assert late(december, request, origin(december, recorded, landed)) == words


@pytest.mark.parametrize(("written", "accused"), [("2025-12-13", False), ("2025-12-14T00:01", True)])
def test_what_was_written_in_time_is_not_late_for_having_landed_later(
    december: Registry, written: str, accused: bool
) -> None:
    request = of_complaint(december, COMPLAINT)
    entry = replace(origin(december, "2025-12-12", "2025-12-20"), written=moment(december, written))
    assert bool(late(december, request, entry)) is accused


def test_without_a_complaint_nothing_is_late(december: Registry) -> None:
    request = replace(of_complaint(december, COMPLAINT), received="")
    assert late(december, request, origin(december, "2026-01-01", "2026-01-01")) == ""


def test_where_a_clone_is_cut_off_the_landing_proves_nothing(december: Registry) -> None:
    request = of_complaint(december, COMPLAINT)
    cut = replace(origin(december, "2025-12-12", "2025-12-20"), cut=True)
    assert late(december, request, cut) == ""
    assert late(december, request, replace(cut, recorded="2025-12-14")) != ""
