"""From facts to a sheet: typst typesets a template that reads the facts as data."""

import datetime
import io
import json
import re
import tempfile
from pathlib import Path
from typing import Any

from registry.card.facts import facts
from registry.card.fitting import fitting
from registry.card.request import CardRequest, Form

__all__ = ["SHEET", "UNPRINTABLE", "card", "fitters_sheet", "pages"]

SHEET = Path(__file__).with_name("sheet")
"""The folder of the templates, `card.typ`, `fitter.typ` and `report.typ`, and their parts."""
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


def pages(said: dict[str, Any], form: Form, template: str = "card") -> list[bytes]:
    """Return a sheet as a PDF (tagged, PDF/UA-1), or as a PNG for each of its pages.

    The same facts give the same bytes.
    """
    import typst  # noqa: PLC0415 (only a card pays for it)

    if "code" in said["record"]:
        said = {**said, "code": _code(said["record"]["code"])}
    day = datetime.date.fromisoformat(said["record"]["date"])
    with tempfile.TemporaryDirectory(prefix="litstock-card-") as folder:
        root = Path(folder).resolve()
        for part in sorted(SHEET.glob("*.typ")):
            (root / part.name).write_bytes(part.read_bytes())
        (root / "card.json").write_text(
            json.dumps(_printable(said), ensure_ascii=False, allow_nan=False), encoding="utf-8"
        )
        made: Any = typst.compile(
            root / f"{template}.typ",
            root=root,
            ignore_system_fonts=True,
            package_path=root / "none",
            package_cache_path=root / "none",
            format=form,
            ppi=_PPI,
            timestamp=datetime.datetime.combine(day, datetime.time(), datetime.UTC),
            pdf_standards=["ua-1"] if form == "pdf" else [],
        )
    return made if isinstance(made, list) else [made]


def card(request: CardRequest, form: Form) -> list[bytes]:
    """Return the printer's card: a PDF, or a PNG for each of its pages."""
    return pages(facts(request), form)


def fitters_sheet(request: CardRequest, form: Form) -> list[bytes]:
    """Return the sheet of whoever hangs the print, in the same forms."""
    return pages(fitting(request), form, "fitter")


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
