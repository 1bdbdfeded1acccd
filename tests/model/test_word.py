"""Which of several words on one machine's prints counts."""

from typing import Any

from registry.model.word import Word, counting, word_in

SAID = {"mode": "a/b/c", "settings_digest": "0" * 64, "site": "quay", "unit": "quay/one", "outcome": "good"}


def said(rid: str, date: str, written: str = "2026-03-01", **more: Any) -> Word:
    return word_in(rid, rid, SAID | {"date": date, "recorded": {"date": written}} | more)


def names(*words: Word) -> list[str]:
    return [word.of for word in counting(words)]


def test_the_latest_word_decides_and_earlier_ones_that_agree_count_with_it() -> None:
    good, again = said("a", "2026-01-01"), said("c", "2026-01-03", outcome="usable")
    failed = said("b", "2026-01-02", outcome="failed")
    assert names(failed, again, good) == ["a", "c"]
    assert names(failed, good) == ["b"]


def test_of_one_day_the_word_written_later_and_then_the_second_record_decide() -> None:
    first, second = said("day-x", "2026-01-01", outcome="failed"), said("day-x-2", "2026-01-01")
    tenth = said("day-x-10", "2026-01-01", outcome="failed")
    assert names(second, first) == ["day-x-2"]
    assert names(second, first, tenth) == ["day-x", "day-x-10"]
    written = said("day-a", "2026-01-01", "2026-03-02", outcome="failed")
    assert names(second, written) == ["day-a"]


def test_words_of_other_sites_machines_modes_and_settings_stand_beside_each_other() -> None:
    others: list[dict[str, Any]] = [
        {"site": "mill"},
        {"unit": "quay/two"},
        {"unit": ""},
        {"mode": "a/b/d"},
        {"settings_digest": "1" * 64},
    ]
    words = [said(f"r{n}", "2026-01-02", outcome="failed", **more) for n, more in enumerate(others)]
    assert names(said("good", "2026-01-01"), *words) == ["good", "r0", "r1", "r2", "r3", "r4"]
