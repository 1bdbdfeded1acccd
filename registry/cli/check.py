"""`litstock check`: check records, or what a contribution changes."""

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from registry.check.checked import Checked
from registry.check.finding import Finding
from registry.check.report import COLUMNS, to_json, to_rows, to_sarif, to_text
from registry.check.rules import RULES
from registry.check.running import check, explain, fixed, records_in
from registry.check.scope import Scope
from registry.check.snapshot import Snapshot
from registry.check.walking import check_since
from registry.cli.opening import quietly
from registry.cli.options import TABLE_FORMATS, format_option
from registry.cli.output import say, tell, write_json, write_table
from registry.cli.saving import save
from registry.cli.wording import counted
from registry.contribute.start import schemas
from registry.errors import RegistryError, RequestError
from registry.model.versions import NEWEST, OtherVersion, refuse_other
from registry.question.landed import LandedFiles
from registry.question.oddities import oddities
from registry.question.snapshots import CommitSnapshot, FolderSnapshot
from registry.question.steps import since
from registry.question.working import WorkingSnapshot
from registry.store.bounded import LARGEST_FILE, read_file
from registry.store.repository import Repository, UnusableRepository, find_registry

__all__ = ["command"]


def _complete_rules(_: click.Context, __: click.Parameter, incomplete: str) -> list[CompletionItem]:
    return [
        CompletionItem(each.code, help=each.summary) for each in RULES if each.code.startswith(incomplete)
    ]


@click.command()
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option("--base", metavar="REV", help="Judge what has changed since this commit, too.")
@click.option("--at", "rev", metavar="REV", help="Check this commit instead of the working tree.")
@click.option("--fix", is_flag=True, help="Rewrite records into their file form; no value changes.")
@click.option(
    "--explain",
    "code",
    metavar="CODE",
    shell_complete=_complete_rules,
    help="Say what a rule asks, why, and how to mend it.",
)
@click.option("--rules", is_flag=True, help="List every rule.")
@format_option(*TABLE_FORMATS, "sarif")
@click.pass_context
def command(
    context: click.Context,
    /,
    paths: tuple[Path, ...],
    base: str | None,
    rev: str | None,
    *,
    fix: bool,
    code: str | None,
    rules: bool,
    form: str,
) -> None:
    """Check records, or what a contribution changes.

    Without PATHS all records are checked: of a working tree, as git keeps them, whatever attributes and
    settings make of the checkout. With --base, each landing since is judged against the one before, then the
    last commit, and last what has not been committed. Exit 1 when an error was found; warnings alone leave 0.

    JSON keys: findings (code, severity, path, line, column, pointer, found, allowed, message, remedy,
    landing: the commit it came with, empty where it is so now), errors, warnings, records (how many were
    checked); with --rules or --explain: rules (code, severity, summary, explanation).
    """
    if code or rules:
        _write_rules(code, form)
        return
    root = find_registry(context.find_root().obj, os.environ)
    only = [_below(root, path) for path in paths] or None
    if only and "." in only:  # the whole registry
        only = None
    if fix:
        if rev is not None or not (root / "records").is_dir():
            raise RequestError("--fix rewrites files of the working tree: leave --at out")
        _fix(root, Scope(only))
    repository = _repository(root, needed=base is not None or rev is not None)
    if repository is None:
        snapshot: FolderSnapshot | CommitSnapshot | WorkingSnapshot = FolderSnapshot(root)
        _look_at_version(snapshot)
        findings = check(snapshot, only=only)
    else:
        snapshot = _snapshot(repository, rev)
        _look_at_version(snapshot)
        findings = check(snapshot, only=only, history=None if rev or base else _history(repository))
        if base is not None:
            findings += _changes(repository, base, rev, snapshot, only)
            if isinstance(snapshot, WorkingSnapshot):
                findings += _committed(repository, base, snapshot, findings, only)
    _write(findings, records_in(snapshot, only), form)
    context.exit(1 if any(finding.severity == "error" for finding in findings) else 0)


def _look_at_version(snapshot: Snapshot) -> None:
    """Refuse to judge a registry of a newer schema version; tell of an older one."""
    version = Checked(snapshot).version
    if version > NEWEST:
        raise OtherVersion(version)
    if version < NEWEST:
        tell(f"beware: {OtherVersion(version)}")


def _write_rules(code: str | None, form: str) -> None:
    """Write what one rule says, or every rule."""
    if form == "sarif":
        raise RequestError("sarif holds findings, not rules alone: give --rules and --explain another format")
    said = explain(code) if code else "\n".join(f"{rule.code}: {rule.summary}" for rule in RULES)
    if form == "text":
        say(said)
        return
    keys = ("code", "severity", "summary", "explanation")
    chosen = [{key: getattr(rule, key) for key in keys} for rule in RULES if code in (None, rule.code)]
    if form != "json":  # a cell is one line
        chosen = [rule | {"explanation": " ".join(rule["explanation"].split())} for rule in chosen]
    if form == "json":
        write_json({"rules": chosen})
    else:
        write_table(chosen, {key: key for key in keys}, form)


