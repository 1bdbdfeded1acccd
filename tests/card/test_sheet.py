"""The sheet, read back by independent readers: pypdfium2 and pypdf."""

import copy
import io
import itertools
import re
from typing import Any

import pypdf
import pytest

from registry.card import typeset
from registry.model.shape import Found, shape_of
from tests.card import documents
from tests.card.cards import CARDS, every_card, every_paper, pdf, pdf_of, read
from tests.card.documents import request
from tests.card.longest import prose
from tests.card.reading import Printed, contrast, printed, rendered, without_blanks

TEMPLATE = "\n".join(part.read_text("utf-8") for part in sorted(typeset.SHEET.glob("*.typ")))


def setting_words(found: Found) -> str:
    """Return the value as the card is to say it, worked out apart from the card's own code."""
    value = found.value
    if isinstance(value, list):
        return ", ".join(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and len(value) == 64:
        return f"{value[:12]}…"
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return text.replace("-", "−") if found.setting.numeric else text


def entered(mode: dict[str, Any]) -> list[tuple[str, str]]:
    """Return label and value of every setting of a mode that an operator enters or expects."""
    found = shape_of("print-mode").flatten(mode).values()
    groups = {each.path.partition(".")[0] for each in found if not each.setting.aside}
    head = {"substrate", "printer", "layers"}
    said = []
    for each in found:
        top = each.path.partition(".")[0]
        if each.path.endswith(".channel"):  # the item's name, which stands without a label
            continue
        if top in groups - head or each.path.endswith("load_pct") or each.path.endswith(".passes"):
            arrow = "→" if each.setting.aside or each.path.startswith("heat.web_") else ""
            words = setting_words(each)
            words = words.replace("x", "×") if each.setting.unit == "dpi" else words
            said.append((each.setting.label, f"{arrow}{words}{each.setting.unit}"))
    return said


@every_paper
@every_card
def test_every_page_is_of_the_paper_asked_for(name: str, paper: str) -> None:
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(name, paper)))
    # ISO 216 in mm; US letter is 8.5 by 11 inches.
    size = {"a4": (210, 297), "a5": (148, 210), "letter": (215.9, 279.4)}[paper]
    for page in reader.pages:
        assert [float(side) * 25.4 / 72 for side in page.mediabox[2:]] == pytest.approx(size, abs=0.1)


@every_paper
@every_card
def test_nothing_is_printed_off_the_page(name: str, paper: str) -> None:
    page = read(name, paper)
    assert min(box[0] for box in page.boxes) >= 14
    assert min(box[1] for box in page.boxes) >= 14
    assert max(box[2] for box in page.boxes) <= page.width - 14
    assert max(box[3] for box in page.boxes) <= page.height - 14


@every_paper
@pytest.mark.parametrize("name", [name for name in CARDS if name != "US units"])
def test_every_setting_stands_with_its_label_at_ten_points_or_more(name: str, paper: str) -> None:
    asked, page = CARDS[name](paper), read(name, paper)
    small = {
        label: page.sizes_of(label + value)
        for label, value in entered(asked.mode)
        if max(page.sizes_of(label + value), default=0) < 9.99
    }
    assert small == {}


@every_paper
def test_settings_in_us_units_stand_at_ten_points_or_more(paper: str) -> None:
    page = read("US units", paper)
    # 55 °C is 131 °F, 100 °C is 212 °F, 1.8 mm is 0.0709 inch and 5 m²/h is 53.8 ft²/h, by the exact factors.
    for words in (
        "drying set-point 131 °F",
        "curing set-point 212 °F",
        "web temperature, centre → 198 °F",
        "head gap 0.0709 inch",
        "measured speed → 53.8 ft²/h",
        "load 200 %",
    ):
        assert max(page.sizes_of(words), default=0) >= 9.99, words


@pytest.mark.parametrize(("paper", "least"), [("a4", 15), ("letter", 14.5), ("a5", 10.5)])
def test_what_is_entered_is_larger_than_its_label_and_than_what_is_only_seen(
    paper: str, least: float
) -> None:
    page = read("with a unit", paper)
    label, seen = page.place_of("curing set-point 100"), page.place_of("centre → 92")
    entered = page.sizes[label + len("curingset-point")]
    assert entered >= least
    assert entered > page.sizes[label]
    assert entered > page.sizes[seen + len("centre→")] >= 9.99


