"""`litstock withdraw`: withdraw a record, with the reason and a replacement."""

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, dry_run_option, reason_option, site_option
from registry.contribute.happenings import withdraw

__all__ = ["command"]


@click.command()
@click.argument("record", shell_complete=complete_records())
@reason_option
@click.option(
    "--instead",
    metavar="RECORD",
    default="",
    shell_complete=complete_records(),
    help="The record to use in its place.",
)
@site_option
@dry_run_option
@click.pass_context
def command(
    context: click.Context, /, record: str, reason: str, instead: str, site: str | None, dry_run: bool
) -> None:
    """Withdraw a record, with the reason and a replacement.

    It is never deleted: it stays, says why, and is offered to nobody any more.
    """
    desk = Desk(context, site)
    subject = desk.place(record)
    replacement = desk.place(instead, (subject.kind,)).rid if instead else ""
    contribution = withdraw(desk.tree, subject.path, reason, replacement, desk.writer)
    desk.finish(contribution, dry_run=dry_run)
