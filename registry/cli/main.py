"""The `litstock` command; a subcommand's module is imported only when it is called."""

import gc
import importlib
import io
import os
import re
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any, NoReturn

import click
from click.shell_completion import CompletionItem
from click.types import StringParamType

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
    "trace": ("registry.cli.trace", "Say which mode and revision made a print, by slug, code or readings."),
    "audit": ("registry.cli.audit", "Find what changed between a good print and a bad one."),
    "check": ("registry.cli.check", "Check records, or what a contribution changes."),
    "new": ("registry.cli.new", "Start a record."),
    "revise": ("registry.cli.revise", "Change settings of a record, with the reason."),
    "confirm": ("registry.cli.confirm", "Record how a mode went at a site."),
    "adopt": ("registry.cli.adopt", "Record that a unit takes a mode into use."),
    "run": ("registry.cli.run", "Record a printed job, also from a card's code."),
    "log-event": ("registry.cli.log_event", "Record what happened to a unit, display, instrument or lot."),
    "withdraw": ("registry.cli.withdraw", "Withdraw a record, with the reason and a replacement."),
    "migrate": (
        "registry.cli.migrate",
        "Bring the registry to the newest schema version.",
    ),
    "start": ("registry.cli.start", "Found a registry of one's own in a new folder."),
    "demo": ("registry.cli.demo", "Build the demo registry, with its history, in a folder."),
}
"""Every command: its module, and its line in the help, the same as its own docstring's first."""


_FAULT = 70
"""Exit code of a fault in the program itself (EX_SOFTWARE of sysexits.h)."""

_BYTES = re.compile("[\ud800-\udfff]")
"""What Python makes of bytes that are not UTF-8."""


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
        for each in command.params:
            if type(each.type) is StringParamType:
                each.type = _Text()
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
        """Run the command; what was done for good is no failure, even if nobody can be told."""
        try:
            return super().invoke(context)
        except BrokenPipeError:  # its reader went away, such as `head`
            _hush()
            return context.exit(0)
        except OSError as error:
            from registry.cli.output import tell, unprinted  # noqa: PLC0415 (only what fails pays)

            if not (made := unprinted(context)):
                raise
            tell(f"{made}; only the answer could not be printed ({(error.strerror or str(error)).lower()})")
            _hush()
            return context.exit(0)

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run, turning errors of the registry into words and an exit code; bugs keep their traceback."""
        gc.set_threshold(1_000_000)  # a short life makes much and drops little: look for cycles seldom
        _open_streams()
        if "_LITSTOCK_COMPLETE" in os.environ:
            from registry.cli.shell import install  # noqa: PLC0415 (only completion pays for it)

            install()
        try:
            ended: Any = super().main(*args, **(extra | {"standalone_mode": False}))
        except click.ClickException as error:
            said = io.StringIO()
            error.show(said)
            _fail(said.getvalue().rstrip("\n"), error.exit_code)
        except click.Abort:
            _fail("Aborted!", 1)
        except RegistryError as error:
            _fail(f"litstock: {error}", error.exit_code)
        except OSError as error:  # a full disk, a folder that may not be written to
            _hush()
            _fail(f"litstock: {system_words(error)}", RegistryError.exit_code)
        except Exception:  # noqa: BLE001 (a fault of ours must not look like a finding to a script)
            import traceback  # noqa: PLC0415 (only a fault pays for it)

            _fail(traceback.format_exc().rstrip("\n"), _FAULT)
        sys.exit(ended if isinstance(ended, int) else 0)


class _Text(StringParamType):
    """Words that are typed: what is no text could be written, looked for and printed nowhere."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        text = super().convert(value, param, ctx)
        if not text.isascii() and _BYTES.search(text):
            self.fail(f"{text!r} is not UTF-8: type it on a terminal that writes UTF-8", param, ctx)
        return text


def _fail(words: str, code: int) -> NoReturn:
    from registry.cli.output import tell  # noqa: PLC0415 (only what fails pays for it)

    tell(words)
    sys.exit(code)


def _hush() -> None:
    """Let what is still to be printed go nowhere: it would fail once more when Python ends."""
    with suppress(OSError, ValueError):  # in a test there may be no file behind it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _open_streams() -> None:
    """Let each stream be there and take any text: an escape stands for what an encoding cannot show.

    A stream that was closed is opened on nothing, before a file takes its number. What is printed then fails
    as on a full disk; words beside it are lost.
    """
    for number, name, mode, flags in (
        (0, "stdin", "r", os.O_RDONLY),
        (1, "stdout", "w", os.O_RDONLY),
        (2, "stderr", "w", os.O_WRONLY),
    ):
        if getattr(sys, name) is None:
            opened = os.open(os.devnull, flags)
            if opened != number:
                os.dup2(opened, number)
                os.close(opened)
            setattr(sys, name, open(number, mode, encoding="utf-8", closefd=False))  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


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
