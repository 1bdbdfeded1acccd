"""What to start from for a material that a registry does not have."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest

from registry.errors import RequestError
from registry.find.answer import find
from registry.find.request import Request
from registry.nearest.asking import Asked, NearestAnswer, nearest
from registry.store.repository import Repository
from tests.lit.lighted import LightedShop, flat_reading, reading

_FACTS: dict[str, Any] = {
    "coating": "aqueous",
    "construction": "film",
    "base": "polyester",
    "light": {"transmittance_pct": 38, "scattering": "diffusing"},
}
_REFUSES = {"when": {"/substrate/coating": {"const": "solvent"}}, "level": "refuse", "text": "It re-wets."}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[LightedShop]:
    made = LightedShop(tmp_path / "registry")
    with made.series:
        yield made


def ask(shop: LightedShop, facts: dict[str, Any] | None = None, **asked: Any) -> NearestAnswer:
    return nearest(shop.registry(), Asked(facts or _FACTS, **asked))


def films(answer: NearestAnswer) -> list[str]:
    return [each.substrate for each in answer.relatives]


def test_relatives_come_nearest_first(shop: LightedShop) -> None:
    shop.lit_film("maker/sticky", construction="adhesive-film")
    shop.lit_film("maker/film", reading())
    shop.lit_film("maker/pvc", base="pvc")
    assert films(ask(shop)) == ["maker/film", "maker/pvc", "maker/sticky"]


@pytest.mark.parametrize("construction", ["banner", "fabric", "sheet", "paper"])
def test_what_is_printed_in_another_way_is_no_relative_however_alike_it_is(
    shop: LightedShop, construction: str
) -> None:
    shop.lit_film("maker/other", reading(), construction=construction)
    answer = ask(shop)
    assert films(answer) == []
    assert answer.apart == ((f"it is a {construction}, not a film: another way to print", 1),)
    assert films(ask(shop, {**_FACTS, "construction": construction})) == ["maker/other"]


def test_a_mode_for_the_second_surface_is_a_start_for_what_is_known_to_be_clear(shop: LightedShop) -> None:
    clear = {"transmittance_pct": 88, "reflectance_back_pct": 9, "scattering": "clear"}
    shop.lit_film("maker/pane", reading(), light=clear, mode_print_side="second-surface", mode_mirrored=True)
    unsaid = {**_FACTS, "light": {"transmittance_pct": 88}}
    answer = ask(shop, unsaid)
    assert films(answer) == []
    assert "printed on its second surface" in answer.apart[0][0]
    assert films(ask(shop, {**_FACTS, "light": clear})) == ["maker/pane"]


def test_names_and_order_play_no_part(shop: LightedShop) -> None:
    shop.lit_film("zeta/film", reading())
    shop.lit_film("alpha/pvc", base="pvc")
    assert films(ask(shop)) == ["zeta/film", "alpha/pvc"]


def test_a_mode_that_nobody_confirmed_is_no_start(shop: LightedShop) -> None:
    shop.lit_film("maker/film", confirmed=[])
    assert films(ask(shop)) == []


def test_a_front_lit_mode_is_no_start_for_backlit_work(shop: LightedShop) -> None:
    shop.lit_film("maker/film", mode_lighting="frontlit")
    shop.lit_film("maker/dual", mode_lighting="dual")
    assert films(ask(shop)) == ["maker/dual"]


def test_guidance_that_refuses_the_coating_refuses_the_material(shop: LightedShop) -> None:
    shop.put("guidance", "re-wets", **_REFUSES)
    shop.lit_film("maker/film", coating="solvent")
    answer = ask(shop, {**_FACTS, "coating": "solvent"})
    assert [each.rule for each in answer.refused] == ["re-wets"]
    assert answer.relatives == ()


def test_a_relative_that_guidance_refuses_for_this_material_is_told_with_the_reason(
    shop: LightedShop,
) -> None:
    hot = {"/mode/heat/cure_c": {"minimum": 90}, "/substrate/base": {"const": "pvc"}}
    shop.put("guidance", "too-hot", **{**_REFUSES, "when": hot, "text": "PVC shrinks."})
    shop.lit_film("maker/film", mode_heat={"cure_c": 100})
    answer = ask(shop, {**_FACTS, "base": "pvc"})
    assert answer.relatives == ()
    assert answer.apart == (("printed so, guidance refuses this material: PVC shrinks.", 1),)


def test_a_withdrawn_material_is_no_relative(shop: LightedShop) -> None:
    shop.lit_film("maker/film", withdrawn={"date": "2025-10-02", "reason": "it re-wets"})
    answer = ask(shop)
    assert answer.relatives == ()
    assert answer.apart == (("its material is withdrawn", 1),)


def test_without_a_coating_nothing_is_told(shop: LightedShop) -> None:
    with pytest.raises(RequestError, match="the coating decides"):
        ask(shop, {"base": "polyester"})


def test_the_load_is_scaled_from_the_relatives_readings(shop: LightedShop) -> None:
    shop.lit_film("maker/film", reading())
    brighter = {**_FACTS, "light": {"transmittance_pct": 60, "scattering": "diffusing"}}
    same, more = (ask(shop, facts).relatives[0].load.load_pct for facts in (_FACTS, brighter))
    assert same == pytest.approx(200, abs=1)
    assert more > same


def test_on_another_printer_the_load_is_what_lays_the_same_volume(shop: LightedShop) -> None:
    shop.put("printer", "broad", drop_volume_pl=14, resolutions=["720x720"])
    shop.lit_film("maker/film", reading())
    own, other = (ask(shop, printer=name).relatives[0].load.load_pct for name in ("wide", "broad"))
    assert other == pytest.approx(own / 2, abs=0.1)


def test_the_re_wet_trial_is_named_first_of_what_to_watch(shop: LightedShop) -> None:
    shop.lit_film("maker/film", reading())
    assert ask(shop).relatives[0].watch[0].startswith("re-wet before anything else")


def test_heat_that_the_material_does_not_bear_is_said(shop: LightedShop) -> None:
    shop.lit_film("maker/film", mode_heat={"cure_c": 100, "web_centre_c": 95})
    watch = ask(shop, {**_FACTS, "heat": {"max_web_c": 80}}).relatives[0].watch
    assert any("reaches 95 °C and this bears 80 °C" in each for each in watch)


def test_no_more_are_shown_than_asked_for(shop: LightedShop) -> None:
    for name in "abcde":
        shop.lit_film(f"maker/{name}")
    assert films(ask(shop, limit=2)) == ["maker/a", "maker/b"]


def test_facts_that_no_substrate_could_have_are_refused(shop: LightedShop) -> None:
    with pytest.raises(RequestError, match="no substrate's record could hold"):
        ask(shop, {**_FACTS, "coating": "Solvent"})


@pytest.mark.parametrize(("through", "starts"), [(0.5, False), (1.9, False), (2, True), (7, True)])
def test_what_stays_dark_in_any_box_gets_no_backlit_start(
    shop: LightedShop, through: float, starts: bool
) -> None:
    """Below 2 % a face of 1000 cd/m² looks off: common practice, no source."""
    shop.lit_film("maker/film", reading())
    answer = ask(shop, {**_FACTS, "light": {"transmittance_pct": through}})
    assert (films(answer) == ["maker/film"]) is starts
    assert answer.why_not.startswith(f"only {through:g} % of the light goes through it") is not starts


@pytest.mark.parametrize("lighting", ["backlit", "dual"])
def test_what_lets_no_light_through_is_not_printed_to_be_lit(shop: LightedShop, lighting: str) -> None:
    shop.lit_film("maker/film", reading(), mode_lighting=lighting)
    opaque = {**_FACTS, "light": {"transmittance_pct": 0}}
    answer = ask(shop, opaque, lighting=lighting)
    assert answer.why_not.startswith("no light goes through it")
    assert answer.relatives == ()


def test_what_lets_no_light_through_may_be_printed_front_lit(shop: LightedShop) -> None:
    shop.lit_film("maker/film", reading(), mode_lighting="dual")
    answer = ask(shop, {**_FACTS, "light": {"transmittance_pct": 0}}, lighting="frontlit")
    assert (answer.why_not, films(answer)) == ("", ["maker/film"])
    assert answer.relatives[0].load.load_pct == 200
    assert "no light goes through the new film" in answer.relatives[0].load.doubts[0]


def test_a_front_lit_load_is_not_held_against_the_usual_backlit_one(shop: LightedShop) -> None:
    shop.put("printer", "other", backlit_load_pct={"low_pct": 210, "high_pct": 240})
    shop.lit_film("maker/film", mode_lighting="frontlit", mode_printer="other")
    shop.lit_film("maker/lit", mode_printer="other")
    usual = [
        [each for each in ask(shop, lighting=lighting).relatives[0].watch if "usual" in each]
        for lighting in ("frontlit", "backlit")
    ]
    assert usual == [[], ["the load lies outside the printer's usual 210 to 240 %: print a ladder"]]


def test_of_one_material_the_mode_of_the_printer_asked_for_comes_first_and_alone(shop: LightedShop) -> None:
    for name in ("narrow", "broad"):
        shop.put("printer", name)
    shop.lit_film("maker/film", reading(), mode_printer="narrow")
    shop.put("print-mode", "maker/film/zzz", substrate="maker/film", printer="broad")
    shop.confirm("maker/film/zzz", "harbour-yard", "2025-10-03")
    shop.lit_film("maker/pvc", base="pvc")
    assert [each.mode.rid for each in ask(shop, printer="broad").relatives] == [
        "maker/film/zzz",
        "maker/pvc/mode",
    ]
    assert [each.mode.rid for each in ask(shop).relatives] == [
        "maker/film/mode",
        "maker/film/zzz",
        "maker/pvc/mode",
    ]


def test_of_materials_as_near_the_mode_of_the_lighting_asked_for_comes_first(shop: LightedShop) -> None:
    shop.lit_film("alpha/film", mode_lighting="dual")
    shop.lit_film("zeta/film")
    assert films(ask(shop)) == ["zeta/film", "alpha/film"]


@pytest.mark.parametrize(
    ("takes", "warned"), [(["aqueous"], True), (["aqueous", "water-based-resin"], False), (None, False)]
)
def test_an_ink_that_the_maker_does_not_name_is_said_though_the_relative_takes_it(
    shop: LightedShop, takes: list[str] | None, *, warned: bool
) -> None:
    shop.lit_film("maker/film", ink_chemistries=["aqueous", "water-based-resin"])
    facts = _FACTS if takes is None else {**_FACTS, "ink_chemistries": takes}
    watch = ask(shop, facts).relatives[0].watch
    assert any("does not name water-based-resin ink" in each for each in watch) is warned


def test_a_relative_whose_readings_end_too_early_is_taken_as_it_is(shop: LightedShop) -> None:
    patches = {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.01)}
    shop.lit_film("maker/film", flat_reading(patches, wavelengths=range(500, 601, 10)))
    found = ask(shop, {**_FACTS, "light": {"transmittance_pct": 60}}).relatives[0].load
    assert found.load_pct == 200
    assert any("taken as it is" in each for each in found.doubts)


def test_the_new_materials_own_weave_does_not_scale(shop: LightedShop) -> None:
    shop.lit_film("maker/film", reading())
    facts = {**_FACTS, "light": {"transmittance_pct": 60}, "fabric": {"open_area_pct": 5}}
    found = ask(shop, facts).relatives[0].load
    assert found.load_pct == 200
    assert any("threads" in each for each in found.doubts)


def test_no_git_process_is_started_for_each_record(
    shop: LightedShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in "abcdefgh":
        shop.lit_film(f"maker/{name}", reading(seed=ord(name)))
    registry = shop.registry()
    asked = []
    blobs = type(registry.repository).blobs

    def counted(self: Repository, shas: Iterable[str]) -> Iterator[tuple[str, bytes]]:
        wanted = list(shas)
        asked.append(len(wanted))
        return blobs(self, wanted)

    monkeypatch.setattr(Repository, "blobs", counted)
    assert len(nearest(registry, Asked(_FACTS, limit=1)).relatives) == 1
    with_work = [each for each in asked if each]
    assert len(with_work) <= 5
    assert max(with_work) >= 16
    asked.clear()
    assert find(shop.registry(), Request(use="harbour-yard/box", where=("lit.contrast>=2",))).found == 8
    assert len([each for each in asked if each]) <= 8
