"""Options that take a number: read as every typed number is, within a range that makes sense."""

from typing import Any

import click

from registry.model.shape import shape_of
from registry.model.typed import NoNumber, typed_number

__all__ = ["Number", "Whole", "number_of"]


class Number(click.FloatRange):
    """A number in a range."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it, or say what is allowed."""
        return super().convert(_read(self, value, param, ctx), param, ctx)


class Whole(click.IntRange):
    """A whole number in a range."""

    name = "whole number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Read it, or say what is allowed."""
        number = _read(self, value, param, ctx)
        if isinstance(number, float):
            self.fail(f"{value!r} is no whole number", param, ctx)
        return super().convert(number, param, ctx)


def number_of(kind: str, path: str, *, above_min: bool = False) -> Number:
    """Return the type of an option that stands for a setting: its range is the setting's own."""
    setting = shape_of(kind).settings[path]
    return Number(setting.minimum, setting.maximum, min_open=above_min)


def _read(of: click.ParamType, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:  # type: ignore[type-arg]
    if not isinstance(value, str):  # a default, or read already
        return value
    try:
        return typed_number(value)
    except NoNumber as error:
        of.fail(f"{error}.", param, ctx)
