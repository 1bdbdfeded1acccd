"""What somebody looks for."""

from typing import NamedTuple

__all__ = ["Request"]

_LITTLE = frozenset(
    "a an and are as at be by for from i in into is it its me my need of on or our some that the this to "
    "want we where which with".split()
)
"""Words that say nothing of a print mode; nearly every record has them somewhere."""


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

    def without_little_words(self) -> "tuple[Request, tuple[str, ...]]":
        """Return the request without words that say nothing of a print mode, and these words."""
        little = tuple(word for word in self.words if word.casefold() in _LITTLE)
        if not little:
            return self, ()
        return self._replace(words=tuple(word for word in self.words if word not in little)), little
