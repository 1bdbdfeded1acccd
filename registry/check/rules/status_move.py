"""Rule: a status moves only as far as the evidence carries."""

from collections.abc import Iterator

from registry.check.checked import Checked, Document
from registry.check.confirming import confirmed_as_good
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["status_move"]


@rule("status-move", "error", of_changes=True)
def status_move(checked: Checked) -> Iterator[Remark]:
    """A withdrawal stays, and a known-good mode goes on trial only with other settings, or unconfirmed.

    Cards and shops were told not to use it, and are not told again. A known-good mode that turned out bad is
    withdrawn, so that everyone hears of it; where the site that had confirmed it says otherwise now, it may
    be on trial again.

    To mend: write a new record in place of the withdrawn one; withdraw the mode, or change its settings.
    """
    for new, old in checked.changed:
        if old is None:
            continue
        before, after = _standing(old), _standing(new)
        if before == "withdrawn" != after:
            yield new.remark(
                "/status" if "status" in new.content else "",
                "what is withdrawn stays withdrawn",
                "bring the withdrawal back, and write a new record",
                found=shown(after),
                allowed='"withdrawn"',
            )
        elif (
            (before, after) == ("known-good", "trial")
            and new.digest == old.digest
            and new.digest in confirmed_as_good(checked).get(new.id, ())
        ):
            yield new.remark(
                "/status",
                "a confirmed known-good mode goes on trial only when its settings change",
                "withdraw it, or change its settings",
                found='"trial" with the same settings',
                allowed='"known-good", or "withdrawn" with a reason',
            )


def _standing(document: Document) -> str:
    return str(document.content.get("status", "in use")) if document.live else "withdrawn"
