"""Whether a document fits its schema: the fast verdict."""

from collections.abc import Callable
from functools import cache
from typing import Any

from registry.model.shape import shape_of

__all__ = ["is_sound"]


def is_sound(kind: str, document: dict[str, Any], *, partial: bool = False) -> bool:
    """Tell whether a document fits the schema of its kind; of a partial one, whether what it holds does."""
    return _verdict(kind, partial)(document)


@cache
def _verdict(kind: str, partial: bool) -> Callable[[Any], bool]:
    import jsonschema_rs  # noqa: PLC0415 (dear at start-up; only who checks or builds pays for it)

    schema = shape_of(kind).schema
    validator = jsonschema_rs.Draft202012Validator(
        _nothing_required(schema) if partial else schema,
        validate_formats=True,
        pattern_options=jsonschema_rs.RegexOptions(),
    )
    verdict: Callable[[Any], bool] = validator.is_valid
    return verdict


def _nothing_required(node: Any) -> Any:
    if isinstance(node, list):
        return [_nothing_required(each) for each in node]
    if not isinstance(node, dict):
        return node
    kept = {name: _nothing_required(each) for name, each in node.items()}
    if isinstance(kept.get("required"), list):  # the keyword, not a member of that name
        del kept["required"]
    return kept
