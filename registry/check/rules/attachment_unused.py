"""Rule: somebody names each attachment."""

from collections.abc import Iterator

from registry.check.attaching import attached
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["attachment_unused"]


@rule("attachment-unused", "warning")
def attachment_unused(checked: Checked) -> Iterator[Remark]:
    """Every attachment is named by a record, or was when it landed.

    A file that nobody names is usually a slip: the record was meant to name it, and names none or another.

    To mend: name it in the record that it belongs to. Once landed it stays, as everything does.
    """
    landed = checked.base.places if checked.base else {}
    new = [(path, kind) for path, kind in checked.attachments() if path not in landed]
    if not new or any(checked.doubtful(kind) for kind in ("print-mode", "display", "application")):
        return  # what a doubtful record names is not known
    named = {path for each in attached(checked, everywhere=True) for path in each.places}
    for path, kind in new:
        if path not in named:
            yield Remark(path, f"no record names this {kind}", "name it in the record that it belongs to")
