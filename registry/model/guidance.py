"""Guidance: one piece of trade advice, with the case in which it applies."""

from typing import Annotated

from pydantic import Field, StringConstraints, WithJsonSchema

from registry.model.base import MISSING, Line, Part, Revised, Text, setting
from registry.model.words import Level, Stage

__all__ = ["Guidance"]

Scalar = Annotated[bool | int | float | str, WithJsonSchema({"type": ["boolean", "number", "string"]})]
Pointer = Annotated[
    str, StringConstraints(pattern=r"^/(substrate|mode|printer|application|display)(/[a-z0-9_-]{1,60}){1,8}$")
]


class Condition(Part):
    """What the value must be: a small part of JSON Schema (draft 2020-12), without references."""

    const: Scalar | MISSING = setting("is")
    """Exactly this value."""
    enum: list[Scalar] | MISSING = setting("is one of", min_length=1, max_length=30)
    """One of these values."""
    minimum: float | MISSING = setting("at least")
    """At least this number."""
    maximum: float | MISSING = setting("at most")
    """At most this number."""
    exclusiveMinimum: float | MISSING = setting("more than")  # noqa: N815 (JSON Schema's own word)
    """More than this number."""
    exclusiveMaximum: float | MISSING = setting("less than")  # noqa: N815 (JSON Schema's own word)
    """Less than this number."""
    pattern: Annotated[str, StringConstraints(pattern=r"^\^[A-Za-z0-9 ,./_-]{0,60}$")] | MISSING = setting(
        "starts with"
    )
    """A text that starts so: `^` and plain characters."""
    contains: "Condition | MISSING" = setting("holds")
    """A list with at least one item like this."""
    not_: "Condition | MISSING" = Field(default=MISSING, alias="not", title="is not")
    """Not like this; an absent value is unknown, not different."""


class Guidance(Revised):
    """One piece of trade advice."""

    level: Level = setting("level", required=True)
    """Advise, warn, or refuse: what is refused is never offered."""
    when: dict[Pointer, Condition] = setting("applies when", required=True, max_length=8)
    """JSON pointers into {substrate, mode, printer, application, display}; all must hold."""
    unless: dict[Pointer, Condition] | MISSING = setting("does not apply where", max_length=4)
    """As above; any one that is known to hold sets it aside, and what is unknown does not."""
    stage: Stage | MISSING = setting("stage")
    """Whose sheet it belongs on: the printer's (printing, or not said) or that of whoever hangs the print."""
    text: Text = setting("advice", required=True)
    """What to do, and why."""
    source: Line = setting("source", required=True, example="common practice, no source")
    """Where the advice comes from."""
