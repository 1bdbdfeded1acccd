"""`litstock migrate`: bring a registry to the newest schema version."""

from typing import Any

import click

from registry.cli.contributing import Desk, Manner, writes
from registry.cli.output import done, say, tell, write_json
from registry.cli.wording import counted
from registry.contribute.migrating import Migration, migrations, written_for
from registry.contribute.prepare import Overlay, Tree
from registry.contribute.verified import verified
from registry.model.versions import NEWEST

__all__ = ["command"]


@click.command()
@writes
@click.pass_context
def command(context: click.Context, /, manner: Manner) -> None:
    """Bring the registry to the newest schema version.

    Each version is a landing of its own. Only form changes, and that is proved: every record keeps its
    settings digest, and so its cards and confirmations. To write, every shop then needs this litstock, or a
    newer one.

    JSON keys: from, to (schema versions), steps (version, words, records: path and settings_digest, the same
    before and after; commit: null in a dry run), dry_run, landed.
    """
    desk = Desk(context, manner, any_version=True)
    version = written_for(desk.tree)
    # Where nothing lands at once, all steps are drafts of one landing, and share its number.
    landed = None if desk.lands else desk.landed or desk.tree
    steps = [] if version == NEWEST else list(migrations(desk.tree, desk.writer, landed))
    tree: Tree = desk.tree
    told = []
    for step in steps:
        verified(tree, step.contribution, landed, form_only=True)
        tree = Overlay(tree, step.contribution.files)
        made = "" if manner.dry_run else desk.commit(step.whole())
        if made:
            done(desk.made_words(step.contribution, made))
        told.append(_json(step, made))
        if manner.form == "text":
            say(_words(step))
            tell(desk.made_words(step.contribution, made) if made else "dry run: nothing was written")
    if manner.form == "json":
        has_landed = bool(steps) and not manner.dry_run and desk.lands
        ends = {"from": version, "to": NEWEST}
        write_json({**ends, "steps": told, "dry_run": manner.dry_run, "landed": has_landed})
    elif not steps:
        say(f"nothing to do: the registry is written for schema version {NEWEST}, the newest there is")


def _words(step: Migration) -> str:
    many = len(step.proved)
    records = f"{counted(many, 'record')} rewritten, each with the digest that it had" if many else ""
    return f"schema version {step.to.number}: {step.to.words}; {records or 'no other record changes'}"


def _json(step: Migration, made: str) -> dict[str, Any]:
    records = [{"path": path, "settings_digest": digest} for path, digest in step.proved.items()]
    return {"version": step.to.number, "words": step.to.words, "records": records, "commit": made or None}
