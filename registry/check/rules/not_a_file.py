"""Rule: records are files and folders."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["not_a_file"]


@rule("not-a-file", "error")
def not_a_file(checked: Checked) -> Iterator[Remark]:
    """Below records/ lie files and folders only: no symbolic link, no submodule, no pipe, no vast file.

    A link can point out of the repository, and what it shows then depends on the machine that reads it. A
    pipe never ends, and a file of hundreds of megabytes is no record and no measurement: neither is read.

    To mend: remove the link and put the file itself in its place.
    """
    for path, what in sorted(checked.snapshot.refused().items()):
        if checked.asked(path):
            yield Remark(
                path,
                "this is no file that can be read, nor a folder",
                "remove it and put the file itself in its place",
                found=what,
                allowed="files of at most 64 MiB, and folders",
            )
