"""Rule: no revision is there twice."""

from collections.abc import Iterator

from registry.check.changing import content_changed, revision_of
from registry.check.checked import REVISED, Checked, Document
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown
from registry.model.kinds import Place
from registry.question.landed import LandedFile

__all__ = ["revision_repeated"]


@rule("revision-repeated", "warning")
def revision_repeated(checked: Checked) -> Iterator[Remark]:
    """What a merge brings of a record has a higher revision than what had landed of it before.

    Where two shops revise one record at the same time, both give it the same number; and plain git merges
    them so, or with one side alone. Cards and runs that name the number can then mean either, and what the
    one shop changed may be gone in what the other wrote.

    To mend: see with litstock diff what of the other revision is lost, bring it back, and raise the revision.
    What has landed stays as it is: litstock revise writes the next one.
    """
    for document, landed, versions in _doubtful(checked):
        newest, before, *older = versions
        number = revision_of(before)
        if before.faults or number is None or not content_changed(newest, before):
            continue
        if newest.content["revision"] > number:
            continue
        lost = _taken_back(newest, before, older[0]) if older else []
        back = f", and takes back: {', '.join(lost)}" if lost else ""
        if newest is document:
            yield document.remark(
                "/revision",
                f"revision {number} has landed, and this one says something else{back}",
                f"see what is lost with litstock diff {document.id} {document.id}@draft, and set the "
                f"revision to {number + 1}",
                found=shown(newest.content["revision"]),
                allowed=shown(number + 1),
            )
        else:
            yield document.remark(
                "/revision",
                f"the revision landed twice, and the later landing says something else{back}",
                f"see what is lost with litstock diff {document.id}@r{landed.times - 1} "
                f"{document.id}@r{landed.times}, and bring it back with litstock revise",
                found=f"{shown(newest.content['revision'])} twice",
            )


def _doubtful(checked: Checked) -> Iterator[tuple[Document, LandedFile, list[Document]]]:
    """Yield each record that may repeat a revision, with how it landed, and its versions, newest first."""
    history = checked.history
    if history is None:
        return
    doubtful: list[tuple[Document, LandedFile, bool]] = []
    for document in checked.of(*REVISED):
        landed, number = history.of(document.path), document.content["revision"]
        if landed is None or number > landed.times or (number == landed.times and not history.merging):
            continue
        same = history.is_called(document.data, landed.contents[0])
        if (same and number < landed.times and landed.merged) or (not same and history.merging):
            doubtful.append((document, landed, same))
    contents = history.read({name for _, landed, _ in doubtful for name in landed.contents})
    for document, landed, same in doubtful:
        place = Place(document.kind, document.id)
        versions = [Document(document.path, place, contents[name]) for name in landed.contents]
        versions = versions if same else [document, *versions]
        if len(versions) > 1 and not versions[0].faults:
            yield document, landed, versions


def _taken_back(newest: Document, before: Document, older: Document) -> list[str]:
    """Return the labels of what a revision changed and the newest has as it was before that."""
    now, then, once = (each.shape.flatten(each.content) for each in (newest, before, older))
    return [
        found.label
        for path, found in then.items()
        if not found.setting.aside
        and path in now
        and path in once
        and now[path].value == once[path].value != found.value
    ]
