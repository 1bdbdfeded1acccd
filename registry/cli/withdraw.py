"""`litstock withdraw`: withdraw a record, with the reason and a replacement."""

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, Manner, contributes, reason_option
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
@contributes
@click.pass_context
def command(context: click.Context, /, record: str, reason: str, instead: str, manner: Manner) -> None:
    """Withdraw a record, with the reason and a replacement.

    It is never deleted: it stays, says why, and is offered to nobody any more.
    """
    desk = Desk(context, manner)
    subject = desk.place(record)
    replacement = desk.place(instead, (subject.kind,)).rid if instead else ""
    contribution = withdraw(desk.tree, subject.path, reason, replacement, desk.writer)
    desk.finish(contribution)
