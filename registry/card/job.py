"""The job on a card: what a plan says in short, if it was made with the very settings that the card gives."""

import json
from typing import Any

from registry.card.request import CardRequest
from registry.errors import RegistryError

__all__ = ["NoPlan", "job_of"]

_WRITE = "write it with litstock plan … --format json"


class NoPlan(RegistryError):
    """What was handed over as a plan is none, or not one of this card's settings."""


def job_of(data: bytes, request: CardRequest) -> tuple[tuple[str, str], ...]:
    """Return labels and texts of a plan that `litstock plan --format json` wrote."""
    try:
        plan = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise NoPlan(f"the plan is not JSON, {error}; {_WRITE}") from error
    try:
        mode, digest = plan["mode"]["record"], plan["mode"]["settings_digest"]
        number, system = plan["mode"]["revision"], plan["units"]["system"]
        job = tuple((_line(each["label"]), _line(each["text"])) for each in plan["in_short"])
    except (TypeError, KeyError) as error:
        raise NoPlan(f"the plan lacks what every plan says, {error}; {_WRITE}") from error
    if (mode, digest) != (request.mode_id, request.digest):
        raise NoPlan(
            f"the plan was made with {mode} {number}, and its settings are not those of this card; "
            "plan the job with the card's mode and revision"
        )
    if system != request.units:
        raise NoPlan(
            f"the plan is in {system} units and the card in {request.units}: give both the same --units"
        )
    return job


def _line(text: Any) -> str:
    if not isinstance(text, str):
        raise TypeError(f"{text!r} where words are expected")
    return text
