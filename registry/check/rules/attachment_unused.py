"""Rule: somebody names each new attachment."""

from collections.abc import Iterator

from registry.check.attaching import attached
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["attachment_unused"]


@rule("attachment-unused", "warning", of_changes=True)
def attachment_unused(checked: Checked) -> Iterator[Remark]:
    """Every attachment that is new against the base is named by a record.

    A file that nobody names is usually a slip: the record was meant to name it, and names none or another.
    What has landed stays, also when later revisions name another.

    To mend: name it in the record that it belongs to, or leave it out.
    """
    if checked.base is None:
        return
    new = [(path, kind) for path, kind in checked.attachments() if path not in checked.base.places]
    if not new or any(checked.doubtful(kind) for kind in ("print-mode", "display", "application")):
        return  # what a doubtful record names is not known
    named = {path for each in attached(checked, everywhere=True) for path in each.places}
    for path, kind in new:
        if path not in named:
            yield Remark(path, f"no record names this {kind}", "name it in the record that it belongs to")
