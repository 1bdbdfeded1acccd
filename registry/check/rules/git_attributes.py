"""Rule: git leaves the files as they are."""

from collections.abc import Iterator

from registry.check.attributes import harms
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["git_attributes"]

_PATH = ".gitattributes"
_ALLOWED = "'*.json text eol=lf', '-text', and what only shows a file otherwise (diff, linguist-…)"


@rule("git-attributes", "error")
def git_attributes(checked: Checked) -> Iterator[Remark]:
    """No line of .gitattributes lets git alter, hide or silently merge what lies below records/.

    Attributes such as ident, filter, working-tree-encoding or eol=crlf make a checkout differ from what git
    holds: a broken record looks whole here and is missing elsewhere, other line ends spoil a profile.

    To mend: take the attribute out, or begin the pattern with the folder that it is meant for, such as
    docs/*.md; for the records keep the three lines that litstock start writes.
    """
    beside = checked.snapshot.checkout()
    if not checked.asked(_PATH):
        return
    if what := beside.top.get(_PATH, ""):
        yield Remark(_PATH, "this is no file", "put the file itself here", found=what, line=1, column=1)
    for harm in harms(beside.attributes):
        yield Remark(
            _PATH,
            harm.why,
            "take it out, or begin the pattern with a folder other than records/, such as docs/*.md",
            found=repr(harm.found),
            allowed=_ALLOWED,
            line=harm.line,
            column=1,
        )
