"""What the commands that write share: who writes, what is there now, check, show, commit."""

import datetime
import inspect
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, wraps
from typing import Any

import click

from registry.check.report import to_rows
from registry.cli.completion import complete_records
from registry.cli.insisting import Behind, insisted, refuse_met
from registry.cli.opening import open_registry
from registry.cli.options import format_option
from registry.cli.output import done, say, tell, write_json
from registry.cli.proposal import changes_json, changes_lines
from registry.cli.refusing import refusable
from registry.contribute.assign import assignments, timed
from registry.contribute.given import Unusable, held
from registry.contribute.migrating import written_for
from registry.contribute.prepare import Contribution, Writer
from registry.contribute.verified import verified
from registry.errors import RequestError
from registry.model.kinds import path_of
from registry.model.shape import Shape
from registry.model.versions import NEWEST, refuse_other
from registry.question.names import Lying, here_named
from registry.question.registry import Registry
from registry.question.snapshots import CommitSnapshot
from registry.question.when import withdrawal_words

__all__ = [
    "Desk",
    "Manner",
    "at_option",
    "contributes",
    "instant",
    "reason_option",
    "subject_option",
    "writes",
]


_Command = Callable[..., Any]


@dataclass(frozen=True, slots=True)
class Manner:
    """How a contribution is to be made: by which site, for real or not, and how the answer is written."""

    site: str | None
    dry_run: bool
    form: str


_KEYS = (
    "JSON keys: message, files, changes (by file, each as in diff), taken (mode, revision, why: of which"
    " settings it speaks, or null), warnings (each as in check), beware (what else to know, in words),"
    " dry_run, commit (null in a dry run), landed."
)


