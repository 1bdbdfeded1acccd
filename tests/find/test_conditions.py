"""Conditions on any setting: how they are read, and what they refuse."""

import pytest

from registry.errors import RequestError
from registry.find.filters import condition
from registry.find.known import SIDES, askable, known
from registry.find.wanted import MET, UNKNOWN, UNMET, Bound, judge
from registry.index.readmodel import Value


def answer(text: str, *found: str | float) -> str:
    values = tuple(Value(None, each) if isinstance(each, str) else Value(each, f"{each:g}") for each in found)
    return judge(condition(text), values).answer


@pytest.mark.parametrize(
    ("text", "met", "unmet"),
    [
        ("heat.cure_c<=100", 100.0, 100.5),
        ("heat.cure_c<100", 99.5, 100.0),
        ("heat.cure_c>=100", 100.0, 99.5),
        ("heat.cure_c>100", 100.5, 100.0),
        ("heat.cure_c=100", 100.0, 99.0),
        ("heat.cure_c!=100", 99.0, 100.0),
        (" heat.cure_c  <=  1e2 ", 100.0, 101.0),
        ("coating=aqueous", "aqueous", "solvent"),
        ("coating = Aqueous", "aqueous", "solvent"),
        ("coating!=aqueous", "solvent", "aqueous"),
        ("coating~queo", "aqueous", "solvent"),
        ("title~LUSTRE", "a lustre film", "a matte film"),
        ("title=Dayfilm 210", "dayfilm 210", "dayfilm"),
        ("mirrored=yes", "yes", "no"),
        ("print.pencil>=H", "2H", "HB"),
        ("print.pencil>=h", "H", "F"),
        ("print.pencil<H", "F", "H"),
        ("print.pencil=H", "H", "2H"),
        ("print.pencil!=H", "2H", "H"),
        ("print.scratch>=good", "high", "fair"),
        ("fire.en-13501-1.rating>=C", "B-s1,d0", "D-s1,d0"),
        ("fire.en-13501-1.rating=B", "B-s2,d0", "C-s2,d0"),
        ("fire.en-13501-1.rating=B-s1,d0", "B-s1,d0", "B-s2,d0"),
        ("fire.en-13501-1.rating!=B-s1,d0", "B-s2,d0", "B-s1,d0"),
        ("fire.nfpa-701.rating>=pass", "pass", "fail"),
        ("recorded.date>=2026-01-01", "2026-02-03", "2025-12-31"),
        ("recorded.date!=2026-01-01", "2026-02-03", "2026-01-01"),
        ("colour.linearised<2026-01-01", "2025-12-31", "2026-01-01"),
    ],
)
def test_a_condition_compares_by_number_rank_day_or_text(
    text: str, met: str | float, unmet: str | float
) -> None:
    assert (answer(text, met), answer(text, unmet)) == (MET, UNMET)


def test_what_is_not_recorded_is_unknown_whatever_is_asked() -> None:
    for text in ("heat.cure_c<=100", "heat.cure_c!=100", "coating!=none", "print.pencil>=9B", "title~a"):
        assert answer(text) == UNKNOWN


def test_a_word_that_is_not_on_the_scale_is_unknown_whatever_is_asked() -> None:
    for op in ("<=", ">=", "=", "!=", "<", ">"):
        assert answer(f"fire.en-13501-1.rating{op}C", "class 2") == UNKNOWN


def test_of_a_list_one_item_is_enough_but_none_may_be_what_is_excluded() -> None:
    assert answer("widths_mm>=1500", 1067.0, 1524.0) == MET
    assert answer("widths_mm>=1600", 1067.0, 1524.0) == UNMET
    assert answer("finishing!=none", "acrylic-face", "film-laminate") == MET
    assert answer("finishing!=acrylic-face", "acrylic-face", "film-laminate") == UNMET


def test_the_margin_of_a_list_is_that_of_its_best_item() -> None:
    judged = judge(condition("widths_mm>=1000"), (Value(1067.0, "1067"), Value(1524.0, "1524")))
    assert judged.margin is not None
    assert judged.margin.amount == 524


