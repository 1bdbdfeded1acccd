"""Rule: what is seen from behind is mirrored, and nothing else is."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["mirroring"]


@rule("mirroring", "error")
def mirroring(checked: Checked) -> Iterator[Remark]:
    """A second-surface print is mirrored before printing, and a first-surface print is not.

    Seen from the side it is meant for, any other reads backwards.

    To mend: set mirrored as the print side has it.
    """
    for case in checked.live_modes:
        behind = case.mode["print_side"] == "second-surface"
        if case.mode["mirrored"] != behind:
            yield case.document.remark(
                "/mirrored",
                "the print would read backwards",
                f"set mirrored to {'true' if behind else 'false'}, or correct the print side",
                found=f"{case.mode['print_side']}, {'not ' if behind else ''}mirrored",
                allowed=f"{case.mode['print_side']}, {'' if behind else 'not '}mirrored",
            )
