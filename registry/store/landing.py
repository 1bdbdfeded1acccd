"""Landing: a commit whose first parent is the shared tip and whose second parent is what is landed on it."""

from collections.abc import Mapping
from datetime import datetime, timedelta, timezone

from registry.errors import RegistryError
from registry.store.repository import Repository
from registry.store.walk import Moment
from registry.store.write import Overtaken, Series, Signature

__all__ = ["ClockAhead", "ClockBehind", "Diverged", "NothingToLand", "check_clock", "land"]

_TOO_FAR = timedelta(days=3653)
"""So long after the last landing no registry that is in use is written to."""


class ClockBehind(RegistryError):
    """The clock says an earlier time than that of the last landing."""

    def __init__(self, now: datetime, last: datetime) -> None:
        super().__init__(now, last)
        self.now = now
        self.last = last

    def __str__(self) -> str:
        return (
            f"the clock is behind: it says {self.now.isoformat()} and the last landing was at "
            f"{self.last.isoformat()}; set the clock right. If it is right and that landing was not, land "
            "something with the right time first: git commit --allow-empty"
        )


class ClockAhead(ClockBehind):
    """The clock says a time far beyond that of the last landing."""

    def __str__(self) -> str:
        return (
            f"the clock has run ahead: it says {self.now.isoformat()} and the last landing was at "
            f"{self.last.isoformat()}; set the clock right. If it is right, land something with it first: "
            "git commit --allow-empty"
        )


class Diverged(RegistryError):
    """The shared branch has moved on and nothing says what the merged records are."""

    def __init__(self, tip: str, brought: str, lacking: int) -> None:
        super().__init__(tip, brought, lacking)
        self.tip = tip
        self.brought = brought
        self.lacking = lacking

    def __str__(self) -> str:
        return (
            f"the shared tip {self.tip} has {self.lacking} commits that {self.brought} lacks: "
            "merge the records first and land the merged files"
        )


class NothingToLand(RegistryError):
    """The shared branch has it already."""

    def __init__(self, tip: str, brought: str) -> None:
        super().__init__(tip, brought)
        self.tip = tip
        self.brought = brought

    def __str__(self) -> str:
        return f"nothing to land: the shared tip {self.tip} holds {self.brought} already"


def check_clock(now: datetime, last: Moment) -> None:
    """Refuse a clock that says a time before the last landing, or far beyond it."""
    zone = timezone(timedelta(minutes=last.offset))
    landed = datetime.fromtimestamp(last.epoch, zone)
    if int(now.timestamp()) < last.epoch:
        raise ClockBehind(now, landed)
    if now - landed > _TOO_FAR:
        raise ClockAhead(now, landed)


def land(
    where: Repository | Series,
    tip: str,
    brought: str,
    files: Mapping[str, bytes | None] | None,
    message: str,
    *,
    committer: Signature,
    sign: bool | None = None,
) -> str:
    """Make the landing of `brought` on the shared tip and return its commit.

    `files` is what the merge changes in the shared tip's tree (None as content removes one); without it the
    tree is that of `brought`, which must then hold the whole shared tip. With no remote the shared branch
    moves to the landing, and the checkout with it; with a remote nothing moves: the commit is there to be
    pushed. In a series the branch moves when the series is finished; a series has its own say on signing.
    """
    if isinstance(where, Series):
        return _landed(where, tip, brought, files, message, committer=committer)
    shared = where.shared()
    with Series(where, sign=sign) as series:
        local = shared.how == "branch"
        at = series.start if local else shared.commit
        if at != tip:
            raise Overtaken(shared.ref, tip, f"it is at {at}")
        commit = _landed(series, tip, brought, files, message, committer=committer)
        return series.finish() if local else commit


def _landed(
    series: Series,
    tip: str,
    brought: str,
    files: Mapping[str, bytes | None] | None,
    message: str,
    *,
    committer: Signature,
) -> str:
    repository = series.repository
    counted = repository.git.run("rev-list", "--left-right", "--count", f"{tip}...{brought}", "--")
    lacking, new = map(int, counted.split())
    if not new:
        raise NothingToLand(tip, brought)
    if lacking and files is None:
        raise Diverged(tip, brought, lacking)
    check_clock(committer.when, repository.time_of(tip))
    tree = series.tree(brought) if files is None else series.tree(tip, files)
    return series.record(tree, [tip, brought], message, author=committer)
