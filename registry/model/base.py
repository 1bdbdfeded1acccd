"""What every record kind is built from: `setting`, shared value types, and the revised record."""

import datetime
from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from pydantic import MISSING, AfterValidator, BaseModel, ConfigDict, Field, StringConstraints, WithJsonSchema

from registry.model.words import Effect, Scope, SourceKind

__all__ = [
    "MISSING",
    "Day",
    "Digest",
    "DisplayId",
    "FileName",
    "Instant",
    "Line",
    "ModeId",
    "Part",
    "Record",
    "Recorded",
    "Resolution",
    "Revised",
    "SettingPath",
    "Sha256",
    "Slug",
    "Source",
    "SubstrateId",
    "Text",
    "UnitId",
    "Withdrawal",
    "setting",
]

_DAY = r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
_INSTANT = _DAY[:-1] + r"T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](Z|[+-](0[0-9]|1[0-4]):[0-5][0-9])$"
_SLUG = "[a-z0-9][a-z0-9-]*"


def setting(  # one line defines a setting
    label: str,
    unit: str = "",
    *,
    effect: Effect = "none",
    scope: Scope = "model",
    example: Any = None,
    scale: str | None = None,
    key: str | None = None,
    aside: bool = False,
    identity: bool = False,
    safety: bool = False,
    optional: bool = False,
    refers: str | None = None,
    renamed: dict[int, str] | None = None,
    retired: int | None = None,
    required: bool = False,
    usual: Sequence[Mapping[str, Any]] = (),
    **bounds: float,
) -> Any:
    """Define one setting: its label, unit, effect on colour, scope and range (ge, gt, le, lt, min_length …).

    `scale` names the order in which its words rank; `key` the member by which the items of a list are told
    apart; `aside` keeps it out of the settings digest; `identity` forbids a later revision to change it;
    of a setting of `safety` that a place demands nothing unknown is offered; nobody misses an `optional` one;
    `refers` names the record kind that its value must be an id of. `renamed` gives earlier names, each
    by the schema version that ended it; it is digested under the first (registry/model/forms.py). `retired`
    is the schema version since which it is read, compared and digested, but no longer written: its meaning
    says what is. `usual` says how well it is known where nobody says better (registry/model/usual.py).
    Its meaning is the attribute's docstring.
    """
    extra: dict[str, Any] = {}
    for name, value, unsaid in (
        ("unit", unit, ""),
        ("effect", effect, "none"),
        ("scope", scope, "model"),
        ("scale", scale, None),
        ("key", key, None),
        ("aside", aside, False),
        ("identity", identity, False),
        ("safety", safety, False),
        ("optional", optional, False),
        ("refers", refers, None),
        ("renamed", {str(until): was for until, was in (renamed or {}).items()}, {}),
        ("retired", retired, None),
        ("usual", [*usual], []),
    ):
        if value != unsaid:
            extra[f"x-{name}"] = value
    examples = None if example is None else [example]
    default: Any = ... if required else MISSING
    constraints: dict[str, Any] = bounds
    return Field(default=default, title=label, examples=examples, json_schema_extra=extra, **constraints)


def _real_day(text: str) -> str:
    datetime.date.fromisoformat(text[:10])
    return text


def _identifier(parts: int) -> StringConstraints:
    return StringConstraints(pattern="^" + "/".join([_SLUG] * parts) + "$", max_length=60 * parts)


Slug = Annotated[str, _identifier(1)]
SubstrateId = Annotated[str, _identifier(2)]
UnitId = Annotated[str, _identifier(2)]
DisplayId = Annotated[str, _identifier(2)]
ModeId = Annotated[str, _identifier(3)]
Line = Annotated[str, StringConstraints(min_length=1, max_length=80)]
Text = Annotated[str, StringConstraints(min_length=1, max_length=400)]
FileName = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9-]*\.(txt|icc)$", max_length=80)]
Sha256 = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
Digest = Sha256
Resolution = Annotated[str, StringConstraints(pattern=r"^[1-9][0-9]{1,3}x[1-9][0-9]{1,3}$")]
SettingPath = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_.-]*$", max_length=120)]
Day = Annotated[
    str,
    StringConstraints(pattern=_DAY),
    AfterValidator(_real_day),
    WithJsonSchema({"type": "string", "format": "date", "pattern": _DAY}),
]
Instant = Annotated[
    str,
    StringConstraints(pattern=_INSTANT),
    AfterValidator(_real_day),
    WithJsonSchema({"type": "string", "format": "date-time", "pattern": _INSTANT}),
]


class Part(BaseModel):
    """A group of settings."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        strict=True,
        allow_inf_nan=False,
        use_attribute_docstrings=True,
        validate_by_alias=True,
        validate_by_name=False,
        serialize_by_alias=True,
    )


class Recorded(Part):
    """When and where a record was written down."""

    date: Day = setting("recorded on", required=True, example="2026-03-01")
    """The day on which it was written; not the day on which it reached the shared branch."""
    site: Slug = setting("recorded at", required=True, refers="site", example="harbour-yard")
    """The site that wrote it."""


class Source(Part):
    """Where a value comes from."""

    kind: SourceKind = setting("kind of source", required=True)
    """Measured, a maker's data sheet, copied, computed, common practice of the trade, or unknown."""
    method: Line | MISSING = setting("method", example="ISO 13468-1, integrating sphere")
    """The standard or the way by which it was measured or computed."""
    instrument: Line | MISSING = setting("instrument")
    """What it was measured with."""
    site: Slug | MISSING = setting("measured at", refers="site")
    """The site that measured it."""
    date: Day | MISSING = setting("dated")
    """The day of the measurement, or of the data sheet's issue."""
    note: Text | MISSING = setting("note")
    """What a reader has to know to judge the value."""


class Withdrawal(Part):
    """Why a record is no longer to be used."""

    date: Day = setting("withdrawn on", required=True)
    """The day from which it is not to be used."""
    reason: Text = setting("withdrawn because", required=True)
    """What happened, in words an operator understands."""
    instead: Line | MISSING = setting("use instead")
    """The id of the record to use in its place."""


class Record(Part):
    """A document of its own in the registry."""

    schema_: Line | MISSING = Field(
        default=MISSING, alias="$schema", title="schema", json_schema_extra={"x-aside": True}
    )
    """Relative path of this kind's schema, for editors; the installed program's schema decides."""
    title: Line = setting("name", required=True, aside=True)
    """What people call it."""


class Revised(Record):
    """A record that is improved in place, one revision after another."""

    sources: dict[str, Source] | MISSING = setting("sources", aside=True)
    """Where each value comes from, by JSON pointer: to a group it covers the group, empty the record."""
    withdrawn: Withdrawal | MISSING = setting("withdrawn", aside=True)
    """Present once the record is not to be used any more."""
    revision: int = setting("revision", required=True, aside=True, ge=1, le=100000)
    """Rises by one each time a changed record lands on the shared branch."""
    reason: Text = setting("reason", required=True, aside=True)
    """Why this revision was made."""
    recorded: Recorded = setting("recorded", required=True, aside=True)
    """When and by which site this revision was written."""
