"""Whether a document fits its schema: the fast verdict, and the place of the first misfit."""

from functools import cache
from typing import TYPE_CHECKING, Any

from registry import canonical
from registry.model.shape import shape_of

if TYPE_CHECKING:
    import jsonschema_rs

__all__ = ["is_sound", "misfit"]

_LONGEST_PLACE = 120
"""Characters; a key that somebody pasted may be far longer."""


def is_sound(kind: str, document: dict[str, Any], *, partial: bool = False) -> bool:
    """Tell whether a document fits the schema of its kind; of a partial one, whether what it holds does."""
    return _validator(kind, partial).is_valid(document)


def misfit(kind: str, document: dict[str, Any]) -> str:
    """Return in words that a document does not fit the schema of its kind, and where; empty where it fits.

    What does not fit is no record: it is told as one that cannot be read, by whoever meets it.

    >>> misfit("site", {"title": 7})
    'does not fit its schema at /title'
    """
    validator = _validator(kind, partial=False)
    if validator.is_valid(document):
        return ""
    places = (
        canonical.join_pointer(map(str, error.instance_path)) for error in validator.iter_errors(document)
    )
    place = max((each for each in places if len(each) <= _LONGEST_PLACE), key=len, default="")
    return f"does not fit its schema{place and f' at {place}'}"


@cache
def _validator(kind: str, partial: bool) -> "jsonschema_rs.Draft202012Validator":
    import jsonschema_rs  # noqa: PLC0415 (dear at start-up; only who checks or builds pays for it)

    schema = shape_of(kind).schema
    return jsonschema_rs.Draft202012Validator(
        _nothing_required(schema) if partial else schema,
        validate_formats=True,
        pattern_options=jsonschema_rs.RegexOptions(),
    )


def _nothing_required(node: Any) -> Any:
    if isinstance(node, list):
        return [_nothing_required(each) for each in node]
    if not isinstance(node, dict):
        return node
    kept = {name: _nothing_required(each) for name, each in node.items()}
    if isinstance(kept.get("required"), list):  # the keyword, not a member of that name
        del kept["required"]
    return kept
