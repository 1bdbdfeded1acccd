"""What is odd about what has landed, told by the read model."""

from collections.abc import Iterator
from itertools import groupby

from registry.index.left_out import LeftOut, left_out
from registry.index.readmodel import Revision
from registry.model.kinds import KINDS
from registry.question.dates import day_of
from registry.question.landed import Oddity
from registry.question.registry import Registry
from registry.question.revisions import Known, digest_of, known, landed_on, with_digest

__all__ = ["oddities"]

_DIGITS = 12


def oddities(registry: Registry) -> Iterator[Oddity]:
    """Yield that the branch was rewritten, landings dated before what they brought, what merges left out."""
    if strayed := registry.model.strayed():
        yield Oddity("rewritten", registry.rewritten(strayed))
    yield from _early(registry)
    for lost in left_out(registry.model):
        yield _left_out(registry, lost)


def _early(registry: Registry) -> Iterator[Oddity]:
    """Yield which landings are dated before a record that they brought says it was recorded: one for each."""
    days = {each.n: day_of(registry, each.landed) for each in registry.model.landings()}
    for n, brought in groupby(registry.model.recorded_after(days), key=lambda each: each.n):
        first, *more = brought
        others = f" (and {len(more)} more)" if more else ""
        yield Oddity(
            "clock",
            f"commit {registry.model.landing(n).commit[:12]} counts as landed on {days[n]}, but {first.path} "
            f"says that it was recorded on {first.recorded}{others}",
        )


def _left_out(registry: Registry, lost: LeftOut) -> Oddity:
    model = registry.model
    which = [each for each in known(model, lost.path) if each.blob == lost.blob and each.n <= lost.n][-1]
    if isinstance(which, Revision):
        came = f"landed on {landed_on(registry, which)}"
    else:
        came = f"written on {day_of(registry, which.committed)} by {which.author}"
    why = f": {which.reason}" if which.reason else ""
    merge = day_of(registry, model.landing(lost.n).landed)
    return Oddity(
        "left-out",
        f"the merge of {merge} left out {which.label}, {came}{why}",
        _mend(registry, which),
        lost.path,
        max((each.number for each in model.named(which.rid, which.kind)), default=lost.revision),
    )


def _mend(registry: Registry, which: Known) -> str:
    """Return how to see what was left out, and how to settle it."""
    shown = f"git show {which.blob[:_DIGITS]} shows what is lost"
    if KINDS[which.kind].once or not registry.model.named(which.rid, which.kind):
        return f"{shown}: put that file back as it is, under another name where its own is taken"
    digest = digest_of(registry, which)[:_DIGITS]
    same = with_digest(registry, which.path, digest).values()
    if [each.blob for each in same] == [which.blob]:  # else the digest means a later one with these settings
        shown = f"litstock diff {which.rid}@{digest} {which.rid} shows what is lost"
    return f"{shown}: bring back what still holds with litstock revise, which settles it"
