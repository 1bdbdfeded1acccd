"""`litstock log-event`: record what happened to a unit, a display, an instrument or a lot."""

from typing import Any

import click

from registry.cli.contributing import Desk, Manner, at_option, contributes, instant, subject_option
from registry.contribute.happenings import Happening, record
from registry.errors import RequestError
from registry.model.shape import shape_of

__all__ = ["command"]

_KINDS = [kind for kind in shape_of("event").settings["kind"].words if kind != "adopted"]


@click.command()
@click.argument("kind", type=click.Choice(_KINDS), metavar="KIND")
@click.option("--what", required=True, help="What happened, in words.")
@subject_option("unit", "The machine it happened to.")
@subject_option("display", "The display it happened to.")
@click.option("--instrument", metavar="NAME", help="The site's instrument it happened to.")
@click.option("--lot", help="The lot that came into use.")
@click.option("--before", help="What it was before.")
@click.option("--after", help="What it is now.")
@at_option("When it happened")
@contributes
@click.pass_context
def command(context: click.Context, /, kind: str, at: str | None, manner: Manner, **known: Any) -> None:
    """Record what happened to a unit, display, instrument or lot.

    KIND is a word such as head-replaced, alignment, linearisation, ink-lot or lamp-all-replaced; a wrong one
    lists them all. A mode is taken into use with litstock adopt.
    """
    desk = Desk(context, manner)
    known |= {which: desk.subject(which, known[which]) for which in ("unit", "display")}
    subject = known["unit"] or known["display"] or known["instrument"] or known["lot"]
    if not subject:
        raise RequestError("say what it happened to: --unit, --display, --instrument or --lot")
    when = instant(desk.registry, at)
    title = f"{kind.replace('-', ' ').capitalize()}: {subject}"
    happening = Happening("event", when[:10], kind, title[:80], {"kind": kind, "at": when, **known})
    desk.finish(record(desk.tree, happening, desk.writer))
