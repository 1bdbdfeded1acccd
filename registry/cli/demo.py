"""`litstock demo`: build the demo registry, with its history, in a folder."""

from pathlib import Path

import click

from registry.cli.output import say

__all__ = ["command"]


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def command(folder: Path) -> None:
    """Build the demo registry, with its history, in a folder.

    Shops, makers, materials and readings in it are invented: print nothing by them.
    """
    from registry.demo.replay import replay  # noqa: PLC0415 (GitPython is dear at start-up)

    replay(folder)
    say(str(folder))
    click.echo(f"try: litstock -C {folder} find --for concourse-light-box", err=True)
