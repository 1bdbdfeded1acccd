"""Rule: a retired setting is not written any more."""

from collections.abc import Iterator
from itertools import takewhile

from registry.canonical import join_pointer
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown
from registry.model.shape import ANY

__all__ = ["retired"]


@rule("retired", "error", of_changes=True)
def retired(checked: Checked) -> Iterator[Remark]:
    """A setting that the registry's schema version has retired is not given to a record any more.

    What has landed keeps it: it is read, compared and part of the digest. Another setting says today what it
    said, and a value under both would sooner or later say two things.

    To mend: leave it out, and give the setting that stands in its place.
    """
    for new, old in checked.changed:
        before = old.shape.flatten(old.content) if old and old.sound else {}
        for path, found in new.shape.flatten(new.content).items():
            if not 0 < found.setting.retired <= checked.version:
                continue
            if path not in before or before[path].value != found.value:
                group = takewhile(lambda part: part != ANY, found.setting.path.split("."))
                yield new.remark(
                    join_pointer(group),
                    f"{found.label!r} is not written any more",
                    found.setting.meaning,
                    found=shown(found.value),
                )
