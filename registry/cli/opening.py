"""Opening the registry that a command is about, with progress shown on a terminal."""

import os
import sys
from contextlib import suppress
from pathlib import Path

import click

from registry.cli.output import tell
from registry.question.registry import Registry, silent
from registry.store.turn import under_way

__all__ = ["open_registry"]


def open_registry(context: click.Context) -> Registry:
    """Return the registry chosen by -C, LITSTOCK_REGISTRY or the current folder."""
    folder: Path | None = context.find_root().obj
    registry = Registry(folder, os.environ, _progress if sys.stderr.isatty() else silent, _beware)
    if under_way(registry.repository.git_dir):
        from registry.store.mending import mended  # noqa: PLC0415 (only who finds something half done pays)

        for words in mended(registry.repository):
            _beware(words)
    return registry


def _beware(words: str) -> None:
    tell(f"beware: {words}")


def _progress(doing: str, done: int) -> None:
    count = f" {done:,}" if done else ""
    with suppress(OSError):  # that nobody can be told changes nothing
        click.echo(f"\r{doing}{count} …\x1b[K", file=sys.stderr, nl=False)
        if doing == "indexing":
            click.echo("\r\x1b[K", file=sys.stderr, nl=False)
