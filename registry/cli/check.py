"""`litstock check`: check records, or what a contribution changes."""

import os
from collections.abc import Sequence
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from registry.check.finding import Finding
from registry.check.report import to_json, to_sarif, to_text
from registry.check.rules import RULES
from registry.check.running import check, explain, fixed
from registry.check.snapshot import Snapshot
from registry.cli.options import format_option
from registry.cli.output import say, write_json
from registry.errors import RequestError
from registry.question.snapshots import CommitSnapshot, FolderSnapshot
from registry.store.repository import Repository, find_registry

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
@format_option("text", "json", "sarif")
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

    Without PATHS all records are checked. Exit 1 when an error was found; warnings alone leave 0.

    JSON keys: findings (code, severity, path, line, column, pointer, found, allowed, message, remedy),
    errors, warnings; with --rules or --explain: rules (code, severity, summary, explanation).
    """
    if code or rules:
        _write_rules(code, form)
        return
    root = find_registry(context.find_root().obj, os.environ)
    snapshot, earlier = _snapshots(root, base, rev)
    only = [_below(root, path) for path in paths] or None
    if fix:
        if rev or isinstance(snapshot, CommitSnapshot):
            raise RequestError("--fix rewrites files of the working tree: leave --at out")
        _fix(root, snapshot, only)
    findings = check(snapshot, earlier, only=only)
    _write(findings, form)
    context.exit(1 if any(finding.severity == "error" for finding in findings) else 0)


def _write_rules(code: str | None, form: str) -> None:
    """Write what one rule says, or every rule."""
    if form == "sarif":
        raise RequestError("sarif holds findings, not rules alone: give --rules and --explain text or json")
    said = explain(code) if code else "\n".join(f"{rule.code}: {rule.summary}" for rule in RULES)
    if form == "text":
        say(said)
        return
    keys = ("code", "severity", "summary", "explanation")
    chosen = [rule for rule in RULES if code in (None, rule.code)]
    write_json({"rules": [{key: getattr(rule, key) for key in keys} for rule in chosen]})


def _snapshots(root: Path, base: str | None, rev: str | None) -> tuple[Snapshot, Snapshot | None]:
    """Return what is to be checked, and what it is judged against; git is asked only if need be."""
    plain = (root / "records").is_dir()
    if plain and base is None and rev is None:
        return FolderSnapshot(root), None
    repository = Repository(root)

    def at(name: str) -> CommitSnapshot:
        snapshot = CommitSnapshot(repository, repository.resolve(name))
        snapshot.load()
        return snapshot

    now: Snapshot = FolderSnapshot(root) if plain and rev is None else at(rev or "HEAD")
    return now, None if base is None else at(base)


def _below(root: Path, path: Path) -> str:
    """Return a path as the registry names it, from its top; given from there or from the current folder."""
    for place in (path.absolute(), root / path):
        normal = Path(os.path.normpath(place))
        if normal.exists() and normal.is_relative_to(root):
            return normal.relative_to(root).as_posix()
    raise RequestError(f"there is no {str(path)!r} in the registry {str(root)!r}")


def _fix(root: Path, snapshot: Snapshot, only: Sequence[str] | None) -> None:
    for path in snapshot.paths():
        if only is not None and not any(
            path == each or path.startswith(each.rstrip("/") + "/") for each in only
        ):
            continue
        data = fixed(path, snapshot.read(path))
        if data is not None:
            unfinished = root / f"{path}.new"
            unfinished.write_bytes(data)
            unfinished.replace(root / path)
            click.echo(f"rewrote {path} in its file form", err=True)


def _write(findings: list[Finding], form: str) -> None:
    if form == "text":
        click.echo(to_text(findings), nl=False)
    else:
        write_json(to_json(findings) if form == "json" else to_sarif(findings))
