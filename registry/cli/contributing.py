"""What the commands that write share: who writes, what is there now, check, show, commit."""

import datetime
import inspect
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, wraps
from typing import Any, BinaryIO

import click

from registry import canonical
from registry.change.compare import SettingChange, compare
from registry.check.finding import Finding
from registry.check.report import to_rows
from registry.cli.opening import open_registry
from registry.cli.options import format_option
from registry.cli.output import say, write_json
from registry.cli.page import aside_lines, changes_table
from registry.cli.refusing import refusable
from registry.cli.wording import change_json
from registry.contribute.assign import parse_assignment, timed
from registry.contribute.prepare import Contribution, Writer
from registry.contribute.verified import verified
from registry.errors import RequestError
from registry.model.kinds import kind_at, path_of
from registry.model.shape import Shape, shape_of
from registry.question.names import Lying, UnknownRecord, lying, named
from registry.question.registry import Registry
from registry.question.snapshots import CommitSnapshot
from registry.question.when import Version, version, withdrawal_words

__all__ = ["Desk", "Manner", "at_option", "contributes", "handed", "instant", "reason_option"]


@dataclass(frozen=True, slots=True)
class Manner:
    """How a contribution is to be made: by which site, for real or not, and how the answer is written."""

    site: str | None
    dry_run: bool
    form: str


_KEYS = (
    "JSON keys: message, files, changes (by file, each as in diff), warnings (each as in check), dry_run, "
    "commit (null in a dry run), landed."
)


