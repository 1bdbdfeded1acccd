"""What a contribution changes is held to every rule, though what is wrong in it may have been so before."""

import pytest

from registry.contribute.prepare import Writer, revise
from registry.contribute.verified import Refused, verified
from tests import small
from tests.contribute.conftest import Files

WRITER = Writer("mill-lane", "2025-12-01")
MODE_PATH = small.mode_path(small.MODE)
FILM_PATH = f"records/substrates/{small.FILM}/substrate.json"


@pytest.fixture
def broken(tree: Files) -> Files:
    """The small registry with a mode whose web is hotter than its heaters, and than its film bears."""
    mode = tree.document(MODE_PATH)
    web = str(mode["heat"]["web_centre_c"]).encode()
    tree.files[MODE_PATH] = tree.files[MODE_PATH].replace(b'"web_centre_c": ' + web, b'"web_centre_c": 119')
    return tree


def test_a_fault_that_was_there_before_is_refused_in_what_is_changed(broken: Files) -> None:
    changed = revise(broken, MODE_PATH, {"notes": ["Kept its colour."]}, writer=WRITER, reason="Note")
    with pytest.raises(Refused) as refused:
        verified(broken, changed)
    assert {(each.code, each.path) for each in refused.value.findings} == {
        ("web-above-heaters", MODE_PATH),
        ("web-too-hot", MODE_PATH),
    }


def test_a_fault_that_was_there_before_does_not_stop_what_is_changed_elsewhere(broken: Files) -> None:
    changed = revise(broken, FILM_PATH, {"notes": ["Curls."]}, writer=WRITER, reason="Note")
    assert verified(broken, changed) == []
