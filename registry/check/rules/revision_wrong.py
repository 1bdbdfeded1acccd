"""Rule: the revision rises by one with each change."""

from collections.abc import Iterator

from registry.check.changing import content_changed, revision_of
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["revision_wrong"]

_ABOUT = ("revision", "reason", "recorded")


@rule("revision-wrong", "error", of_changes=True)
def revision_wrong(checked: Checked) -> Iterator[Remark]:
    """A record starts at revision 1, and the revision rises by one exactly when the record changes.

    A revision stands on cards and in runs. The same number for two contents, or two numbers for one, makes
    them all doubtful. Where nothing else changed, reason and recorded stay as well.

    To mend: set the revision that the finding allows.
    """
    for new, old in checked.changed:
        before = 0 if old is None else revision_of(old)
        if old is None or content_changed(new, old):
            after = new.content["revision"]
            if before is not None and after != before + 1:
                yield new.remark(
                    "/revision",
                    f"a {'new' if old is None else 'changed'} record has another revision",
                    f"set the revision to {before + 1}",
                    found=shown(after),
                    allowed=shown(before + 1),
                )
            continue
        for member in _ABOUT:
            if new.content[member] != old.content.get(member):
                yield new.remark(
                    f"/{member}",
                    f"nothing else changed, so {member} stays as it is",
                    "take the change back, or make the change that it announces",
                    found=shown(new.content[member]),
                    allowed=shown(old.content.get(member)),
                )
