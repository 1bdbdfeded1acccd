"""Options that several commands share."""

import datetime
from collections.abc import Callable
from typing import Any

import click

from registry.model.units import UNIT_SYSTEMS

__all__ = ["TABLE_FORMATS", "date_option", "format_option", "units_option"]

TABLE_FORMATS = ("text", "json", "csv", "markdown")


def format_option(*formats: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return the `--format` option with these choices, the first one the default."""
    return click.option(
        "--format",
        "form",
        type=click.Choice(formats),
        default=formats[0],
        show_default=True,
        help="How to write the answer.",
    )


units_option = click.option(
    "--units",
    type=click.Choice(UNIT_SYSTEMS),
    default=UNIT_SYSTEMS[0],
    show_default=True,
    help="Units to show; records are metric.",
)


def date_option(help_text: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return a `--date` option whose default is today."""
    return click.option(
        "--date",
        type=click.DateTime(formats=["%Y-%m-%d"]),
        default=lambda: datetime.datetime.now(tz=datetime.UTC).astimezone().replace(tzinfo=None),
        show_default="today",
        help=help_text,
    )
