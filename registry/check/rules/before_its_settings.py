"""Rule: nothing was printed or judged with settings that were not there yet."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["before_its_settings"]

_WHEN = {"run": "printed", "confirmation": "date", "event": "at"}


@rule("before-its-settings", "error", of_changes=True)
def before_its_settings(checked: Checked) -> Iterator[Remark]:
    """A run, an adoption or a confirmation is not dated before the revision that it names was written.

    A print judged before its settings existed was judged with others, so it proves nothing of these.

    To mend: correct the day, or name the revision that was in use then.
    """
    if checked.base is None:
        return
    for document in checked.of(*_WHEN):
        named, digest = document.content.get("mode"), document.content.get("settings_digest")
        if not named or checked.base.document(document.path) is not None:
            continue
        mode, before = (side.find("print-mode", named) for side in (checked, checked.base))
        if not (mode and mode.sound and mode.digest == digest) or (before and before.digest == digest):
            continue  # settings that were there before may be older than the revision that has them now
        written = mode.content["recorded"]["date"]
        member = _WHEN[document.kind]
        if document.content[member][:10] < written:
            yield document.remark(
                f"/{member}",
                "it is dated before the settings that it names were written",
                "correct the day, or name the revision that was in use then",
                found=shown(document.content[member]),
                allowed=f"from {written}, when they were written",
            )
