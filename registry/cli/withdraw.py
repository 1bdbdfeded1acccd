"""`litstock withdraw`: withdraw a record, with the reason and a replacement."""

import click

from registry.cli.completion import complete_records
from registry.cli.contributing import Desk, Manner, contributes, reason_option
from registry.contribute.happenings import withdraw
from registry.contribute.leaving import left_behind

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
@click.option(
    "--with-all",
    is_flag=True,
    help="Withdraw what cannot be without it too: a site's units and displays, a printer's units and modes.",
)
@contributes
@click.pass_context
def command(
    context: click.Context,
    /,
    record: str,
    reason: str,
    instead: str,
    *,
    with_all: bool,
    manner: Manner,
) -> None:
    """Withdraw a record, with the reason and a replacement.

    It is never deleted: it stays, says why, and is offered to nobody any more. A substrate takes its modes
    along. What others still need is not withdrawn: they are named, and what to do with them.
    """
    desk = Desk(context, manner)
    subject = desk.place(record)
    replacement = desk.place(instead, (subject.kind,)).rid if instead else ""
    contribution = withdraw(
        desk.tree, subject.path, reason, replacement, desk.writer, with_all=with_all, landed=desk.landed
    )
    for words in left_behind(desk.registry, contribution.files):
        desk.beware(words)
    desk.finish(contribution)
