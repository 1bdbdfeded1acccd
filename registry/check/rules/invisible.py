"""Rule: what a record says can be seen."""

from collections.abc import Iterator
from typing import Any

from registry import canonical
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.model.kinds import KINDS

__all__ = ["invisible"]


@rule("invisible", "error", of_changes=True)
def invisible(checked: Checked) -> Iterator[Remark]:
    """A new or changed text holds no character that takes no room on paper or screen.

    Two titles or job numbers that look alike would not be the same, and a text could carry words that nobody
    sees. A joiner may stand behind a letter of a script that is written with joiners.

    To mend: remove the character; it often comes along from a web page or another program.
    """
    for document in checked.of(*KINDS):
        old = checked.base.document(document.path) if checked.base else None
        if old and old.data == document.data:
            continue
        known = {text for _, text in _texts((), old.content)} if old else set()
        for pointer, text in _texts((), document.content):
            for at, point in canonical.invisible(text) if text not in known else ():
                yield document.remark(
                    pointer,
                    f"character {at} is {point}, which nobody sees",
                    "remove it",
                    found=canonical.visible(text),
                    allowed="characters that can be seen",
                )


def _texts(parts: tuple[str, ...], value: Any) -> Iterator[tuple[str, str]]:
    """Yield every text in a value with its pointer."""
    if isinstance(value, str):
        yield canonical.join_pointer(parts), value
    elif isinstance(value, dict):
        for name, held in value.items():
            yield from _texts((*parts, name), held)
    elif isinstance(value, list):
        for number, held in enumerate(value):
            yield from _texts((*parts, str(number)), held)
