"""`litstock start`: found a registry of one's own."""

import datetime
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from registry.cli.options import format_option
from registry.cli.output import done, say, tell, write_json
from registry.cli.refusing import refusable
from registry.cli.wording import counted
from registry.contribute.start import ATTRIBUTES, NOTHING, first_files, guidance, schemas
from registry.contribute.verified import verified
from registry.errors import RegistryError, RequestError
from registry.question.registry import parse_zone

__all__ = ["command"]

_LEVELS = ("refuse", "warn", "advise")


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--site", required=True, metavar="ID", help="Id of the first shop, such as our-shop.")
@click.option("--site-title", metavar="NAME", help="What people call the shop; its id if not given.")
@click.option("--title", default="Media settings", show_default=True, help="What people call the registry.")
@click.option(
    "--time-zone",
    required=True,
    metavar="ZONE",
    help="Where a day ends: an IANA name or +01:00.",
)
@click.option(
    "--guidance/--no-guidance",
    "advised",
    default=True,
    show_default=True,
    help="Bring the trade's guidance along: what is refused, warned of and advised.",
)
@format_option("text", "json")
@refusable
def command(
    folder: Path,
    site: str,
    site_title: str | None,
    title: str,
    time_zone: str,
    *,
    advised: bool,
    form: str,
) -> None:
    """Found a registry of one's own in a new folder.

    It starts with the trade's guidance, which is yours to change: without it no film is refused for its
    coating and no caution is said.

    JSON keys: folder, files, guidance (how many rules were brought along, by level), commit.
    """
    today = datetime.datetime.now(_zone(time_zone)).date().isoformat()
    advice = guidance() if advised else {}
    contribution = first_files(title, time_zone, site, site_title or site, today, advice=advice)
    verified(NOTHING, contribution)
    from registry.store.founding import found  # noqa: PLC0415 (GitPython is dear at start-up)

    files = {**ATTRIBUTES, **schemas(), **contribution.files}
    made = found(folder, files, contribution.message)
    done(f"founded {folder}, committed {made[:12]}")
    if form == "json":
        levels = dict(Counter(rule["level"] for rule in advice.values()))
        write_json({"folder": str(folder), "files": list(files), "guidance": levels, "commit": made})
        return
    say(str(folder))
    tell(_advice_words(advice))
    like = "records/printers/marshwing.json"  # one of the examples that litstock brings along
    tell(f"next: litstock -C {folder} new printer ID --like {like} --reason TEXT")


def _advice_words(advice: Mapping[str, Mapping[str, Any]]) -> str:
    """Return what guidance the registry starts with, or what follows from having none."""
    if not advice:
        return (
            "without guidance: no film is refused for its coating and no caution is said, until you write "
            "them: litstock new guidance"
        )
    levels = Counter(rule["level"] for rule in advice.values())
    counts = ", ".join(f"{levels[level]} {level}" for level in _LEVELS if levels[level])
    sources = "; ".join(dict.fromkeys(rule["source"] for rule in advice.values()))
    return (
        f"brought along {counted(len(advice), 'guidance rule')} ({counts}), {sources}: read them in "
        "records/guidance, change or withdraw what is not so in your shop"
    )


def _zone(name: str) -> datetime.tzinfo:
    try:
        return parse_zone(name)
    except RegistryError as error:  # which speaks of a registry that is there
        words = f"{name!r} is no time zone: write an IANA name or an offset such as +01:00"
        raise RequestError(words) from error
