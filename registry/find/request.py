"""What somebody looks for."""

from typing import NamedTuple

__all__ = ["Request"]


class Request(NamedTuple):
    """One question to `find`; what is left empty is not asked for."""

    words: tuple[str, ...] = ()
    """Each must begin a word of what the mode, its substrate or its printer says."""
    use: str = ""
    """An application or a display, by its id."""
    construction: tuple[str, ...] = ()
    base: tuple[str, ...] = ()
    coating: tuple[str, ...] = ()
    finish: tuple[str, ...] = ()
    scratch: str = ""
    """Lowest scratch grade of the printed face."""
    pencil: str = ""
    """Lowest pencil hardness of the printed face."""
    lighting: str = ""
    printer: str = ""
    site: str = ""
    """Only modes for printers that stand there."""
    min_width_mm: float | None = None
    status: tuple[str, ...] = ("known-good",)
    where: tuple[str, ...] = ()
    """Conditions on any setting, such as `heat.cure_c<=100`."""
    why: str = ""
    """A substrate or a mode of which to say why it is in or out."""
    limit: int = 10
    """How many finds, or near misses, to give."""
