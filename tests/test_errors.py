"""What the system would not do, in words."""

import pytest

from registry.errors import system_words


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (
            OSError(28, "No space left on device", "/media/card.pdf"),
            "'/media/card.pdf' cannot be used (no space",
        ),
        (OSError(28, "No space left on device"), "a file cannot be used (no space left on device)"),
        (OSError("the archive is damaged"), "a file cannot be used (the archive is damaged)"),
    ],
)
def test_what_the_system_refused_is_said_with_the_file_and_the_reason_as_far_as_they_are_known(
    error: OSError, says: str
) -> None:
    assert system_words(error).startswith(says)
    assert system_words(error).endswith("see that you may write there and that there is room")