def _repository(root: Path, *, needed: bool) -> Repository | None:
    """Return the repository; None where git knows none, and the records are checked without it."""
    try:
        return Repository(root)
    except RegistryError as error:
        if needed or not (root / "records").is_dir():
            raise
        if not isinstance(error, UnusableRepository):  # not just a plain copy of the records
            tell(f"without a look at what has landed: {error}")
        return None


def _snapshot(repository: Repository, rev: str | None) -> CommitSnapshot | WorkingSnapshot:
    """Return what is to be checked: a commit, or the working tree as git keeps it."""
    if rev is None and (repository.root / "records").is_dir():
        return WorkingSnapshot(repository)
    snapshot = CommitSnapshot(repository, repository.resolve(rev or "HEAD"))
    snapshot.load()
    return snapshot


def _history(repository: Repository) -> LandedFiles | None:
    """Return what has landed, where git can tell."""
    history = LandedFiles(repository)
    try:
        history.load()
    except RegistryError as error:
        tell(f"without a look at what has landed: {error}")
        return None
    try:
        history.told = list(oddities(quietly(repository.root))) if history.any else ()
    except RegistryError as error:
        tell(f"without a look at merges and at when records were written: {error}")
    return history


def _changes(
    repository: Repository,
    base: str,
    rev: str | None,
    snapshot: CommitSnapshot | WorkingSnapshot,
    only: Sequence[str] | None,
) -> list[Finding]:
    """Return what is found of the changes since a base, and say against what they were judged."""
    named, merging = repository.resolve(base), "" if rev else repository.merging()
    # In the middle of a merge the files rest on both sides: on the base too, where that is merged.
    on_base = merging and repository.common(named, merging) == named
    head = merging if on_base else repository.resolve(rev or "HEAD")
    changed = since(repository, named, head, snapshot)
    if changed.behind:
        tell(f"{base} holds all of it already: nothing has changed since")
    elif changed.parted:
        tell(
            f"{base} has gone on alone: judged against {changed.commit[:12]}, where the two parted; "
            f"merge {base} to be judged against all of it"
        )
    if changed.landings:
        rest = ", and last what has not landed" if not changed.steps[-1].landing else ""
        landings = counted(changed.landings, "landing")
        tell(f"judged {landings} since {base}, each against the one before{rest}")
    return list(check_since(changed, only=only))


def _committed(
    repository: Repository,
    base: str,
    lying: WorkingSnapshot,
    known: Sequence[Finding],
    only: Sequence[str] | None,
) -> list[Finding]:
    """Return what is found of the last commit though the working tree mends it: it would land like that."""
    head = repository.resolve("HEAD")
    if not lying.differs_from(head):
        return []
    snapshot = CommitSnapshot(repository, head, lying.held)
    snapshot.load()
    changed = since(repository, repository.resolve(base), head, snapshot)
    found = [*check(snapshot, only=only), *check_since(changed, only=only)]
    told = {finding.what for finding in known}
    return [replace(each, landing=each.landing or head) for each in found if each.what not in told]


def _below(root: Path, path: Path) -> str:
    """Return a path as the registry names it, from its top; given from there or from the current folder."""
    for place in (path.absolute(), root / path):
        normal = Path(os.path.normpath(place))
        if normal.exists() and normal.is_relative_to(root):
            return normal.relative_to(root).as_posix()
    raise RequestError(f"there is no {str(path)!r} in the registry {str(root)!r}")


def _fix(root: Path, scope: Scope) -> None:
    snapshot = FolderSnapshot(root)
    refuse_other(Checked(snapshot).version)
    for path in snapshot.paths():
        data = fixed(path, snapshot.read(path)) if path in scope else None
        if data is not None:
            save(root / path, data)
            tell(f"rewrote {path} in its file form")
    for path, data in schemas().items():  # a newer litstock may have newer ones for the editors
        if path in scope and (root / path).is_file() and read_file(root / path, LARGEST_FILE) != data:
            save(root / path, data)
            tell(f"brought {path} up to date")


def _write(findings: list[Finding], records: int, form: str) -> None:
    if form == "text":
        say(to_text(findings, records).removesuffix("\n"))
    elif form == "json":
        write_json(to_json(findings, records))
    elif form == "sarif":
        write_json(to_sarif(findings))
    else:
        write_table(to_rows(findings), {column: column for column in COLUMNS}, form)
