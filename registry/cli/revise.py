"""`litstock revise`: change settings of a record, with the reason."""

from typing import Any

import click

from registry import canonical
from registry.cli.completion import complete_assignments, complete_paths, complete_records
from registry.cli.contributing import Desk, Manner, contributes, reason_option
from registry.cli.handed import handed, handed_path
from registry.contribute.assign import added, assigned
from registry.contribute.attaching import attachment, naming, with_attachments
from registry.contribute.given import patch_in
from registry.contribute.sourcing import resourced
from registry.model.shape import shape_of

__all__ = ["command"]


@click.command()
@click.argument("record", shell_complete=complete_records())
@click.option(
    "--set",
    "values",
    multiple=True,
    metavar="PATH=VALUE",
    shell_complete=complete_assignments(),
    help="Give a setting a value.",
)
@click.option(
    "--unset",
    multiple=True,
    metavar="PATH",
    shell_complete=complete_paths(),
    help="Take a setting out: it is unknown then.",
)
@click.option(
    "--add",
    multiple=True,
    metavar="LIST:NAME=VALUE,…",
    help="Add an item to a list, such as trials:what=re-wet,…",
)
@click.option(
    "--patch", type=handed_path(stdin=True), help="An RFC 7396 merge patch to apply; - reads it from stdin."
)
@click.option(
    "--attach",
    multiple=True,
    type=handed_path(),
    help="A measurement (.txt, or .cxf to convert) or a profile (.icc): put beside the mode, named in it.",
)
@reason_option
@contributes
@click.pass_context
def command(context: click.Context, /, record: str, reason: str, manner: Manner, **given: Any) -> None:
    """Change settings of a record, with the reason.

    A known-good mode whose settings change goes on trial until a site has confirmed it anew. A value that is
    set without a source does not keep its old one: it is unknown from then on, and said to be before the
    commit.
    """
    desk = Desk(context, manner)
    subject = desk.place(record)
    attached = [attachment(desk.tree, subject.path, file.name, handed(file)[1]) for file in given["attach"]]
    shape = shape_of(subject.kind)
    before = desk.document(subject.kind, subject.rid)
    values = desk.values(shape, given["values"])
    after = assigned(shape, before, values, given["unset"])
    for text in given["add"]:
        after = added(shape, after, text)
    named = [*values]
    if given["patch"]:
        patch = patch_in(*handed(given["patch"]))
        after = canonical.merge_patch(after, patch)
        sources = patch.get("sources")
        named += [f"sources.{pointer}.kind" for pointer in sources] if isinstance(sources, dict) else []
    after = naming(desk.tree, subject.path, after, attached)
    made = resourced(subject.kind, before, after, named, desk.writer.date)
    if made.words:
        desk.beware(made.words)
    desk.finish(
        with_attachments(
            desk.tree,
            subject.path,
            made.document,
            attached,
            writer=desk.writer,
            reason=reason,
            landed=desk.landed,
        )
    )
