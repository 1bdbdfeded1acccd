"""A refusal as JSON on stdout, for programs; its words still go to stderr, and its exit code stays."""

import inspect
from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from typing import Any

from registry.check.finding import AtFault
from registry.check.report import to_rows
from registry.cli.output import write_json
from registry.errors import RegistryError, system_words

__all__ = ["refusable"]

_KEYS = (
    "Refused, it answers instead: refused (why, in words), findings (each as in check; empty where no value "
    "is at fault), exit_code, commit (null)."
)


def refusable(command: Callable[..., None]) -> Callable[..., None]:
    """Let a command that writes answer a refusal as JSON too, and say so behind the keys in its help."""

    @wraps(command)
    def told(*arguments: Any, form: str, **given: Any) -> None:
        try:
            command(*arguments, form=form, **given)
        except (RegistryError, OSError) as error:
            if form == "json":
                with suppress(OSError):  # the words on stderr and the exit code still tell
                    write_json(_answer(error))
            raise

    told.__doc__ = f"{inspect.cleandoc(command.__doc__ or '')} {_KEYS}"
    return told


def _answer(error: RegistryError | OSError) -> dict[str, Any]:
    findings = error.findings if isinstance(error, AtFault) else []
    return {
        "refused": str(error) if isinstance(error, RegistryError) else system_words(error),
        "findings": to_rows(findings),
        "exit_code": error.exit_code if isinstance(error, RegistryError) else RegistryError.exit_code,
        "commit": None,
    }