def test_on_a5_each_setting_has_a_line_of_its_own_also_with_a_unit() -> None:
    page = read("with a unit", "a5")
    labels = (
        *("resolution", "pause between passes", "drying set-point", "curing set-point"),
        *(
            "dwell in the curing zone",
            "airflow",
            "vacuum 40",
            "tension",
            "rendering intent",
            "feed correction",
        ),
        *("two-way alignment", "vacuum on this machine"),
    )
    boxes = [page.boxes[page.place_of(label)] for label in labels]
    for column in (True, False):
        heights = sorted(top for left, _, _, top in boxes if (left < page.width / 2) is column)
        assert len(heights) >= 3
        # lines are 10 points apart, tall letters stand up to 3 points above short ones
        assert min(upper - lower for lower, upper in itertools.pairwise(heights)) > 7


@every_paper
def test_material_mode_printer_and_preset_come_first_and_are_largest(paper: str) -> None:
    asked = CARDS["with a unit"](paper)
    assert asked.unit
    asked.unit["own"][0]["preset"] = "backlit 16-pass"
    page = printed(pdf(asked))
    assert page.text.startswith(without_blanks("PUT IN"))
    for words in ("Dayfilm 210 matte", "Backlit, 16 passes", "Estuary 64 resin", "backlit 16-pass"):
        assert page.sizes_of(words)[0] == max(page.sizes), words
        assert page.place_of(words) < page.place_of("print side")


@every_paper
def test_the_digits_of_a_checksum_are_no_larger_than_a_label(paper: str) -> None:
    page = read("with a unit", paper)
    assert page.sizes_of("b7b7b7b7b7b7")[0] <= page.sizes_of("profile's SHA-256")[0]
    assert page.sizes_of("estuary-backlit-200.icc")[0] > page.sizes_of("b7b7b7b7b7b7")[0]


@pytest.mark.parametrize("base", ["film", "adhesive-film"])
@every_paper
def test_what_is_printed_is_drawn_with_its_panel_inside_its_boxes(base: str, paper: str) -> None:
    many = tuple(("warn", f"{number}: {prose(120)}") for number in range(40))  # sets the sheet densely
    asked = request(paper=paper, guidance=many)
    asked.substrate["construction"] = base
    page, scale = printed(pdf(asked)), 6.0
    assert "viewer↓panel" in page.text
    ink = rendered(pdf(asked), scale).convert("L")
    start = page.place_of(f"panel {base}") + len("panel")
    left, bottom, right, top = (
        min(page.boxes[start + k][0] for k in range(len(base))),
        min(page.boxes[start + k][1] for k in range(len(base))),
        max(page.boxes[start + k][2] for k in range(len(base))),
        max(page.boxes[start + k][3] for k in range(len(base))),
    )
    middle = round((page.height - (bottom + top) / 2) * scale)
    for edge, step in ((left, -1), (right, 1)):  # the slab's side stands beside the word, not through it
        beside = range(round(edge * scale) + 3 * step, 0 if step < 0 else ink.width, step)
        row = [ink.getpixel((x, middle)) for x in beside][: round(60 * scale)]
        assert min(int(each) for each in row[:6]) > 200  # type: ignore[arg-type]
        assert min(int(each) for each in row) < 60  # type: ignore[arg-type]
    assert "LOAD" not in page.text
    assert "inkload200%" in page.text


@every_paper
def test_groups_stand_in_the_order_of_entry(paper: str) -> None:
    page = read("with a unit", paper)
    firsts = (
        "load 200 %",
        "heaviest ink in the profile 220 %",
        "passes 16 direction",
        "drying set-point 55 °C",
        "vacuum 40 %",
        "profile estuary-backlit-200.icc",
        "finishing acrylic-face",
        "feed correction −0.12 %",
    )
    places = [page.text.find(without_blanks(words)) for words in firsts]
    assert -1 not in places
    assert places == sorted(places)


GROUPS = (
    "layers 1 colour", "ink heaviest", "motion passes", "heat drying", "web vacuum", "colour profile",
    "finishing acrylic-face", "this unit feed correction",
)  # fmt: skip


