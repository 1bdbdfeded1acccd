"""The `litstock` command; a subcommand's module is imported only when it is called."""

import gc
import importlib
import os
import sys
from pathlib import Path
from typing import Any

import click
from click.shell_completion import CompletionItem

from registry import __version__
from registry.errors import RegistryError, system_words

__all__ = ["COMMANDS", "main"]

COMMANDS: dict[str, tuple[str, str]] = {
    "find": ("registry.cli.find", "Find known-good print modes for a use, ranked, with the reasons."),
    "show": ("registry.cli.show", "Show everything that is known of a record."),
    "history": ("registry.cli.history", "Show a record's revisions: what changed, when, who, why."),
    "diff": ("registry.cli.diff", "Compare the settings of two revisions, records or sites."),
    "light": (
        "registry.cli.light",
        "Compute how modes will look, lit, in a display: how bright, how deep, how colourful.",
    ),
    "tune": ("registry.cli.tune", "Find the ink load that a measured ladder calls for, and say why."),
    "nearest": (
        "registry.cli.nearest",
        "For a material that is not in the registry: known-good modes of its nearest relatives.",
    ),
    "measure": (
        "registry.cli.measure",
        "Show what a measurement file holds, and compare it with a mode.",
    ),
    "card": ("registry.cli.card", "Print the settings card of a mode, or verify a card."),
    "plan": ("registry.cli.plan", "Plan a job: pieces nested on the material, metres, waste, hours and ink."),
    "slug": ("registry.cli.slug", "Print the line that a print carries in its bleed."),
    "audit": ("registry.cli.audit", "Find what changed between a good print and a bad one."),
    "check": ("registry.cli.check", "Check records, or what a contribution changes."),
    "new": ("registry.cli.new", "Start a record."),
    "revise": ("registry.cli.revise", "Change settings of a record, with the reason."),
    "confirm": ("registry.cli.confirm", "Record how a mode went at a site."),
    "adopt": ("registry.cli.adopt", "Record that a unit takes a mode into use."),
    "run": ("registry.cli.run", "Record a printed job, also from a card's code."),
    "log-event": ("registry.cli.log_event", "Record what happened to a unit, display, instrument or lot."),
    "withdraw": ("registry.cli.withdraw", "Withdraw a record, with the reason and a replacement."),
    "start": ("registry.cli.start", "Found a registry of one's own in a new folder."),
    "demo": ("registry.cli.demo", "Build the demo registry, with its history, in a folder."),
}
"""Every command: its module, and its line in the help, the same as its own docstring's first."""


_FAULT = 70
"""Exit code of a fault in the program itself (EX_SOFTWARE of sysexits.h)."""


class LazyGroup(click.Group):
    """A group that knows its commands by name and imports one when it is asked for."""

    def list_commands(self, _context: click.Context) -> list[str]:
        """Return the names in the order in which people meet them."""
        return list(COMMANDS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        """Import and return a command."""
        if name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(COMMANDS[name][0]).command
        return command

    def shell_complete(self, context: click.Context, incomplete: str) -> list[CompletionItem]:
        """Complete the commands' names without importing any."""
        names = [name for name in COMMANDS if name.startswith(incomplete)]
        items = [CompletionItem(name, help=COMMANDS[name][1]) for name in names]
        return items or super().shell_complete(context, incomplete)

    def format_commands(self, _context: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, summary) for name, (_, summary) in COMMANDS.items()])

    def invoke(self, context: click.Context) -> Any:
        """Run the command; that its reader went away, such as `head`, is no failure."""
        try:
            return super().invoke(context)
        except BrokenPipeError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            return context.exit(0)

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run, turning errors of the registry into words and an exit code; bugs keep their traceback."""
        gc.set_threshold(1_000_000)  # a short life makes much and drops little: look for cycles seldom
        if "_LITSTOCK_COMPLETE" in os.environ:
            from registry.cli.shell import install  # noqa: PLC0415 (only completion pays for it)

            install()
        try:
            return super().main(*args, **extra)
        except RegistryError as error:
            click.echo(f"litstock: {error}", err=True)
            sys.exit(error.exit_code)
        except OSError as error:  # a full disk, a folder that may not be written to
            click.echo(f"litstock: {system_words(error)}", err=True)
            sys.exit(RegistryError.exit_code)
        except Exception:  # noqa: BLE001 (a fault of ours must not look like a finding to a script)
            import traceback  # noqa: PLC0415 (only a fault pays for it)

            traceback.print_exc()
            sys.exit(_FAULT)


@click.group(
    cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.option(
    "-C",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="DIR",
    help="The registry's folder; else LITSTOCK_REGISTRY, else the nearest registry above.",
)
@click.version_option(__version__, prog_name="litstock")
@click.pass_context
def main(context: click.Context, folder: Path | None) -> None:
    """Find, compare, print and audit media settings that are known to work.

    Exit codes: 0 clean; 1 there are findings, or nothing was found; 2 the question cannot be read;
    3 the registry or its input cannot be used; 70 a fault of litstock itself, with its traceback.
    """
    context.obj = folder