def test_a_path_means_the_mode_first_then_the_substrate_then_the_printer() -> None:
    assert known("title").of == "mode"
    assert known("finishing").of == "mode"
    assert known("heat.max_web_c").of == "substrate"
    assert known("drop_volume_pl").of == "printer"
    assert known("substrate:title").of == "substrate"
    assert known("printer:title").of == "printer"


def test_every_setting_of_the_three_records_and_every_computed_one_can_be_asked_for() -> None:
    for of in SIDES:
        for path in askable(of):
            if not path.endswith(".rating"):
                assert known(f"{of}:{path}").path == path
    assert {"print.scratch", "print.pencil", "ink.volume_ml_m2"} < set(askable("mode"))
    assert {"layers.colour.load_pct", "trials.re-wet.passed"} < set(askable("mode"))
    assert {"fire.en-13501-1.rating", "widths_mm"} < set(askable("substrate"))
    assert "channels.*.role" in set(askable("printer"))


def test_a_condition_knows_the_settings_unit_label_and_words() -> None:
    assert condition("heat.cure_c<=100").bounds == (Bound("<=", 100.0),)
    assert (known("heat.cure_c").label, known("heat.cure_c").unit) == ("curing set-point", "°C")
    assert known("layers.white.load_pct").label == "layers: load, white"
    assert known("print.scratch").words == ("low", "fair", "good", "high")
    assert known("ink.volume_ml_m2").unit == "mL/m²"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("heat.cure_c", "'heat.cure_c' is no condition: write PATH, one of <= >= < > = != ~, and a value"),
        ("heat.cure_c<=", "'heat.cure_c<=' is no condition"),
        ("<=100", "'<=100' is no condition"),
        ("", "'' is no condition"),
        ("heat.cure_c<=warm", "heat.cure_c is a number in °C, not 'warm'"),
        ("heat.cure_c<=100°C", "heat.cure_c is a number in °C, not '100°C'"),
        ("heat.cure_c<=nan", "heat.cure_c is a number in °C, not 'nan'"),
        ("heat.cure_c<=inf", "heat.cure_c is a number in °C, not 'inf'"),
        ("heat.cure_c==100", "heat.cure_c is a number in °C, not '=100'"),
        ("motion.passes<=x", "motion.passes is a number, not 'x'"),
        ("thickness_um~2", "thickness_um is a number: ask with <=, >=, <, >, = or !=, not with ~"),
        ("coating>=aqueous", "coating has no order: ask with =, != or ~, not with >="),
        ("title<=b", "title has no order: ask with =, != or ~, not with <="),
        ("coating=aquous", "coating is never 'aquous': it is one of none, aqueous, .*; did you mean aqueous"),
        ("print.pencil>=hard", "'hard' is not on the scale of print.pencil: it has 9B, 8B"),
        (
            "fire.en-13501-1.rating>=Z",
            "'Z' is no class of EN 13501-1: it writes A1, A2 to D with smoke",
        ),
        ("recorded.date>=spring", "recorded.date is a day: write it as 2026-03-01, not 'spring'"),
        ("fire.*.rating>=C", "classes of different standards do not stand for each other"),
        (
            "heat.cur_c<=1",
            "no mode, substrate or printer has a setting 'heat.cur_c'; did you mean heat.cure_c",
        ),
        ("cure_c<=1", "has a setting 'cure_c'; did you mean heat.cure_c"),
        ("layers.wite.load_pct<=1", "did you mean layers.white.load_pct"),
        ("fire.en-13501.rating=C", "did you mean fire.en-13501-1.rating"),
        ("mode:thickness_um<=1", "no mode has a setting 'thickness_um': .* write substrate:thickness_um"),
        ("film:title=x", "'film:title' begins with 'film': write mode:, substrate:, printer:"),
        ("sources.kind=measured", "no mode, substrate or printer has a setting 'sources.kind'"),
        ("zzz=1", "has a setting 'zzz'; press Tab after --where"),
    ],
)
def test_what_cannot_be_read_says_what_is_wrong_and_what_to_write(text: str, message: str) -> None:
    with pytest.raises(RequestError, match=message) as error:
        condition(text)
    assert error.value.exit_code == 2
