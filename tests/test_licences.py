"""What litstock brings along leaves it as free as its own licence says (SPDX names; trove classifiers)."""

import pytest

from tools.licences import fits, listed


@pytest.mark.parametrize(
    "words",
    [
        "MIT",
        "MIT License",
        "Apache-2.0 OR BSD-2-Clause",
        "BSD-3-Clause AND 0BSD AND MIT AND Zlib AND CC0-1.0",
        "Python Software Foundation License",
        "Mozilla Public License 2.0 (MPL 2.0)",
    ],
)
def test_a_licence_that_asks_no_more_than_a_notice_fits(words: str) -> None:
    assert fits(words)


@pytest.mark.parametrize(
    "words",
    [
        "",
        "GNU General Public License v3 or later (GPLv3+)",
        "GNU GPLv3+",
        "LGPL-2.1-or-later",
        "MIT; GNU General Public License v3 (GPLv3)",
        "Dual Licensed - GNU AFFERO GPL 3.0 or Artifex Commercial License",
        "Proprietary",
    ],
)
def test_a_licence_that_asks_more_or_is_not_said_does_not(words: str) -> None:
    assert not fits(words)


def test_what_is_required_is_found_with_what_that_requires_and_all_of_it_fits() -> None:
    shipped = {name.partition(" ")[0].lower(): words for name, words in listed().items()}
    assert {"click", "jsonschema", "rfc3339-validator", "six", "typing_extensions"} <= shipped.keys()
    assert "pytest" not in shipped
    assert {name: words for name, words in shipped.items() if not fits(words)} == {}


def test_what_the_tests_alone_use_is_told_apart() -> None:
    tests = {name.partition(" ")[0].lower() for name in listed("test")}
    shipped = {name.partition(" ")[0].lower() for name in listed()}
    assert {"pytest", "pymupdf"} <= tests - shipped
    assert shipped <= tests
