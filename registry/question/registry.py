"""A registry as it is asked: its repository, the commit that is shared, the read model, its clock."""

import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import Any

from registry.errors import RegistryError, RequestError
from registry.index.opening import opened
from registry.index.progress import Progress, silent
from registry.index.readmodel import ReadModel
from registry.model.forms import lifted
from registry.model.versions import NEWEST, OtherVersion
from registry.question.merges import merges_words
from registry.store.repository import Repository, find_registry
from registry.store.shared import Tip

__all__ = ["NotThen", "NothingLanded", "Registry", "parse_zone", "silent"]


_LAST = 253402214399
"""9999-12-30T23:59:59Z: a commit's clock may have run away beyond it."""


class NothingLanded(RegistryError):
    """The registry has no commit to answer from."""


class NotThen(RequestError):
    """The record exists, but not as of the time that was asked, or this clone cannot tell."""


class Registry:
    """One registry, open for questions; every answer is given as of `commit`."""

    def __init__(
        self,
        start: Path | None,
        environ: Mapping[str, str],
        progress: Progress = silent,
        notice: Callable[[str], None] = lambda _: None,
    ) -> None:
        self.environ = environ
        self._notice = notice
        self.repository = Repository(find_registry(start, environ))
        self.tip: Tip = self.repository.shared()
        self._progress = progress
        self._documents: dict[str, dict[str, Any]] = {}

    @property
    def commit(self) -> str:
        """The commit from which questions are answered."""
        return self.tip.commit

    @cached_property
    def model(self) -> ReadModel:
        """The read model as of `commit`."""
        if not self.commit:
            raise NothingLanded(
                f"nothing has landed in {str(self.repository.root)!r} yet: commit its records with git, "
                "then ask again"
            )
        model = opened(self.repository, self.commit, self.environ, self._progress)
        if strayed := model.strayed():
            self._notice(self.rewritten(strayed))
        if words := merges_words(model):
            self._notice(words)
        if (version := model.version()) > NEWEST:
            self._notice(f"{OtherVersion(version)}; what it does not know is left out until then")
        return model

    def rewritten(self, strayed: Iterable[str]) -> str:
        """Say that the shared branch no longer holds, as steps of it, where it has stood."""
        dates: dict[int, str] = {}
        for commit in strayed:
            with suppress(RegistryError):  # git has swept it away
                dates[self.repository.time_of(commit).epoch] = commit[:12]
        if not dates:
            return "the shared branch was rewritten: something that had landed is no step of it any more"
        last = max(dates)
        day, commit = f"{datetime.datetime.fromtimestamp(last, datetime.UTC):%Y-%m-%d}", dates[last]
        return (
            f"the shared branch was rewritten: what had landed up to {day} is no step of it any more; "
            f"git log {commit} shows it, git branch rescued {commit} keeps it"
        )

    @cached_property
    def settings(self) -> dict[str, Any]:
        """The record of what holds for the whole registry, as it landed last."""
        if found := self.model.named("registry", "registry"):
            return self.document(found[0].blob)
        for last in self.model.gone("registry", ["registry"]):
            if last.fault and last.blob and self.model.version() > NEWEST:
                return self.document(last.blob)  # it holds what is not known here, and what is
            if last.fault:
                raise RegistryError(f"{last.path}, as it landed last, {last.fault}: litstock check says more")
        return {}

    @cached_property
    def zone(self) -> datetime.tzinfo:
        """The time zone in which a bare date ends."""
        return parse_zone(str(self.settings.get("time_zone", "UTC")))

    @cached_property
    def known_since(self) -> int | None:
        """Epoch seconds before which a shallow clone knows nothing, or None where all is known."""
        if not (self.repository.shallow and self.commit):
            return None
        return self.repository.shallow_since(self.model.landing(1).commit)

    def require_known(self, until: float) -> None:
        """Refuse a moment (epoch seconds) that lies before all that a shallow clone knows."""
        if self.known_since is not None and until < self.known_since:
            raise NotThen(
                f"this clone knows nothing before {self.time(self.known_since):%Y-%m-%d}: "
                "run git fetch --unshallow and ask again"
            )

    def document(self, blob: str) -> dict[str, Any]:
        """Return a document by its blob."""
        return self.documents([blob])[blob]

    def documents(self, blobs: Iterable[str]) -> dict[str, dict[str, Any]]:
        """Return documents by their blobs, read in one go."""
        from registry import canonical  # noqa: PLC0415 (2 ms that only who reads documents pays)

        wanted = list(dict.fromkeys(blobs))
        missing = [blob for blob in wanted if blob not in self._documents]
        kinds = self.model.kinds_of(missing) if missing else {}
        for blob, data in self.repository.blobs(missing):
            self._documents[blob] = lifted(kinds.get(blob, ""), canonical.read(data))
        return {blob: self._documents[blob] for blob in wanted}

    def time(self, epoch: float) -> datetime.datetime:
        """Return a moment on the registry's clock; one that no calendar has, as the last day of all."""
        return datetime.datetime.fromtimestamp(min(epoch, _LAST), self.zone)

    def end_of(self, day: datetime.date) -> float:
        """Return the last second of a day on the registry's clock, in epoch seconds."""
        # where the clock is put back at midnight that second comes twice: fold takes the later
        return datetime.datetime.combine(day, datetime.time(23, 59, 59, fold=1), self.zone).timestamp()


def parse_zone(name: str) -> datetime.tzinfo:
    """Return the time zone of an IANA name or a fixed offset.

    >>> parse_zone("+01:00").utcoffset(None)
    datetime.timedelta(seconds=3600)
    """
    if fixed := re.fullmatch(r"([+-])([01][0-9]|2[0-3]):([0-5][0-9])", name):
        offset = datetime.timedelta(hours=int(fixed[2]), minutes=int(fixed[3]))
        return datetime.timezone(-offset if fixed[1] == "-" else offset)
    import zoneinfo  # noqa: PLC0415 (2 ms that only who asks for days pays)

    try:
        return zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise RegistryError(
            f"records/registry.json: /time_zone: {name!r} is no time zone: "
            "write an IANA name or an offset such as '+01:00'"
        ) from error