def contributes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that every contribution has, and its help the keys of every answer."""
    command.__doc__ = f"{inspect.cleandoc(command.__doc__ or '')}\n\n{_KEYS}"
    return writes(command)


def writes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command that commits the options for it; it is handed them as one `manner`."""

    @wraps(command)
    def with_manner(*arguments: Any, site: str | None, dry_run: bool, form: str, **given: Any) -> None:
        insisted(lambda: command(*arguments, manner=Manner(site, dry_run, form), **given))

    options = (
        click.option(
            "--site",
            envvar="LITSTOCK_SITE",
            metavar="SITE",
            shell_complete=complete_records("site"),
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


def at_option(help_text: str) -> Callable[[_Command], _Command]:
    """Return the `--at` option: a moment on the registry's clock, now if not given."""
    return click.option("--at", metavar="WHEN", help=f"{help_text} (2026-03-01T14:30); now if not given.")


def subject_option(kind: str, help_text: str, *, required: bool = False) -> Callable[[_Command], _Command]:
    """Return the option that names a unit or a display; `Desk.subject` reads it."""
    return click.option(
        f"--{kind}",
        metavar=f"SITE/{kind.upper()}",
        shell_complete=complete_records(kind),
        required=required,
        help=help_text,
    )


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

    def __init__(self, context: click.Context, manner: Manner, *, any_version: bool = False) -> None:
        self.registry = open_registry(context)
        self._manner = manner
        self._owner = ""
        self.taken: dict[str, str] | None = None
        """The revision of a mode that this speaks of, where it speaks of one, and why of that."""
        self._beware: list[str] = []
        self._head = self.registry.repository.head()
        self.tree = self._at(self._head)
        self._refuse_behind(any_version=any_version)

    def _refuse_behind(self, *, any_version: bool) -> None:
        """Refuse to write in the form of a schema version that is not this program's own."""
        version = written_for(self.tree)
        if self.landed and version < written_for(self.landed) <= NEWEST:
            shared = f"the shared branch is written for schema version {written_for(self.landed)} by now"
            raise RequestError(f"{shared}, and this branch for {version}: run git pull, then try again")
        if not any_version:
            refuse_other(version)

    @cached_property
    def writer(self) -> Writer:
        """Who writes, today: the site named, else the shop that a subject stands in, else the only one."""
        today = datetime.datetime.now(self.registry.zone)
        return Writer(self._site(self._manner.site or self._owner or None), f"{today:%Y-%m-%d}")

    @cached_property
    def landed(self) -> _Tree | None:
        """What has landed, where that is not what is checked out."""
        return None if self.registry.commit == self._head else self._at(self.registry.commit)

    def _at(self, commit: str) -> _Tree:
        """Return the files of a commit, read in one go: the check looks at every one."""
        snapshot = CommitSnapshot(self.registry.repository, commit)
        snapshot.load()
        return _Tree(snapshot)

    def document(self, kind: str, rid: str) -> dict[str, Any]:
        """Return a record as it is now, {} where there is none."""
        return held(self.tree, path_of(kind, rid)) or {}

    def values(self, shape: Shape, texts: Iterable[str]) -> dict[str, str]:
        """Return what was typed as PATH=VALUE, by path, moments on the registry's clock."""
        return timed(shape, assignments(texts), lambda text: instant(self.registry, text))

    def has(self, kind: str, rid: str) -> bool:
        """Whether there is such a record now."""
        return self.tree.read(path_of(kind, rid)) is not None

    def subject(self, kind: str, text: str | None, *, for_use: bool = False) -> str:
        """Return the id of the unit or display that is meant, empty if none; unless told, its shop writes.

        One that is withdrawn is said to be so, and refused for use from now on.
        """
        if not text:
            return ""
        rid = self.place(text, (kind,)).rid
        self._owner = self._owner or rid.partition("/")[0]
        if gone := self.gone(kind, rid):
            if for_use:
                raise RequestError(f"nothing is taken into use there: {gone}")
            self.beware(gone)
        return rid

    def beware(self, words: str) -> None:
        """Say something that the writer has to know, though nothing is wrong with what is written."""
        self._beware.append(words)
        said = click.get_current_context().meta.setdefault(f"{__name__}.said", set())
        if words not in said:  # a command that begins anew has said it before
            tell(f"beware: {words}")
            said.add(words)

    def gone(self, kind: str, rid: str) -> str:
        """Return in words that a record is withdrawn; empty where it is not."""
        return withdrawal_words(rid, self.document(kind, rid))

    def place(self, text: str, kinds: Sequence[str] = ()) -> Lying:
        """Return kind, id and path of the record that is meant, landed or only committed here."""
        if "@" in text:
            raise RequestError(
                f"{text!r} names a moment, and only what is there now is changed: leave the @… out"
            )
        return here_named(self.registry, self.tree.paths(), text, kinds)

    def _site(self, given: str | None) -> str:
        sites = sorted(path.split("/")[2] for path in self.tree.paths() if path.endswith("/site.json"))
        gone = {site: words for site in sites if (words := self._not_writing(site, given))}
        writing = [site for site in sites if site not in gone]
        if given in writing:
            return str(given)
        if given is None and len(writing) == 1:
            return writing[0]
        asked = "say which site writes" if given is None else gone.get(given, f"there is no site {given!r}")
        raise RequestError(f"{asked}: --site, or LITSTOCK_SITE, one of {', '.join(writing)}")

    def _not_writing(self, site: str, given: str | None) -> str:
        """Return why a site does not write; of the one given, all that keeps its record from being read."""
        try:
            return self.gone("site", site)
        except Unusable:
            if site == given:
                raise
            return f"the record of the site {site} cannot be read"

    def finish(self, contribution: Contribution) -> None:
        """Check the contribution and commit it, or in a dry run show what it would change."""
        warnings = verified(self.tree, contribution, self.landed)
        changes = changes_json(self.tree, contribution) if self._manner.form == "json" else {}
        made = "" if self._manner.dry_run else self.commit(contribution)
        words = self.made_words(contribution, made)
        if made:
            done(words)
        if self._manner.form == "json":
            answer = changes | {
                "warnings": to_rows(warnings),
                "taken": self.taken,
                "beware": self._beware,
                "dry_run": self._manner.dry_run,
                "commit": made or None,
                "landed": bool(made) and self.lands,
            }
            write_json(answer)
            return
        for warning in warnings:
            tell(f"warning: {warning.path}:{warning.line}: {warning} [{warning.code}]")
        if not made:
            for line in changes_lines(self.tree, contribution):
                say(line)
            tell("dry run: nothing was written")
            return
        for path in contribution.files:
            say(path)
        tell(words)

    def made_words(self, contribution: Contribution, made: str) -> str:
        """Return in words that a contribution was committed."""
        landed = "landed on the shared branch" if self.lands else "not shared yet"
        return f"committed {made[:12]}, {landed}: {contribution.message}"

    @property
    def lands(self) -> bool:
        """Whether a commit on the checked-out branch lands at once: there is no remote to share it with."""
        return self.registry.tip.how != "remote"

    def commit(self, contribution: Contribution) -> str:
        """Commit a contribution upon what was there when the desk was opened, and what it committed since."""
        from registry.store.landing import check_clock  # noqa: PLC0415 (GitPython is dear at start-up)
        from registry.store.write import Overtaken, commit, identity  # noqa: PLC0415

        repository, files = self.registry.repository, contribution.files
        author = identity(repository)
        if shared := self.registry.commit:
            check_clock(author.when, repository.time_of(shared))
        try:
            self._head = commit(repository, files, contribution.message, author=author, onto=self._head)
        except Overtaken as overtaken:
            refuse_met(repository, files, self._head)
            raise Behind(repository.git_dir, overtaken.ref) from overtaken
        return self._head