@pytest.mark.parametrize(("paper", "margins"), [("a4", 1), ("letter", 1), ("a5", 2)])
def test_each_group_begins_at_the_left_margin_and_never_among_values(paper: str, margins: int) -> None:
    page = read("with a unit", paper)
    starts = {words: page.boxes[page.place_of(words)] for words in GROUPS}
    lefts = {round(left) for left, *_ in starts.values()}
    assert len(lefts) == margins  # of the columns of a ledger each has its own
    for words, (left, bottom, _, top) in starts.items():
        column = page.width / 2 if left > page.width / 2 else 0
        before = [
            letter
            for letter, (a, b, c, d) in zip(page.text, page.boxes, strict=True)
            if column < a and c <= left and b < top and d > bottom
        ]
        assert before == [], words


@pytest.mark.parametrize(("paper", "least"), [("a4", 18), ("letter", 18), ("a5", 16)])
@pytest.mark.parametrize("name", ["with a unit", "with a job", "on trial", "longest"])
def test_the_revision_is_read_at_arms_length(name: str, paper: str, least: float) -> None:
    page, revision = read(name, paper), f"r{CARDS[name](paper).revision}"
    end = page.text.index("refused:do" if name == "longest" else "verifyagain")
    assert page.text[:end].endswith(f"revision{revision}")
    assert min(page.sizes[end - len(revision) : end]) >= (least if name != "longest" else 12)


@every_paper
@pytest.mark.parametrize(("name", "word"), [("with a unit", "no"), ("second surface", "yes")])
def test_what_mirrored_means_is_drawn_and_said(name: str, word: str, paper: str) -> None:
    assert f"{word}RprintsR" in read(name, paper).text


def suited(paper: str, **changes: Any) -> Printed:
    asked: dict[str, Any] = {"places": (("application", {"title": "Ticket counter"}),), "place_id": "counter"}
    return printed(pdf(request(paper=paper, **asked, **changes)))


@every_paper
def test_what_the_place_demands_and_is_not_met_stands_above_all_that_is_put_in(paper: str) -> None:
    unmet = (
        "scratch resistance of the printed face: fair; at least high wanted",
        "construction: film; sheet wanted",
    )
    page = suited(paper, unmet=unmet, untold=("hiding distance: not recorded; at most 9 mm wanted",))
    bar = (
        f"NOT KNOWN TO SUIT THIS PLACE, Ticket counter: {'. '.join(unmet)}. "
        "Cannot tell whether it suits: hiding distance: not recorded; at most 9 mm wanted. PUT IN"
    )
    assert page.text.startswith(without_blanks(bar))
    assert min(page.sizes_of(bar.removesuffix("PUT IN"))) >= 9.99


@every_paper
def test_what_is_only_unknown_of_a_place_is_a_line_without_large_words(paper: str) -> None:
    page = suited(paper, untold=("hiding distance: not recorded; at most 9 mm wanted",))
    assert page.text.startswith(
        without_blanks("Ticket counter: Cannot tell whether it suits: hiding distance")
    )
    assert "NOTKNOWN" not in page.text


@pytest.mark.parametrize(
    "name", ["with a unit", "on trial", "draft", "longest, withdrawn", "longest, everything"]
)
@every_paper
def test_all_text_contrasts_with_its_ground_in_a_grey_render(name: str, paper: str) -> None:
    data, scale = pdf_of(name, paper), 6.0
    page, grey = printed(data), rendered(data, scale).convert("L")
    pale = []
    for word, (left, bottom, right, top) in page.words():
        around = 0.8  # points: a hyphen's own box holds none of its ground
        corners = (left - around, page.height - top - around, right + around, page.height - bottom + around)
        area = grey.crop(tuple(round(corner * scale) for corner in corners))  # type: ignore[arg-type]
        darkest, lightest = (int(extreme) for extreme in area.getextrema())  # type: ignore[arg-type]
        if contrast(darkest, lightest) < 4.5:
            pale.append((word, darkest, lightest))
    assert pale == []


