"""What may be called the likely cause, what is no change, and what is not known."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.customer import bearing, saw
from registry.audit.effect import TYPICAL, Effect, looks, of_event, together
from registry.audit.request import of_complaint, of_prints
from registry.audit.usual import is_usual
from registry.light.difference import ciede2000
from registry.question.registry import Registry
from tests.audit.asking import every
from tests.audit.simulated.cases import registry_with
from tests.audit.simulated.story import BAD, GOOD, Story
from tests.goldens import run

LOTS = {"roll_lot": ("R-1", "R-1"), "ink_lot": ("I-1", "I-1")}
DARKER = {"before": "100 %", "after": "60 %"}
BLUER = {"before": "LED 4000 K", "after": "LED 6500 K"}


class Plain(Story):
    """A story in which nothing is late and no hour is left out."""

    def chance(self, share: float) -> bool:
        del share
        return False


def registered(
    folder: Path, tell: Callable[[Story], None], *, runs: bool = True, read: bool = False
) -> Registry:
    """Make a registry of one shop in which just this happened."""
    story = Plain(site="s1", rng=np.random.default_rng(1), lots=dict(LOTS))
    tell(story)
    if runs:
        story.ran(GOOD, "s1-good", bad=False)
        story.ran(BAD, "s1-bad", bad=True)
    story.complained(read=read)
    return registry_with(folder, [story])


def asked(folder: Path, tell: Callable[[Story], None], **said: bool) -> AuditAnswer:
    registry = registered(folder, tell, **said)
    return audit(registry, of_complaint(registry, "s1/refused"))


def heavier(story: Story) -> None:
    layer = {"what": "colour", "load_pct": 240, "passes": 16}
    story.mode_revised(10, {"layers": [layer]}, "More ink")
    story.changed(load=240)


def dimmed(story: Story) -> None:
    story.happened(11, "dimming", "Dimmed", display=story.display, **DARKER)
    story.changed(light=0.6)


def other_roll(story: Story) -> None:
    story.lots["roll_lot"] = ("R-1", "R-2")


def nothing(story: Story) -> None:
    """Leave all as it was."""


@pytest.mark.parametrize("read", [False, True])
@pytest.mark.parametrize(("tell", "cause"), [(heavier, "load, colour"), (dimmed, "dimming")])
def test_one_change_that_goes_the_way_that_was_seen_is_the_likely_cause(
    tmp_path: Path, tell: Callable[[Story], None], cause: str, read: bool
) -> None:
    answer = asked(tmp_path / "r", tell, read=read)
    assert answer.likely_cause == cause
    assert any(line.startswith(f"the likely cause is {cause}: ") for line in answer.in_short)


def test_without_proof_of_the_settings_none_of_them_is_the_likely_cause(tmp_path: Path) -> None:
    answer = asked(tmp_path / "r", heavier, runs=False)
    assert (answer.clues[0].label, answer.likely_cause) == ("load, colour", "")
    (said,) = (line for line in answer.in_short if line.startswith("look first at"))
    assert said.endswith("but not surely: no run or adoption proves the settings of both prints")


def test_what_cannot_be_computed_is_never_the_likely_cause(tmp_path: Path) -> None:
    answer = asked(tmp_path / "r", other_roll)
    assert (answer.clues[0].label, answer.likely_cause) == ("roll lot", "")
    assert "look first at: roll lot, but not surely: what it does cannot be computed" in answer.in_short


def test_what_goes_the_other_way_comes_last(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        layer = {"what": "colour", "load_pct": 150, "passes": 16}
        story.mode_revised(10, {"layers": [layer]}, "Less ink")
        dimmed(story)

    answer = asked(tmp_path / "r", tell)
    assert [(each.label, each.works) for each in answer.clues] == [
        ("dimming", "towards"),
        ("load, colour", "against"),
    ]


def test_a_change_that_nobody_would_see_ranks_down_with_the_reason(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        story.happened(11, "dimming", "Set anew", display=story.display, before="100 %", after="99 %")
        story.changed(light=0.6)

    answer = asked(tmp_path / "r", tell)
    (trifle,) = answer.clues
    assert (trifle.likely, trifle.why) == (
        False,
        "computed ΔE00 0.2 on typical patches: too little to be seen",
    )
    assert "less likely: computed ΔE00 0.2 on typical patches" in " ".join(
        run(tmp_path / "r", "audit", "s1/refused").stdout.split()
    )


def test_what_is_not_likely_is_named_with_a_doubt_however_well_it_fits_the_readings(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        story.happened(11, "dimming", "Set anew", display=story.display, before="100 %", after="99 %")
        story.changed(light=0.6)

    answer = asked(tmp_path / "r", tell, read=True)
    assert answer.likely_cause == ""
    assert "look first at: dimming, but not surely: none of it is likely with this defect" in answer.in_short


def test_a_head_is_not_outranked_by_a_lot_for_being_near_in_time(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        story.happened(5, "head-replaced", "Head replaced", unit=story.unit)
        story.happened(6, "lamp-all-replaced", "Bars renewed", display=story.display)
        other_roll(story)
        story.changed(drops=(1, 1, 1.5, 1))

    answer = asked(tmp_path / "r", tell)
    assert [each.label for each in answer.clues] == ["all lamps replaced", "head replaced", "roll lot"]


def test_the_rest_of_what_was_read_is_unexplained_and_laid_to_nobody(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        dimmed(story)
        other_roll(story)
        story.changed(light=0.6 * 0.6)

    answer = asked(tmp_path / "r", tell, read=True)
    assert answer.explained is not None
    assert 0.3 < answer.explained.share < 0.6
    assert {each.label: each.explains is None for each in answer.clues} == {
        "dimming": False,
        "roll lot": True,
    }
    assert answer.likely_cause == ""
    assert any(line.endswith("of it, the rest is unexplained") for line in answer.in_short)


def test_with_no_change_on_record_a_difference_that_was_read_is_no_calm_answer(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        story.changed(light=0.6)

    answer = asked(tmp_path / "r", tell, read=True)
    assert not answer.changed
    assert any("something changed that nobody wrote down" in line for line in answer.in_short)
    assert run(tmp_path / "r", "audit", "s1/refused").exit_code == 1


def test_where_an_instrument_found_no_difference_and_nothing_is_open_the_answer_is_calm(
    tmp_path: Path,
) -> None:
    answer = asked(tmp_path / "r", nothing, read=True)
    assert (answer.changed, answer.in_doubt) == (False, False)
    assert "nothing is known to have changed, and the readings show no difference" in answer.in_short
    assert run(tmp_path / "r", "audit", "s1/refused").exit_code == 0


@pytest.mark.parametrize("runs", [False, True])
def test_without_readings_lamps_and_lots_stay_open(tmp_path: Path, runs: bool) -> None:
    answer = asked(tmp_path / "r", nothing, runs=runs)
    assert (answer.changed, answer.in_doubt) == (False, True)
    assert "nothing is known to have changed" not in answer.in_short
    assert any(each.startswith("whether the lamps of s1/box were the same") for each in answer.unknown)


def test_what_is_not_known_of_the_settings_is_told_before_trifles(tmp_path: Path) -> None:
    answer = asked(tmp_path / "r", heavier, runs=False)
    assert answer.unknown[0].startswith("whether r1 was really in use for the good print")
    assert answer.unknown[-1] == "how far the refused print is off: no instrument reading of it is on record"


def test_a_value_noted_for_the_first_time_is_no_change(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        patch = {"box_reflectance_pct": 82, "ambient_lx": 300}
        story.revised(9, f"records/sites/{story.site}/displays/box.json", patch, "Measured")

    answer = asked(tmp_path / "r", tell)
    assert answer.clues == ()
    assert (
        "what box reflectance, ambient light on the face of the display s1/box had been at the good print: "
        "first noted since"
    ) in answer.unknown


def test_an_adoption_is_no_change_beside_the_settings_that_it_brought(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        heavier(story)
        story.happened(12, "adopted", "Taken into use", unit=story.unit, mode=story.mode)

    answer = asked(tmp_path / "r", tell)
    assert [each.label for each in answer.clues] == ["load, colour"]
    assert [each.event for each in answer.clues[0].also] == ["adopted"]
    assert any(each.what.startswith("adopted: ") for each in answer.timeline)


def test_settings_that_were_published_and_never_taken_into_use_are_told(tmp_path: Path) -> None:
    def tell(story: Story) -> None:
        story.mode_revised(
            10, {"layers": [{"what": "colour", "load_pct": 150, "passes": 16}]}, "For the new ink"
        )
        story.stays = True
        story.changed(load=240)

    answer = asked(tmp_path / "r", tell)
    (published,) = answer.clues
    assert (published.label, published.event, published.likely, published.works) == (
        "r2 not taken into use",
        "not-adopted",
        True,
        "towards",
    )
    assert answer.likely_cause == ""


@pytest.mark.parametrize(("hour", "said"), [("", True), ("T18:00", False)])
def test_of_a_print_of_which_only_the_day_is_known_both_answers_are_told(
    tmp_path: Path, hour: str, said: bool
) -> None:
    def tell(story: Story) -> None:
        heavier(story)
        story.happened(12, "adopted", "Taken into use", unit=story.unit, mode=story.mode)
        story.happened(12, "firmware", "Brought up to date", unit=story.unit)

    registry = registered(tmp_path / "r", tell)
    asking = of_prints(
        registry,
        unit="s1/press",
        mode="maker-s1/film/lit",
        printed="2026-03-20T10:00",
        good=f"2026-03-12{hour}",
        defect="too-dark",
    )
    answer = audit(registry, asking)
    settings = [each for each in answer.unknown if "had the settings of r2 or of r1" in each]
    order = [each for each in answer.unknown if each.startswith("whether firmware (")]
    assert (bool(settings), bool(order)) == (said, said)
    assert ("firmware" in {each.label for each in every(answer)}) is said


@pytest.mark.parametrize("what", ["layers.*.load_pct", "layers.colour.load_pct"])
def test_ink_that_lets_light_through_causes_no_hot_spots(what: str) -> None:
    """Common practice, no source."""
    assert not is_usual("hot-spots", "mode", what)
    assert is_usual("hot-spots", "mode", "layers.*.load_pct", "layers.white.load_pct")


@pytest.mark.parametrize(
    ("effect", "defect", "what", "works"),
    [
        (Effect(light=0.6), "too-dark", "", "towards"),
        (Effect(light=1.5), "too-dark", "", "against"),
        (Effect(ink=0.7), "too-light", "", "towards"),
        (Effect(lamp=(0.95, 1, 1.4)), "cast", "The sky looks bluer", "towards"),
        (Effect(lamp=(0.95, 1, 1.4)), "cast", "The sky looks yellower", "against"),
        (Effect(lamp=(0.95, 1, 1.4)), "cast", "Looks wrong", ""),
    ],
)
def test_which_way_a_change_goes_is_held_against_what_was_seen(
    effect: Effect, defect: str, what: str, works: str
) -> None:
    assert bearing(effect, defect, what).works == works


def test_words_that_contradict_each_other_say_no_way() -> None:
    assert saw("cast", "darker here, lighter there") == {}


def test_dimming_alone_explains_no_cast() -> None:
    assert bearing(Effect(light=0.7), "cast", "").too_little


@pytest.mark.parametrize(
    ("before", "after", "bluer"),
    [
        ("LED 4000 K", "LED 6500 K", True),
        ("twelve, 4000 K", "eight 4000 K, four 3000 K", False),
        ("LED", "LED 6500 K", None),
        ("", "", None),
    ],
)
def test_lamps_are_as_blue_as_their_kelvins_say(before: str, after: str, bluer: bool | None) -> None:
    effect = of_event({"kind": "lamp-some-replaced", "before": before, "after": after})
    assert (effect and effect.lamp[2] > 1) is bluer


def test_light_on_its_own_scales_luminance() -> None:
    """CIE 15: L* = 116 (Y/Yn)^(1/3) - 16, so half the light of a white leaves L* 76.07."""
    assert looks(Effect(light=0.5), TYPICAL[:1])[0] == pytest.approx([76.0693, 0, 0], abs=1e-4)


def test_ink_doubles_the_density_of_what_is_printed_and_leaves_the_white() -> None:
    """Beer-Lambert: a grey of Y 0.5 gets Y 0.25, which is L* 57.08 (CIE 15)."""
    grey = TYPICAL[-1]._replace(lab=(76.0693, 0, 0))
    white, printed = looks(Effect(ink=2), [TYPICAL[0], grey])
    assert white == pytest.approx([100, 0, 0], abs=1e-6)
    assert printed == pytest.approx([57.0754, 0, 0], abs=1e-3)


def test_a_load_raised_and_channels_held_cancel_in_solids_alone() -> None:
    both = together([Effect(ink=1.25), Effect(held=(("cyan", 0.8),))])
    moved: Any = ciede2000([each.lab for each in TYPICAL], looks(both, TYPICAL))
    by_name = {each.name: float(de) for each, de in zip(TYPICAL, moved, strict=True)}
    assert by_name["cyan solid"] == pytest.approx(0, abs=1e-6)
    assert by_name["black 50 %"] > 2