def contributes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that every contribution has, and its help the keys of every answer.

    It is handed the options as one `manner`.
    """

    @wraps(command)
    def with_manner(*arguments: Any, site: str | None, dry_run: bool, form: str, **given: Any) -> None:
        command(*arguments, manner=Manner(site, dry_run, form), **given)

    with_manner.__doc__ = f"{inspect.cleandoc(command.__doc__ or '')}\n\n{_KEYS}"
    options = (
        click.option(
            "--site",
            envvar="LITSTOCK_SITE",
            metavar="SITE",
            help="The site that writes; else LITSTOCK_SITE.",
        ),
        click.option("--dry-run", is_flag=True, help="Check and show the change; write nothing."),
        format_option("text", "json"),
    )
    made = refusable(with_manner)
    for option in reversed(options):
        made = option(made)
    return made


reason_option = click.option("--reason", required=True, help="Why; it stays with the record for good.")


def handed(file: BinaryIO) -> tuple[str, bytes]:
    """Return what to call a file that was handed over, and its bytes."""
    return str(getattr(file, "name", "<stdin>")), file.read()


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


class Desk:
    """Where a contribution is made: the registry, what is there now, and who writes."""

    def __init__(self, context: click.Context, manner: Manner, owner: str = "") -> None:
        self.registry = open_registry(context)
        self._manner = manner
        self._head = self.registry.repository.head()
        self.tree = self._at(self._head)
        today = datetime.datetime.now(self.registry.zone)
        self.writer = Writer(self._site(manner.site or owner or None), f"{today:%Y-%m-%d}")

    @cached_property
    def landed(self) -> _Tree | None:
        """What has landed, where that is not what is checked out."""
        return None if self.registry.commit == self._head else self._at(self.registry.commit)

    def _at(self, commit: str) -> _Tree:
        """Return the files of a commit, read in one go: the check looks at every one."""
        snapshot = CommitSnapshot(self.registry.repository, commit)
        snapshot.load()
        return _Tree(snapshot)

    def values(self, shape: Shape, texts: Iterable[str]) -> dict[str, str]:
        """Return what was typed as PATH=VALUE, by path, moments on the registry's clock."""
        given = dict(map(parse_assignment, texts))
        return timed(shape, given, lambda text: instant(self.registry, text))

    def has(self, kind: str, rid: str) -> bool:
        """Whether there is such a record now."""
        return self.tree.read(path_of(kind, rid)) is not None

    def mode(self, text: str, *, offered: bool = False) -> Version:
        """Return the version of the mode that is meant, and say so if it or its substrate is withdrawn."""
        found = version(self.registry, text, ("print-mode",), offered=offered)
        if gone := self.withdrawn(found):
            click.echo(f"beware: {gone}", err=True)
        return found

    def not_before(self, mode: Version, day: str) -> None:
        """Refuse a day on which nobody could have used the mode's settings: they were not written yet."""
        revisions = self.registry.model.revisions(mode.path)
        written = [each.recorded for each in revisions if each.digest == mode.digest and each.recorded]
        if written and day[:10] < min(written):
            raise RequestError(
                f"{day[:10]} lies before {min(written)}, when the settings of {mode.rid} {mode.label} were "
                "written: correct the day, or name the revision that was in use then"
            )

    def withdrawn(self, mode: Version) -> str:
        """Return in words that the mode or its substrate is not to be used any more; empty where it is."""
        named = (("print-mode", mode.rid), ("substrate", mode.document["substrate"]))
        for kind, rid in named:
            data = self.tree.read(path_of(kind, rid))
            if data and (gone := withdrawal_words(rid, canonical.read(data))):
                return gone
        return ""

    def place(self, text: str, kinds: Sequence[str] = ()) -> Lying:
        """Return kind, id and path of the record that is meant, landed or only committed here."""
        try:
            subject = named(self.registry, text, kinds)
        except UnknownRecord:
            if found := lying(self.tree.paths(), text, kinds):
                return found
            raise
        return Lying(subject.path, subject.kind, subject.rid)

    def _site(self, given: str | None) -> str:
        sites = sorted(path.split("/")[2] for path in self.tree.paths() if path.endswith("/site.json"))
        if given in sites:
            return str(given)
        if given is None and len(sites) == 1:
            return sites[0]
        asked = "say which site writes" if given is None else f"there is no site {given!r}"
        raise RequestError(f"{asked}: --site, or LITSTOCK_SITE, one of {', '.join(sites)}")

    def finish(self, contribution: Contribution) -> None:
        """Check the contribution and commit it, or in a dry run show what it would change."""
        warnings = verified(self.tree, contribution, self.landed)
        made = "" if self._manner.dry_run else self._commit(contribution)
        if self._manner.form == "json":
            write_json(self._answer(contribution, warnings, made))
            return
        for warning in warnings:
            click.echo(f"warning: {warning.path}:{warning.line}: {warning} [{warning.code}]", err=True)
        if not made:
            for line in self._shown(contribution.files):
                say(line)
            click.echo("dry run: nothing was written", err=True)
            return
        for path in contribution.files:
            say(path)
        landed = "landed on the shared branch" if self._lands else "not shared yet"
        click.echo(f"committed {made[:12]}, {landed}: {contribution.message}", err=True)

    @property
    def _lands(self) -> bool:
        """Whether a commit on the checked-out branch lands at once: there is no remote to share it with."""
        return self.registry.tip.how != "remote"

    def _commit(self, contribution: Contribution) -> str:
        from registry.store.write import commit, identity  # noqa: PLC0415 (GitPython is dear at start-up)

        repository = self.registry.repository
        author = identity(repository)
        return commit(repository, contribution.files, contribution.message, author=author, onto=self._head)

    def _answer(self, contribution: Contribution, warnings: Sequence[Finding], made: str) -> dict[str, Any]:
        """Return the answer under its keys; changes are by file, commit is null in a dry run."""
        changes = {path: self._changes(path, data) for path, data in contribution.files.items()}
        return {
            "message": contribution.message,
            "files": list(contribution.files),
            "changes": {
                path: [change_json(each) for each in found] for path, found in changes.items() if found
            },
            "warnings": to_rows(warnings),
            "dry_run": self._manner.dry_run,
            "commit": made or None,
            "landed": bool(made) and self._lands,
        }

    def _changes(self, path: str, data: bytes | None) -> list[SettingChange]:
        """Return what changes in a record that was there before."""
        kind, before = kind_at(path), self.tree.read(path)
        if kind is None or before is None or data is None:
            return []
        return compare(shape_of(kind), canonical.read(before), canonical.read(data))

    def _shown(self, files: Mapping[str, bytes | None]) -> Iterator[str]:
        """Yield what would change: of a record that is there its settings, of a new one its text."""
        for path, data in files.items():
            yield path
            changes = self._changes(path, data)
            if changes:
                yield from changes_table([change for change in changes if change.is_setting], "metric")
                yield from aside_lines(
                    ((change, ()) for change in changes if not change.is_setting), "metric"
                )
            elif path.endswith(".json"):
                yield from (f"  {line}" for line in (data or b"").decode().splitlines())
            else:
                yield f"  {len(data or b'')} bytes"
