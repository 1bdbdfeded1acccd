"""The README says what the program does."""

from pathlib import Path

from tools.update_readme import README, written


def test_every_command_in_the_readme_prints_what_it_says(tmp_path: Path) -> None:
    text = README.read_text(encoding="utf-8")
    assert written(text, tmp_path).splitlines() == text.splitlines(), "run python tools/update_readme.py"


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, _ = README.read_text(encoding="utf-8").split("\n\n", 2)
    assert title == "# litstock"
    assert all(word in paragraph for word in ("settings", "backlit", "card", "complains"))
