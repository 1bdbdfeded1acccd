"""`litstock start`: found a registry of one's own."""

import datetime
from pathlib import Path

import click

from registry.cli.options import format_option
from registry.cli.output import say, write_json
from registry.cli.refusing import refusable
from registry.contribute.start import ATTRIBUTES, NOTHING, first_files, schemas
from registry.contribute.verified import verified
from registry.errors import RegistryError, RequestError
from registry.question.registry import parse_zone

__all__ = ["command"]


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
@format_option("text", "json")
@refusable
def command(folder: Path, site: str, site_title: str | None, title: str, time_zone: str, form: str) -> None:
    """Found a registry of one's own in a new folder.

    JSON keys: folder, files, commit.
    """
    today = datetime.datetime.now(_zone(time_zone)).date().isoformat()
    contribution = first_files(title, time_zone, site, site_title or site, today)
    verified(NOTHING, contribution)
    from registry.store.write import found  # noqa: PLC0415 (GitPython is dear at start-up)

    files = {**ATTRIBUTES, **schemas(), **contribution.files}
    made = found(folder, files, contribution.message)
    if form == "json":
        write_json({"folder": str(folder), "files": list(files), "commit": made})
        return
    say(str(folder))
    like = "records/printers/marshwing-64.json"  # one of the examples that litstock brings along
    click.echo(f"next: litstock -C {folder} new printer ID --like {like} --reason TEXT", err=True)


def _zone(name: str) -> datetime.tzinfo:
    try:
        return parse_zone(name)
    except RegistryError as error:  # which speaks of a registry that is there
        words = f"{name!r} is no time zone: write an IANA name or an offset such as +01:00"
        raise RequestError(words) from error
