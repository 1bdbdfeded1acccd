"""Rule: a merge goes on from what each side had."""

from collections.abc import Iterator

from registry.check.changing import revision_of
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.rules.revision_repeated import revision_repeated

__all__ = ["left_out"]


@rule("left-out", "warning")
def left_out(checked: Checked) -> Iterator[Remark]:
    """What a merge brings of a record goes on from each side's revision, or has a higher number than each.

    A merge that takes one side's file as it is throws away what the other shop had written, and nobody hears
    of it: cards and runs of those settings are then of nothing that anybody can land on.

    To mend: see what is lost, bring back what still holds with litstock revise. The higher number settles it,
    whatever was brought back.
    """
    lost = [odd for odd in checked.history.oddities() if odd.of == "left-out"] if checked.history else []
    told = {remark.path for remark in revision_repeated.find(checked)} if lost else set()
    for odd in lost:
        if odd.path in told or not checked.asked(odd.path):
            continue
        document = checked.document(odd.path) if odd.path in checked.places else None
        if document is None or (revision_of(document) or 0) <= odd.number:
            yield Remark(odd.path, odd.words, odd.remedy, line=1, column=1)
