"""Rule: what happened is never rewritten."""

from collections.abc import Iterator

from registry.check.checked import ONCE, Checked, differs
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["edited_once_written"]


@rule("edited-once-written", "error", of_changes=True)
def edited_once_written(checked: Checked) -> Iterator[Remark]:
    """An event, a run or a confirmation that has landed says today what it said then.

    It is the evidence of an audit. Evidence that can be changed afterwards is none.

    To mend: take the change back, and write another record that says what is so.
    """
    if checked.base is None:
        return
    for document in checked.of(*ONCE):
        before = checked.base.document(document.path)
        if before is not None and differs(document, before):
            changed = sorted(
                name
                for name in document.content.keys() | before.content.keys()
                if document.content.get(name) != before.content.get(name)
            )
            yield document.remark(
                f"/{changed[0]}" if changed else "",
                f"the {document.kind} has landed, and is never edited",
                "take the change back, and write another record that says what is so",
                found=f"a change of {', '.join(changed)}",
                allowed="no change",
            )
