"""`litstock demo`: build the demo registry, with its history, in a folder."""

from pathlib import Path

import click

from registry.cli.options import format_option
from registry.cli.output import done, say, tell, write_json
from registry.cli.refusing import refusable

__all__ = ["command"]


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@format_option("text", "json")
@refusable
def command(folder: Path, form: str) -> None:
    """Build the demo registry, with its history, in a folder.

    Shops, makers, materials and readings in it are invented: print nothing by them.

    JSON keys: folder, commit.
    """
    from registry.demo.replay import replay  # noqa: PLC0415 (GitPython is dear at start-up)

    repository = replay(folder)
    done(f"the demo is built in {folder}")
    if form == "json":
        write_json({"folder": str(folder), "commit": repository.head()})
        return
    say(str(folder))
    tell(f"try: litstock -C {folder} find --for concourse-light-box")
