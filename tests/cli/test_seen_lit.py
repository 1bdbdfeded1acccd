"""Who calls a print to be lit good says where it was seen lit, and how long after printing."""

from pathlib import Path

from tests import small
from tests.cli.conftest import Litstock
from tests.cli.test_writing import document, git

GOOD = ("--outcome", "good", "--unit", small.OTHER_UNIT)
LIT = ("--seen", "on-light-table")


def test_a_good_word_right_after_the_run_is_refused_and_says_what_to_give(
    litstock: Litstock, registry: Path
) -> None:
    head = git(registry, "rev-parse", "HEAD")
    both = litstock("confirm", f"{small.MODE}@r4", *GOOD, code=2).stderr
    assert "say where it was seen lit: --display DISPLAY, or --seen on-light-table" in both
    assert "how long after printing: --hours HOURS" in both
    assert "--seen" not in litstock("confirm", f"{small.MODE}@r4", *GOOD, *LIT, code=2).stderr.split("(")[0]
    assert git(registry, "rev-parse", "HEAD") == head


def test_a_display_says_by_itself_where_a_print_was_seen(litstock: Litstock, registry: Path) -> None:
    made = litstock(
        "confirm", f"{small.MODE}@r4", *GOOD, "--display", "harbour-yard/concourse-a", "--hours", "30"
    )
    said = document(registry, made.stdout.strip())
    assert (said["seen"], said["hours"]) == ("in-display", 30)


def test_a_good_word_on_a_print_that_was_not_lit_is_kept_and_makes_nothing_known_good(
    litstock: Litstock, registry: Path
) -> None:
    made = litstock("confirm", f"{small.MODE}@r4", *GOOD, "--seen", "not-lit", "--hours", "30")
    assert document(registry, made.stdout.strip())["seen"] == "not-lit"
    assert "not known good yet: no site has confirmed these settings" in made.stderr
    lit = (*LIT, "--hours", "31", "--note", "Seen lit next day")
    again = litstock("confirm", f"{small.MODE}@r4", *GOOD, *lit)
    assert "no site has confirmed these settings" not in again.stderr


def test_who_judges_before_the_rest_that_the_settings_ask_for_is_told(litstock: Litstock) -> None:
    site = ("--site", "harbour-yard")
    litstock("revise", small.MODE, "--set", "waits.judging_h=24", "--reason", "Judge next day", *site)
    early = litstock("confirm", f"{small.MODE}@r5", *GOOD, *LIT, "--hours", "1")
    assert "beware: judged after 1 h, and its settings ask for 24 h before judging" in early.stderr
    late = litstock("confirm", f"{small.MODE}@r5", *GOOD, *LIT, "--hours", "24", "--note", "Next day")
    assert "before judging" not in late.stderr
