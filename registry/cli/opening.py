"""Opening the registry that a command is about, with progress shown on a terminal."""

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import click

from registry.cli.output import tell
from registry.question.registry import Registry, silent
from registry.store.turn import under_way

__all__ = ["open_registry", "quietly"]


def open_registry(context: click.Context) -> Registry:
    """Return the registry chosen by -C, LITSTOCK_REGISTRY or the current folder."""
    folder: Path | None = context.find_root().obj
    registry = _opened(folder, _beware)
    if under_way(registry.repository.git_dir):
        from registry.store.mending import mended  # noqa: PLC0415 (only who finds something half done pays)

        for words in mended(registry.repository):
            _beware(words)
    return registry


def quietly(folder: Path) -> Registry:
    """Return a registry for who tells as an answer what others are warned of."""
    return _opened(folder, lambda _: None)


def _opened(folder: Path | None, notice: Callable[[str], None]) -> Registry:
    return Registry(folder, os.environ, _progress if sys.stderr.isatty() else silent, notice)


def _beware(words: str) -> None:
    tell(f"beware: {words}")


def _progress(doing: str, done: int) -> None:
    count = f" {done:,}" if done else ""
    with suppress(OSError):  # that nobody can be told changes nothing
        click.echo(f"\r{doing}{count} …\x1b[K", file=sys.stderr, nl=False)
        if doing == "indexing":
            click.echo("\r\x1b[K", file=sys.stderr, nl=False)
