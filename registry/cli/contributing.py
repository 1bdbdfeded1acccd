"""What the commands that write share: who writes, what is there now, check, show, commit."""

import datetime
import difflib
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import click

from registry.cli.opening import open_registry
from registry.cli.output import say
from registry.contribute.prepare import Contribution, Writer
from registry.contribute.verified import verified
from registry.errors import RequestError
from registry.model.kinds import place_at
from registry.question.names import UnknownRecord, named
from registry.question.registry import Registry
from registry.question.snapshots import CommitSnapshot

__all__ = ["Desk", "at_option", "dry_run_option", "instant", "reason_option", "site_option"]

site_option = click.option(
    "--site", envvar="LITSTOCK_SITE", metavar="SITE", help="The site that writes; else LITSTOCK_SITE."
)
dry_run_option = click.option("--dry-run", is_flag=True, help="Check and show the change; write nothing.")
reason_option = click.option("--reason", required=True, help="Why; it stays with the record for good.")


def at_option(help_text: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return the `--at` option: a moment on the registry's clock, now if not given."""
    return click.option("--at", metavar="WHEN", help=f"{help_text} (2026-03-01T14:30); now if not given.")


def instant(registry: Registry, text: str | None) -> str:
    """Return a moment as records hold it: with seconds and the offset of the registry's clock."""
    if text is None:
        when = datetime.datetime.now(registry.zone)
    else:
        try:
            when = datetime.datetime.fromisoformat(text)
        except ValueError as error:
            raise RequestError(f"{text!r} is no time: write 2026-03-01T14:30") from error
        if len(text) <= 10:
            raise RequestError(f"{text!r} is a day: write the time too, such as {text}T14:30")
        when = when if when.tzinfo else when.replace(tzinfo=registry.zone)
    return when.replace(microsecond=0).isoformat()


class _Tree:
    """The last commit of the checked-out branch, upon which a contribution is made."""

    def __init__(self, snapshot: CommitSnapshot) -> None:
        self._snapshot = snapshot

    def read(self, path: str) -> bytes | None:
        return self._snapshot.get(path)

    def paths(self) -> Iterable[str]:
        return self._snapshot.paths()


class Place(NamedTuple):
    """A record to be changed."""

    kind: str
    rid: str
    path: str


class Desk:
    """Where a contribution is made: the registry, what is there now, and who writes."""

    def __init__(self, context: click.Context, site: str | None) -> None:
        self.registry = open_registry(context)
        self._head = self.registry.repository.head()
        snapshot = CommitSnapshot(self.registry.repository, self._head)
        snapshot.load()
        self.tree = _Tree(snapshot)
        self.writer = Writer(self._site(site), f"{datetime.datetime.now(self.registry.zone):%Y-%m-%d}")

    @property
    def landed(self) -> _Tree | None:
        """What has landed, where that is not what is checked out."""
        if self.registry.commit == self._head:
            return None
        return _Tree(CommitSnapshot(self.registry.repository, self.registry.commit))

    def place(self, text: str, kinds: Sequence[str] = ()) -> Place:
        """Return kind, id and path of the record that is meant, landed or only committed here."""
        try:
            subject = named(self.registry, text, kinds)
        except UnknownRecord:
            for path in self.tree.paths():
                place = place_at(path)
                if place and not place.attachment and text in (path, place.id, f"{place.kind}:{place.id}"):
                    return Place(place.kind, place.id, path)
            raise
        return Place(subject.kind, subject.rid, subject.path)

    def _site(self, given: str | None) -> str:
        sites = sorted(path.split("/")[2] for path in self.tree.paths() if path.endswith("/site.json"))
        if given in sites:
            return str(given)
        if given is None and len(sites) == 1:
            return sites[0]
        asked = "say which site writes" if given is None else f"there is no site {given!r}"
        raise RequestError(f"{asked}: --site, or LITSTOCK_SITE, one of {', '.join(sites)}")

    def finish(self, contribution: Contribution, *, dry_run: bool) -> None:
        """Check the contribution and commit it, or with `dry_run` show what it would change."""
        for warning in verified(self.tree, contribution, self.landed):
            click.echo(f"warning: {warning.path}:{warning.line}: {warning} [{warning.code}]", err=True)
        if dry_run:
            say(self._shown(contribution.files))
            click.echo("dry run: nothing was written", err=True)
            return
        from registry.store.write import commit, identity  # noqa: PLC0415 (GitPython is dear at start-up)

        author = identity(self.registry.repository)
        made = commit(
            self.registry.repository, contribution.files, contribution.message, author=author, onto=self._head
        )
        for path in contribution.files:
            say(path)
        landed = "landed on the shared branch" if self.registry.tip.how != "remote" else "not shared yet"
        click.echo(f"committed {made[:12]}, {landed}: {contribution.message}", err=True)

    def _shown(self, files: Mapping[str, bytes | None]) -> str:
        parts: list[str] = []
        for path, data in files.items():
            if not path.endswith(".json"):
                parts.append(f"{path}: {len(data or b'')} bytes")
                continue
            before, after = ((text or b"").decode().splitlines() for text in (self.tree.read(path), data))
            parts += difflib.unified_diff(before, after, f"a/{path}", f"b/{path}", lineterm="")
        return "\n".join(parts)
