"""Readings that are no numbers, or beyond all measure: in measurement files, spectra of lamps, profiles."""

import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from registry.shipped import shipped
from tests.hostile.conftest import Tried
from tests.hostile.test_numbers import asked
from tests.lit.lighted import BOX, LightedShop, flat_reading, reading
from tests.tune.ladders import ladder_text

_NONE = ("nan", "NaN", "inf", "-inf", "1e308", "-1e308", "1e-308", "5e-324", "1e400", "0x10", "1_000", "٣")
"""No reading: refused with its line and its field."""
_ODD = ("0", "-0", "1e-30", "-1e-17", "1e12", "-1", "1e6", "9" * 12)
"""Numbers that an instrument may write; answered, doubted or refused, but never as nan or inf."""
_FLAT = {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.01), "g": ((0, 0, 0, 50), 0.1)}
_FORMS = ("text", "json", "csv", "markdown")


def _cells(text: str) -> list[tuple[int, list[str]]]:
    """Return the sets of a file, each with its line."""
    lines = text.splitlines()
    first, last = lines.index("BEGIN_DATA") + 1, lines.index("END_DATA")
    return [(at, re.split(r"[\t ]", lines[at])) for at in range(first, last)]


def _altered(chance: random.Random, text: str, words: tuple[str, ...], first: int) -> tuple[str, int]:
    """Return a file in which one number of a set, from its column `first` on, is another, and its line."""
    at, cells = chance.choice(_cells(text))
    cells[chance.randrange(first, len(cells))] = chance.choice(words)
    lines = text.splitlines()
    lines[at] = "\t".join(cells) if "\t" in lines[at] else " ".join(cells)
    return "\n".join(lines) + "\n", at + 1


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry in which readings and lamps landed that hold what is no number, or an odd one."""
    folder = tmp_path_factory.mktemp("readings") / "registry"
    made, chance = LightedShop(folder), random.Random("landed")
    plain = flat_reading(_FLAT)
    with made.series:
        made.lit_film("maker/film", reading())
        for number, word in enumerate((*_NONE, *_ODD)):
            one, _ = _altered(chance, plain, (word,), 6)
            made.lit_film(f"maker/odd-{number}", one)
            made.lit_film(
                f"maker/black-{number}", re.sub(r"(?m)^(2 k( \S+){4}) .*$", rf"\1{f' {word}' * 36}", plain)
            )
            made.lamp(f"odd-{number}", first=word)
            lamp = {"illuminant": "LED-B3", "spectrum": f"odd-{number}.txt"}
            made.put("display", f"harbour-yard/odd-{number}", **{**BOX, "lamp": lamp})
        made.registry()
    return folder


MODES = [f"maker/{name}-{number}/mode" for name in ("odd", "black") for number in range(len(_NONE + _ODD))]


@pytest.mark.parametrize("form", _FORMS)
def test_what_landed_is_computed_with_or_told(shop: Path, tried: Tried, form: str) -> None:
    for mode in MODES:
        asked(shop, "light", "harbour-yard/box", mode, "maker/film/mode", "--format", form)
    asked(shop, "light", "harbour-yard/box", *MODES, "--ambient", "0", "--format", form)
    for path in ("lit.contrast", "lit.contrast_dark", "lit.kept_pct", "lit.white_cd_m2"):
        asked(shop, "find", "--for", "harbour-yard/box", "--where", f"{path}>0", "--format", form)
    asked(shop, "nearest", "coating=aqueous", "light.transmittance_pct=40", "--limit", "50", "--format", form)
    tried("questions of odd readings that landed", len(MODES) + 6)


@pytest.mark.parametrize("form", _FORMS)
def test_a_lamp_with_odd_readings_is_computed_with_or_told(shop: Path, tried: Tried, form: str) -> None:
    for number, word in enumerate((*_NONE, *_ODD)):
        result = asked(shop, "light", f"harbour-yard/odd-{number}", "maker/film/mode", "--format", form)
        assert word not in _NONE or form not in {"text", "json"} or "could not be read" in result.stdout
    tried("lamps with odd readings", len(_NONE + _ODD))


@pytest.mark.parametrize("form", ["text", "json"])
def test_differences_of_what_landed_are_told(shop: Path, form: str) -> None:
    for mode in MODES:
        asked(shop, "diff", "maker/film/mode", mode, "--format", form)


@pytest.mark.parametrize("kind", ["reading", "ladder"])
def test_a_reading_that_is_no_number_is_refused_with_its_line(
    shop: Path, tmp_path: Path, tried: Tried, times: int, kind: str
) -> None:
    chance = random.Random(f"none {kind}")
    text, first = (flat_reading(_FLAT), 6) if kind == "reading" else (ladder_text(loads="60 140 220"), 8)
    for _ in range(40 * times):
        bad, line = _altered(chance, text, _NONE, first)
        path = tmp_path / "file.txt"
        path.write_text(bad, encoding="utf-8")
        result = asked(shop, "measure", str(path), "--format", chance.choice(_FORMS))
        assert result.exit_code == 3
        assert re.search(rf"line {line}: SPECTRAL_NM\d+ is '", result.stderr), result.stderr
    tried("measurement files with what is no number", 40 * times)


@pytest.mark.parametrize("column", ["LOAD_PCT", "PASSES", "MOTTLE"])
def test_a_ladder_whose_columns_hold_no_number_is_refused(shop: Path, tmp_path: Path, column: str) -> None:
    text = ladder_text(loads="60 140 220")
    names = next(line for line in text.splitlines() if line.startswith("SAMPLE_ID")).split("\t")
    lines = text.splitlines()
    at, cells = _cells(text)[3]
    for word in _NONE:
        cells[names.index(column)] = word
        lines[at] = "\t".join(cells)
        path = tmp_path / "ladder.txt"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        args = ("tune", str(path), "--substrate", "maker/film", "--printer", "wide", "--format", "json")
        result = asked(shop, *args)
        assert result.exit_code == 3, (word, result.output)
        assert column in result.stderr, result.stderr
        assert asked(shop, "measure", str(path), "--format", "json").exit_code == 1


@pytest.mark.parametrize("kind", ["reading", "ladder"])
def test_an_odd_reading_is_answered_or_told(
    shop: Path, tmp_path: Path, tried: Tried, times: int, kind: str
) -> None:
    chance = random.Random(f"odd {kind}")
    text, first = (flat_reading(_FLAT), 2) if kind == "reading" else (ladder_text(loads="60 140 220"), 3)
    for _ in range(30 * times):
        bad = text
        for _ in range(chance.choice((1, 1, 5, 60))):
            bad, _ = _altered(chance, bad, _ODD, first)
        path = tmp_path / "file.txt"
        path.write_text(bad, encoding="utf-8")
        asked(shop, "measure", str(path), "--format", chance.choice(_FORMS))
        asked(shop, "measure", str(path), "--mode", "maker/film/mode", "--format", chance.choice(_FORMS))
        if kind == "ladder":
            args = ("tune", str(path), "--substrate", "maker/film", "--printer", "wide")
            asked(shop, *args, "--for", "harbour-yard/box", "--format", chance.choice(_FORMS))
    tried("measurement files with odd numbers", 30 * times)


def test_a_number_of_a_cxf_document_that_is_none_is_refused(
    shop: Path, tmp_path: Path, tried: Tried, times: int
) -> None:
    chance = random.Random("cxf")
    whole = (Path(__file__).parents[1] / "measurement" / "print.cxf").read_text(encoding="utf-8")
    numbers = [found.span() for found in re.finditer(r"(?<=[> ])[0-9]+\.[0-9]+(?=[< ])", whole)]
    path = tmp_path / "print.cxf"
    for _ in range(30 * times):
        first, last = chance.choice(numbers)
        word = chance.choice(("nan", "inf", "INF", "-INF", "1e308", "5e-324", "1e400"))
        path.write_text(f"{whole[:first]}{word}{whole[last:]}", encoding="utf-8")
        result = asked(shop, "measure", str(path), "--format", chance.choice(_FORMS))
        assert result.exit_code == 3, (word, result.output)
        assert re.search(r"line \d+: ", result.stderr), result.stderr
    tried("CxF documents with what is no number", 30 * times)


def _words() -> Iterator[bytes]:
    for number in (0, 1, 2**15, 2**16, 2**31 - 1, 2**31, 2**32 - 1):
        yield number.to_bytes(4, "big")
    yield from (b"\x7f\xc0\x00\x00", b"\x7f\x80\x00\x00", b"nan ", b"inf ")


def test_a_profile_with_odd_numbers_is_told(shop: Path, tmp_path: Path, tried: Tried, times: int) -> None:
    chance, words = random.Random("profile"), list(_words())
    whole = min(shipped("records").rglob("*.icc")).read_bytes()
    path = tmp_path / "profile.icc"
    for _ in range(60 * times):
        data = bytearray(whole)
        for _ in range(chance.choice((1, 2, 8))):
            at = 4 * chance.randrange(chance.choice((33, 60, len(data) // 4)))
            data[at : at + 4] = chance.choice(words)
        path.write_bytes(data)
        asked(shop, "measure", str(path), "--format", "json")
        wanted = ("--reason", "why", "--dry-run", "--site", "harbour-yard", "--format", "json")
        asked(shop, "revise", "maker/film/mode", "--attach", str(path), *wanted)
    tried("profiles with odd numbers", 60 * times)
