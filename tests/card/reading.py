"""A card's PDF as an independent reader sees it: characters with sizes, and pixels."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw
from PIL import Image

__all__ = ["Printed", "contrast", "printed"]

_BLANK = re.compile(r"[\s\u200b\x00\u00a0]+")
_HYPHENS = {"\ufffe": "-", "\x02": "-"}
"""What pdfium makes of a hyphen at the end of a line."""


@dataclass(frozen=True, slots=True)
class Printed:
    """All pages of a card, one after the other."""

    pages: int
    text: str
    """What is printed, in order, without blanks."""
    sizes: tuple[float, ...]
    """Font size in points of each character of the text."""
    boxes: tuple[tuple[float, float, float, float], ...]
    """Left, bottom, right, top of each character, in points."""
    on: tuple[int, ...]
    """The page of each character, from 1."""
    width: float
    height: float

    def page(self, number: int) -> str:
        """Return the text of one page."""
        return "".join(letter for letter, on in zip(self.text, self.on, strict=True) if on == number)

    def sizes_of(self, words: str) -> list[float]:
        """Return the smallest size in each place where the words stand, blanks aside."""
        wanted = without_blanks(words)
        starts = [found.start() for found in re.finditer(re.escape(wanted), self.text)]
        return [min(self.sizes[start : start + len(wanted)]) for start in starts]

    def place_of(self, words: str) -> int:
        """Return the place of the first character of the words' first standing."""
        return self.text.index(without_blanks(words))

    def words(self) -> Iterator[tuple[str, tuple[float, float, float, float]]]:
        """Yield runs of the first page's characters that touch on one line, with the box around them."""
        run, box = "", (0.0, 0.0, 0.0, 0.0)
        for letter, (left, bottom, right, top) in zip(self.page(1), self.boxes, strict=False):
            if run and abs(left - box[2]) < 1.5 and bottom < box[3] and top > box[1]:
                run, box = run + letter, (box[0], min(box[1], bottom), right, max(box[3], top))
                continue
            if run:
                yield run, box
            run, box = letter, (left, bottom, right, top)
        if run:
            yield run, box


def without_blanks(words: str) -> str:
    return _BLANK.sub("", words)


def printed(pdf: bytes) -> Printed:
    document = pypdfium2.PdfDocument(pdf)
    letters, sizes, boxes, on = [], [], [], []
    for number, page in enumerate(document, 1):
        text = page.get_textpage()
        for index in range(text.count_chars()):
            letter = chr(pypdfium2.raw.FPDFText_GetUnicode(text.raw, index))
            letter = _HYPHENS.get(letter, letter)
            if not without_blanks(letter):
                continue
            letters.append(letter)
            sizes.append(round(pypdfium2.raw.FPDFText_GetFontSize(text.raw, index), 3))
            boxes.append(text.get_charbox(index))
            on.append(number)
    width, height = document[0].get_size()
    return Printed(len(document), "".join(letters), tuple(sizes), tuple(boxes), tuple(on), width, height)


def rendered(pdf: bytes, scale: float) -> Image.Image:
    image: Image.Image = pypdfium2.PdfDocument(pdf)[0].render(scale=scale).to_pil()
    return image


def contrast(one: int, other: int) -> float:
    """Return the contrast ratio of two greys of 0 … 255 (WCAG 2.2, relative luminance and contrast ratio)."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(grey: int) -> float:
    value = grey / 255
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
