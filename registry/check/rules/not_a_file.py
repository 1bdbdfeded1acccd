"""Rule: records are files and folders."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["not_a_file"]


@rule("not-a-file", "error")
def not_a_file(checked: Checked) -> Iterator[Remark]:
    """Below records/ lie files and folders only: no symbolic link, no submodule.

    A link can point out of the repository, and what it shows then depends on the machine that reads it.

    To mend: remove the link and put the file itself in its place.
    """
    for path, what in sorted(checked.snapshot.refused().items()):
        if checked.asked(path):
            yield Remark(
                path,
                "this is neither a file nor a folder",
                "remove it and put the file itself in its place",
                found=what,
                allowed="files and folders",
            )
