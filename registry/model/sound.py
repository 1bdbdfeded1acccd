"""Whether a document fits its schema: the fast verdict."""

from collections.abc import Callable
from functools import cache
from typing import Any

from registry.model.shape import shape_of

__all__ = ["is_sound"]


def is_sound(kind: str, document: dict[str, Any]) -> bool:
    """Tell whether a document fits the schema of its kind."""
    return _verdict(kind)(document)


@cache
def _verdict(kind: str) -> Callable[[Any], bool]:
    import jsonschema_rs  # noqa: PLC0415 (dear at start-up; only who checks or builds pays for it)

    validator = jsonschema_rs.Draft202012Validator(
        shape_of(kind).schema, validate_formats=True, pattern_options=jsonschema_rs.RegexOptions()
    )
    verdict: Callable[[Any], bool] = validator.is_valid
    return verdict
