"""Rule: an attachment is the one that the record means."""

import hashlib
from collections.abc import Iterator

from registry.check.attaching import attached
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["attachment_altered"]


@rule("attachment-altered", "error")
def attachment_altered(checked: Checked) -> Iterator[Remark]:
    """The SHA-256 that a record gives for an attachment is that of the file's bytes.

    Another profile under the same name prints other colours, and nothing else in the record would show it.

    To mend: attach the right file; or, where the new file is meant, under a new name with its own check sum.
    """
    for each in attached(checked):
        for path in each.places:
            if each.sha256 and path in checked.places:
                found = hashlib.sha256(checked.bytes_of(path)).hexdigest()
                if found != each.sha256:
                    yield each.document.remark(
                        f"{each.pointer}/sha256",
                        f"the {each.kind} is not the one that the record means",
                        "attach the right file, or give the check sum of the one that is meant",
                        found=f"{found} ({path})",
                        allowed=each.sha256,
                    )
