"""Rule: a record stays about the same thing."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["identity_changed"]


@rule("identity-changed", "error", of_changes=True)
def identity_changed(checked: Checked) -> Iterator[Remark]:
    """What makes a record what it is does not change.

    With another substrate, printer, lighting or print side in a mode, or another printer model in a unit,
    the runs and confirmations of earlier revisions would suddenly speak of another thing.

    To mend: take the change back; withdraw the record, and write a new one for the other thing.
    """
    for new, old in checked.changed:
        for path, setting in new.shape.settings.items():
            if old is None or not setting.identity:
                continue
            before, after = old.content.get(path), new.content.get(path)
            if before != after:
                yield new.remark(
                    f"/{path}",
                    f"{setting.label} makes this {new.kind} what it is, and never changes",
                    "take the change back, and write a new record for the other thing",
                    found=shown(after),
                    allowed=shown(before),
                )
