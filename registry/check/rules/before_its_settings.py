"""Rule: nothing was printed or judged with settings that were not there yet."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["before_its_settings"]

_WHEN = {"run": "printed", "confirmation": "date", "event": "at"}


@rule("before-its-settings", "error")
def before_its_settings(checked: Checked) -> Iterator[Remark]:
    """A run, an adoption or a confirmation is not dated before the revision that it names was written.

    A print judged before its settings existed was judged with others, so it proves nothing of these.

    To mend: correct the day, or name the revision that was in use then.
    """
    for document in checked.of(*_WHEN):
        named = document.content.get("mode")
        mode = checked.find("print-mode", named) if named else None
        if mode is None or not mode.sound:
            continue
        written = mode.content["recorded"]["date"]
        member = _WHEN[document.kind]
        day = document.content[member][:10]
        if document.content.get("mode_revision") == mode.content["revision"] and day < written:
            yield document.remark(
                f"/{member}",
                "it is dated before the settings that it names were written",
                "correct the day, or name the revision that was in use then",
                found=shown(document.content[member]),
                allowed=f"from {written}, when revision {mode.content['revision']} was written",
            )
