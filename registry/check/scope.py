"""Which paths a check is asked about."""

from collections.abc import Collection

__all__ = ["Scope"]


class Scope:
    """Files and folders to which findings are kept; without any, everything is asked about."""

    def __init__(self, only: Collection[str] | None = None) -> None:
        self.only = None if only is None else frozenset(path.rstrip("/") for path in only)

    def __contains__(self, path: str) -> bool:
        """Whether a path, or a folder above it, was named."""
        if self.only is None or path in self.only:
            return True
        while path := path.rpartition("/")[0]:
            if path in self.only:
                return True
        return False
