"""The printer: a model, not a machine."""

from typing import Annotated

from pydantic import Field

from registry.model.base import MISSING, Line, Part, Resolution, Revised, Text, setting
from registry.model.usual import usual
from registry.model.words import Channel, Chemistry, Direction

__all__ = ["Printer"]


class InkChannel(Part):
    """One ink or fluid that the printer lays."""

    name: Line = setting("channel", required=True, example="cyan")
    """The colour or fluid."""
    role: Channel = setting("role", required=True, effect="direct")
    """Colour, light colour, white, clear, or fixing fluid."""


class Heaters(Part):
    """What the heaters can be set to."""

    dry_min_c: float | MISSING = setting("drying from", "°C", ge=0, le=150)
    """Lowest drying set-point."""
    dry_max_c: float | MISSING = setting("drying to", "°C", ge=0, le=150)
    """Highest drying set-point."""
    cure_min_c: float | MISSING = setting("curing from", "°C", ge=0, le=180)
    """Lowest curing set-point."""
    cure_max_c: float | MISSING = setting("curing to", "°C", ge=0, le=180)
    """Highest curing set-point."""


class LoadRange(Part):
    """Loads at which this printer usually prints backlit work."""

    low_pct: float = setting("usual backlit load from", "%", required=True, ge=100, le=600)
    """Below this a backlit print is usually pale."""
    high_pct: float = setting("usual backlit load to", "%", required=True, ge=100, le=600)
    """Above this the ink usually does not dry."""


class Printer(Revised):
    """One printer model."""

    ink_chemistry: Chemistry = setting("ink chemistry", required=True, effect="direct", identity=True)
    """What ink it lays."""
    channels: list[InkChannel] = setting("channels", required=True, key="name", min_length=1, max_length=16)
    """Every ink and fluid."""
    min_width_mm: float | MISSING = setting("narrowest material", "mm", gt=0, le=6000, example=254)
    """Narrowest roll or sheet that it feeds straight."""
    max_width_mm: float | MISSING = setting("widest material", "mm", gt=0, le=6000, example=1625)
    """Widest roll or sheet it takes."""
    passes: list[Annotated[int, Field(ge=1, le=64)]] | MISSING = setting(
        "passes offered", min_length=1, max_length=20
    )
    """Pass counts that can be chosen."""
    directions: list[Direction] | MISSING = setting("directions offered", min_length=1, max_length=2)
    """Printing one way, both ways, or either."""
    resolutions: list[Resolution] | MISSING = setting(
        "resolutions offered", "dpi", min_length=1, max_length=12
    )
    """Across × along."""
    drop_volume_pl: float | MISSING = setting(
        "drop volume",
        "pL",
        effect="direct",
        gt=0,
        le=100,
        example=7,
        usual=[usual("drop-volume", "the drop volume", u_pct=5)],
    )
    """Of the drop with which 100 % load is laid, one drop a pixel and channel."""
    heaters: Heaters | MISSING = setting("heater limits")
    """What the heaters can be set to."""
    backlit_load_pct: LoadRange | MISSING = setting("usual backlit load")
    """Outside this range a mode needs a measurement behind it."""
    min_head_gap_mm: float | MISSING = setting("least head gap", "mm", gt=0, le=10)
    """Closest that the head goes to the face."""
    max_head_gap_mm: float | MISSING = setting("largest head gap", "mm", gt=0, le=20)
    """Farthest that the head goes from the face."""
    cautions: list[Line] | MISSING = setting("cautions", max_length=6)
    """What can hurt someone."""
    notes: list[Text] | MISSING = setting("notes", aside=True, max_length=10)
    """Anything else worth knowing."""