def test_greys_of_the_template_contrast_with_the_paper() -> None:
    texts = re.findall(r"#let (?:ink|soft) = luma\((\d+)\)", TEMPLATE) + re.findall(
        r"fill: luma\((\d+)\)", TEMPLATE
    )
    lines = re.findall(r"luma\((\d+)\)", TEMPLATE)
    assert len(texts) == 2
    assert [grey for grey in texts if contrast(int(grey), 255) < 4.5] == []
    # WCAG 2.2, 1.4.11: lines that carry meaning need 3:1.
    assert [grey for grey in lines if grey != "255" and contrast(int(grey), 255) < 3] == []


def test_contrast_is_what_wcag_says() -> None:
    # WCAG 2.2: black on white is 21:1; #767676 on white is the well-known 4.54:1.
    assert contrast(0, 255) == pytest.approx(21)
    assert contrast(0x76, 255) == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("name", ["with a unit", "longest, withdrawn"])
def test_no_colour_is_printed(name: str) -> None:
    red, green, blue = rendered(pdf_of(name, "a4"), 1.0).convert("RGB").split()
    assert red.tobytes() == green.tobytes() == blue.tobytes()


def test_ordinary_card_leaves_out_no_caution() -> None:
    page = read("with a unit", "a4")
    for text in [*(text for _, text in documents.GUIDANCE), *documents.MODE["cautions"]]:
        assert without_blanks(text) in page.text
    assert not re.search(r"NOROOM|\d+morepiece", page.text)


def test_values_of_another_mode_of_the_unit_are_not_printed() -> None:
    assert "3.75" not in read("with a unit", "a4").text


def test_unit_values_need_a_named_unit() -> None:
    page = printed(pdf(request()))
    assert "feedcorrection" not in page.text
    assert "two-wayalignment" not in page.text


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("on trial", "ON TRIAL"),
        ("draft", "DRAFT, on r5"),
        ("longest", "REFUSED"),
        ("longest, trial", "REFUSED, ON TRIAL"),
        ("longest, withdrawn", "DO NOT USE"),
    ],
)
@every_paper
def test_standing_other_than_known_good_is_said_in_the_largest_letters(
    name: str, words: str, paper: str
) -> None:
    page = read(name, paper)
    assert page.text.startswith(without_blanks(words))
    assert page.sizes_of(words)[0] == max(page.sizes)


@every_paper
def test_a_withdrawn_card_says_so_at_its_foot_and_not_when_to_verify_it(paper: str) -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["withdrawn"] = {
        "date": "2026-02-20",
        "reason": "It re-wets.",
        "instead": "lumenfold/dayfilm-210/b-20",
    }
    page = printed(pdf(request(paper=paper, mode=mode, standing="withdrawn")))
    assert "verifyagain" not in page.text
    foot = page.text[page.place_of("withdrawn: do not print with this card") :]
    assert foot.startswith(
        without_blanks(
            "withdrawn: do not print with this card. Use instead: lumenfold/dayfilm-210/b-20"
            "DO NOT USE: Dayfilm 210 matte, Backlit, 16 passes"
        )
    )


def test_the_foot_holds_what_a_card_is_verified_by() -> None:
    asked = CARDS["with a unit"]("a4")
    line = f"{asked.mode_id} r5 {asked.digest[:12]} harbour-yard/left@r4"
    assert without_blanks(line) in read("with a unit", "a4").text


@pytest.mark.parametrize(
    ("lighting", "words"),
    [
        ("backlit", "a cut of the real print goes here; judge it lit. Approved sample"),
        ("dual", "a cut of the real print goes here; judge it lit, and again with the lamps off. Approved"),
        ("frontlit", "a cut of the real print goes here. Approved sample"),
    ],
)
def test_the_sample_is_judged_lit_only_where_it_will_be(lighting: str, words: str) -> None:
    mode = copy.deepcopy(documents.MODE) | {"lighting": lighting}
    page = printed(pdf(request(mode=mode, guidance=())))
    assert without_blanks(words) in page.text
    assert ("judgeitlit" in page.text) is (lighting != "frontlit")


def test_the_usual_cautions_stand_on_every_card_however_full() -> None:
    long = tuple(("warn", f"rule {number:02}: {prose(300)}") for number in range(20))
    for rules in ((), long):
        text = printed(pdf(request(paper="a5", guidance=rules))).text
        assert "Blades:cutawayfromthehand" in text
        assert "Hot:heaters,platen" in text
