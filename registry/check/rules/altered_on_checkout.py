"""Rule: what lies here is what git holds."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["altered_on_checkout"]


@rule("altered-on-checkout", "error")
def altered_on_checkout(checked: Checked) -> Iterator[Remark]:
    """A file that git calls unchanged lies here byte for byte as git holds it.

    An attribute, a filter or core.autocrlf alters files on their way out of git. Whoever opens the file then
    reads something else than what was checked and has landed.

    To mend: git config core.autocrlf false, take what alters the file out of .gitattributes and out of git's
    settings, then delete the file and git restore it. Where it was edited behind git's back, git update-index
    --no-assume-unchanged --no-skip-worktree shows the change.
    """
    altered = checked.snapshot.checkout().altered
    for path in checked.paths:
        if checked.asked(path) and (data := altered(path)) is not None:
            yield Remark(
                path,
                "git calls this unchanged, but it is not what git holds",
                "git config core.autocrlf false, take out what alters it, delete it and git restore it",
                found=_difference(data, checked.snapshot.read(path)),
                allowed="the bytes that git holds",
                line=1,
                column=1,
            )


def _difference(here: bytes, held: bytes) -> str:
    """Say in words how the bytes here differ from those that git holds."""
    if here.replace(b"\r\n", b"\n") == held.replace(b"\r\n", b"\n"):
        return "other line ends"
    pairs = zip(here.split(b"\n"), held.split(b"\n"), strict=False)
    line = next((number for number, (one, other) in enumerate(pairs, 1) if one != other), 0)
    return f"other bytes from line {line} on" if line else "another length"
