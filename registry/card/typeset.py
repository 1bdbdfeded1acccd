"""From facts to a sheet: typst typesets a template that reads the facts as data."""

import datetime
import io
import json
import re
import tempfile
from pathlib import Path
from typing import Any

from registry.card.facts import facts
from registry.card.request import CardRequest, Form
from registry.errors import RegistryError

__all__ = ["SHEET", "UNPRINTABLE", "CardError", "card"]

SHEET = Path(__file__).with_name("sheet")
"""The folder of the template, `card.typ`, and its parts."""
_PPI = 192
_QUIET = 4
"""Modules of white around the code (ISO/IEC 18004)."""

UNPRINTABLE = re.compile(
    "[^ -~\u00a0-\u00ac\u00ae-\u0377\u0386\u0388-\u038a\u038c\u038e-\u03a1\u03a3-\u04ff\u1e00-\u1eff"
    "\u2010-\u2027\u2030-\u2040\u2044-\u2052\u2054-\u205e\u2070\u2071\u2074-\u208e\u2090-\u209c\u20a0-\u20bf\u2100-\u211e\u2153-\u2184"
    "\u2190-\u23ff\u2460-\u25ff]"
)
"""What the bundled fonts cannot print."""

_LONG = re.compile(r"[^\s/-]{20,}")
"""A word that must be broken somewhere."""

_QUANTITY = re.compile(r"(?<=[0-9]) (?=[^\W\d_°%]{1,3}\b|[°%])")
"""The blank between a number and its unit, where no line may break."""


class CardError(RegistryError):
    """A card cannot be made."""


def card(request: CardRequest, form: Form) -> bytes:
    """Return the card as a PDF (tagged, PDF/UA-1) or as a PNG of the same page.

    The same request gives the same bytes.

    Raises
    ------
    CardError
        What the record says does not fit on one page.
    """
    import typst  # noqa: PLC0415 (only a card pays for it)

    said = facts(request)
    said["code"] = _code(said["record"]["code"])
    with tempfile.TemporaryDirectory(prefix="litstock-card-") as folder:
        root = Path(folder).resolve()
        for part in sorted(SHEET.glob("*.typ")):
            (root / part.name).write_bytes(part.read_bytes())
        (root / "card.json").write_text(
            json.dumps(_printable(said), ensure_ascii=False, allow_nan=False), encoding="utf-8"
        )
        try:
            made = typst.compile(
                root / "card.typ",
                root=root,
                ignore_system_fonts=True,
                package_path=root / "none",
                package_cache_path=root / "none",
                format=form,
                ppi=_PPI,
                timestamp=datetime.datetime.combine(request.date, datetime.time(), datetime.UTC),
                pdf_standards=["ua-1"] if form == "pdf" else [],
            )
        except typst.TypstError as error:
            if "no fit" not in str(error):
                raise
            raise CardError(_too_long(request)) from error
    page: bytes = made
    return page


def _too_long(request: CardRequest) -> str:
    return (
        f"the card of {request.mode_id} does not fit on one page of {request.paper}, even without cautions: "
        "use larger paper, or shorten the record's names and texts"
    )


def _code(text: str) -> dict[str, Any]:
    """Return the QR code (ISO/IEC 18004) of a text as SVG, and its width in modules."""
    import segno  # noqa: PLC0415 (only a card pays for it)

    code = segno.make_qr(text, error="m")
    drawn = io.BytesIO()
    code.save(drawn, kind="svg", border=_QUIET, xmldecl=False)
    return {"svg": drawn.getvalue().decode(), "modules": code.symbol_size(border=_QUIET)[0]}


def _printable(value: Any) -> Any:
    """Return the data with what the fonts lack spelled out, and with places to break in long words."""
    if isinstance(value, dict):
        return {name: held if name == "svg" else _printable(held) for name, held in value.items()}
    if isinstance(value, list):
        return [_printable(each) for each in value]
    if not isinstance(value, str):
        return value
    shown = UNPRINTABLE.sub(lambda found: f"[U+{ord(found[0]):04X}]", value)
    shown = _QUANTITY.sub("\u00a0", shown)
    return _LONG.sub(lambda found: "\u200b".join(found[0]), shown)
