"""Rule: a mode's status and its withdrawal agree."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["withdrawn_status"]


@rule("withdrawn-status", "error")
def withdrawn_status(checked: Checked) -> Iterator[Remark]:
    """A print mode has the status withdrawn exactly when it says when and why it was withdrawn.

    Some readers look at the status, others at the withdrawal; both must keep the mode from being used.

    To mend: withdraw it with day and reason, or, where it is not withdrawn, take the withdrawal out.
    """
    for document in checked.of("print-mode"):
        said, status = "withdrawn" in document.content, document.content["status"]
        if said != (status == "withdrawn"):
            yield document.remark(
                "/status",
                "status and withdrawal disagree",
                "set the status to withdrawn" if said else "say in 'withdrawn' when and why",
                found=f"{shown(status)} {'with' if said else 'without'} a withdrawal",
                allowed='"withdrawn" with a withdrawal, any other status without',
            )
