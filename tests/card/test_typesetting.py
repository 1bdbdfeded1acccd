"""Typesetting: the same bytes each time, nothing but template and data, and a code that can be decoded."""

import hashlib
import io
import json
import math
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdf
import pytest
import segno
import typst
import zxingcpp
from PIL import Image, ImageFilter

from registry.card import typeset
from registry.card.code import parse_code
from registry.card.typeset import card
from tests.card.cards import CARDS, every_paper, longest_card, pdf, pdf_of, unit_card
from tests.card.documents import request
from tests.card.reading import printed, rendered, without_blanks

PARTS = {part.name: part.read_text("utf-8") for part in sorted(typeset.SHEET.glob("*.typ"))}


@pytest.mark.parametrize("form", ["pdf", "png"])
def test_same_request_gives_the_same_bytes(form: Any) -> None:
    assert card(unit_card(), form) == card(unit_card(), form)


def test_same_request_gives_the_same_bytes_in_another_time_zone_and_process() -> None:
    program = (
        "import hashlib; from registry.card.typeset import card; "
        "from tests.card.documents import request;"
        "print(hashlib.sha256(card(request(), 'pdf')[0]).hexdigest())"
    )
    environment = {**os.environ, "TZ": "UTC-14", "LC_ALL": "C", "PYTHONHASHSEED": "7"}
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == hashlib.sha256(pdf(request())).hexdigest()


def test_another_date_gives_other_bytes() -> None:
    day = request().date.replace(day=2)
    assert pdf(request(date=day)) != pdf(request())


CODED = ["with a unit", "second surface", "longest", "longest, withdrawn", "longest, unbroken, draft"]
"""Cards with the shortest and the longest codes, and with the code in either place on the sheet."""


@pytest.mark.parametrize("name", CODED)
@every_paper
def test_code_in_the_png_is_read_by_an_independent_decoder(name: str, paper: str) -> None:
    asked = CARDS[name](paper)
    codes = zxingcpp.read_barcodes(Image.open(io.BytesIO(card(asked, "png")[0])))
    assert [str(code.format) for code in codes] == ["QR Code"]
    read_back = parse_code(codes[0].text)
    assert (read_back.mode_id, read_back.revision) == (asked.mode_id, asked.code_revision)
    assert (read_back.unit, read_back.unit_revision) == (asked.unit_id, asked.unit_revision)
    assert asked.digest.startswith(read_back.digest)


@pytest.mark.parametrize("name", CODED)
@every_paper
def test_modules_of_the_code_are_large_enough_for_a_telephone(name: str, paper: str) -> None:
    scale = 8.0  # pixels for a point
    image = rendered(pdf_of(name, paper), scale)
    (found,) = zxingcpp.read_barcodes(image)
    corners = found.position.top_left, found.position.top_right
    side = math.dist(*((corner.x, corner.y) for corner in corners)) / scale * 25.4 / 72
    modules = segno.make_qr(found.text, error="m").symbol_size(border=0)[0]
    # From memory: a telephone at arm's length reads modules of a third of a millimetre and more from paper.
    assert side / modules >= 0.39


@pytest.mark.parametrize("name", CODED)
@every_paper
def test_code_is_read_from_a_poor_photograph_of_the_page(name: str, paper: str) -> None:
    page = rendered(pdf_of(name, paper), 200 / 72).convert("L")
    askew = page.rotate(7, resample=Image.Resampling.BICUBIC, expand=True, fillcolor=255)
    pale = askew.filter(ImageFilter.GaussianBlur(1.2)).point(lambda grey: 60 + grey * 0.55)
    (found,) = zxingcpp.read_barcodes(pale)
    assert parse_code(found.text).mode_id == CARDS[name](paper).mode_id


def test_png_is_of_the_same_page() -> None:
    image = Image.open(io.BytesIO(card(request(paper="a5"), "png")[0]))
    assert image.width / image.height == pytest.approx(148 / 210, abs=0.001)
    assert image.width > 148 / 25.4 * 150


HOSTILE = (
    '#panic("x")',
    "$x^2$ *bold* _slant_ `raw`",
    "\\ back\\slash \\u{41}",
    "quotes \" ' and ]] [[ brackets",
    '#import "@preview/cetz:0.3.0"',
    "// no comment /* nor this */",
    "<label> @reference https://a.b",
    '#eval("1/0") #read("/etc/passwd")',
    "= heading -- dash --- ...",
)


