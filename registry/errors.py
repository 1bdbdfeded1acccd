"""The tree of errors: each concept adds its own subclass beside it, with its exit code here."""

__all__ = ["RegistryError", "RequestError", "system_words"]


class RegistryError(Exception):
    """The registry, or what was handed to it, cannot be used."""

    exit_code = 3


class RequestError(RegistryError):
    """What was asked for cannot be read as a question: a wrong option, name or expression."""

    exit_code = 2


def system_words(error: OSError) -> str:
    """Return in words what the system would not do, and what to do about it.

    >>> system_words(PermissionError(13, "Permission denied", "/media/cards"))
    "'/media/cards' cannot be used (permission denied): see that you may write there and that there is room"
    """
    what = repr(error.filename) if error.filename else "a file"
    why = (error.strerror or str(error)).lower()
    return f"{what} cannot be used ({why}): see that you may write there and that there is room"
