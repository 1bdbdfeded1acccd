"""The tree of errors: each concept adds its own subclass beside it, with its exit code here."""

__all__ = ["RegistryError", "RequestError"]


class RegistryError(Exception):
    """The registry, or what was handed to it, cannot be used."""

    exit_code = 3


class RequestError(RegistryError):
    """What was asked for cannot be read as a question: a wrong option, name or expression."""

    exit_code = 2