@pytest.mark.parametrize("text", HOSTILE)
def test_text_of_a_record_is_never_taken_for_markup(text: str) -> None:
    asked = request()
    asked.substrate["title"] = text
    asked.mode.update({"title": text, "ink_set": text, "cautions": [text]})
    asked.mode["colour"]["profile"]["file"] = text
    asked.printer["title"] = text
    page = printed(pdf(asked))
    assert page.text.count(without_blanks(text)) >= 6


@pytest.mark.parametrize("part", PARTS)
def test_template_imports_nothing_but_its_own_parts(part: str) -> None:
    imports = re.findall(r"#import (.*)", PARTS[part])
    assert [each for each in imports if each.split('"')[1] not in PARTS] == []
    left = re.sub(r'#import "[a-z]+\.typ"', "", PARTS[part])
    assert re.findall(r"#?\b(?:import|include|plugin|eval|read)\b\s*[(\"]|@preview", left) == []


def test_parts_of_the_template_are_small() -> None:
    assert {name: len(text.splitlines()) for name, text in PARTS.items() if text.count("\n") > 250} == {}


def test_typesetting_sees_the_template_and_the_data_and_no_system_font(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[tuple[list[str], dict[str, Any], list[Any]]] = []

    def compile_and_look(source: Path, **given: Any) -> Any:
        root = Path(given["root"])
        files = [path.name for path in root.rglob("*")]
        assert not any(path.is_symlink() for path in [root, *root.rglob("*")])
        made, warnings = typst.compile_with_warnings(source, **given)
        seen.append((sorted(files), given, warnings))
        return made

    monkeypatch.setattr("typst.compile", compile_and_look)
    pdf(request())
    ((files, given, warnings),) = seen
    assert files == sorted(["card.json", *PARTS])
    assert given["ignore_system_fonts"] is True
    assert not Path(given["package_path"]).exists()
    assert not Path(given["root"]).exists()
    assert warnings == []


def test_pdf_holds_only_fonts_that_come_with_typst() -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf_of("with a unit", "a4")))
    fonts = reader.pages[0]["/Resources"]["/Font"]  # type: ignore[index]
    names = {font["/BaseFont"].partition("+")[2] for font in fonts.values()}
    bundled = {font.family.replace(" ", "") for font in typst.Fonts(include_system_fonts=False).fonts()}
    assert names
    assert {name for name in names if not name.startswith(tuple(bundled))} == set()


def test_pdf_is_tagged_and_named() -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf_of("with a unit", "a4")))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert root["/Lang"] == "en"  # type: ignore[index]
    assert b"pdfuaid" in root["/Metadata"].get_data()  # type: ignore[index]
    assert reader.metadata is not None
    assert reader.metadata.title == "Dayfilm 210 matte, Backlit, 16 passes r5"


def test_what_the_fonts_lack_is_spelled_out() -> None:
    asked = request()
    asked.substrate["title"] = "日 film"
    assert "[U+65E5]film" in printed(pdf(asked)).text


def test_every_character_that_is_let_through_can_be_printed(tmp_path: Path) -> None:
    letters = [chr(code) for code in range(0x20, 0x10000) if not typeset.UNPRINTABLE.match(chr(code))]
    fonts = re.search(r"font: (\([^)]*\))", PARTS["page.typ"])
    assert fonts
    source = tmp_path / "all.typ"
    source.write_text(
        f'#set document(title: "all")\n#set text(font: {fonts[1]})\n#json("all.json").join(" ")', "utf-8"
    )
    (tmp_path / "all.json").write_text(json.dumps(letters), "utf-8")
    made = typst.compile(
        source, root=tmp_path, ignore_system_fonts=True, format="pdf", pdf_standards=["ua-1"]
    )
    assert isinstance(made, bytes)
    assert len(letters) > 2000


def test_a_name_longer_than_any_page_goes_on() -> None:
    asked = longest_card("a5")
    asked.mode["title"] = "W" * 2000
    assert "W" * 500 in printed(pdf(asked)).text


def test_a_faulty_template_keeps_its_traceback(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "card.typ").write_text("#nothing-of-the-kind", "utf-8")
    monkeypatch.setattr(typeset, "SHEET", tmp_path)
    with pytest.raises(typst.TypstError, match="unknown variable"):
        pdf(request())
