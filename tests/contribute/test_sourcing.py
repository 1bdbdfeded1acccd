"""Where values come from: each has the source that was given for it, and never another's."""

import random
from typing import Any

import pytest

from registry.canonical import join_pointer
from registry.contribute.assign import added, assigned
from registry.contribute.drafting import like
from registry.contribute.sourcing import resourced
from registry.errors import RequestError
from registry.model.shape import shape_of
from registry.model.sourced import SOURCED, copied_paths, speaking_for
from tests import small
from tests.contribute.conftest import Files

KIND = "print-mode"
MODE = shape_of(KIND)
DAY = "2025-12-01"
SHEET = {"kind": "data-sheet", "date": "2025-11-01"}
PROBE = {"kind": "measured", "date": "2025-11-20", "instrument": "web-probe"}


def speaking(document: dict[str, Any], path: str) -> dict[str, Any] | None:
    sources: dict[str, Any] = document.get("sources", {})
    by = speaking_for(join_pointer(MODE.flatten(document)[path].place), sources)
    return None if by is None else sources[by]


def kind_of(document: dict[str, Any], path: str) -> str:
    source = speaking(document, path)
    return "" if source is None else str(source["kind"])


@pytest.fixture
def copy(tree: Files) -> dict[str, Any]:
    model = tree.document(small.mode_path(small.MODE))
    return like(KIND, f"{small.FILM}/tuned", model, "its model r4", DAY)


def set_in(document: dict[str, Any], values: dict[str, str], **sources: dict[str, Any]) -> Any:
    """Set values, with sources of groups; as one command does."""
    given = {f"/{name}": source for name, source in sources.items()}
    after = assigned(MODE, document, values)
    return resourced(KIND, document, after | {"sources": after.get("sources", {}) | given}, values, DAY)


def test_a_copy_has_a_source_for_each_value(copy: dict[str, Any]) -> None:
    paths = ["layers.colour.load_pct", "heat.cure_c", "heat.dry_c", "motion.passes", "finishing"]
    assert {kind_of(copy, path) for path in paths} == {"copied"}
    assert "" not in copy["sources"]
    assert {*paths} <= {*copied_paths(MODE, copy)}
    assert "sources./heat/cure_c" not in copied_paths(MODE, copy)


def test_a_groups_source_never_covers_what_was_copied(copy: dict[str, Any]) -> None:
    """As the README's own recipe has it: one value is set, and its group's source given with it."""
    made = set_in(copy, {"heat.cure_c": "98"}, heat=SHEET).document
    told = {path: kind_of(made, path) for path in ("heat.cure_c", "heat.dry_c", "motion.passes")}
    assert told == {"heat.cure_c": "data-sheet", "heat.dry_c": "copied", "motion.passes": "copied"}


def test_a_value_that_is_set_to_what_was_copied_has_the_source_that_was_given_for_it(
    copy: dict[str, Any],
) -> None:
    same = str(copy["heat"]["dry_c"])
    made = set_in(copy, {"heat.dry_c": same}, heat=PROBE)
    assert kind_of(made.document, "heat.dry_c") == "measured"
    assert made.lost == {}


def test_a_groups_source_given_alone_leaves_copies_what_they_are_and_their_own_pointer_names_them(
    copy: dict[str, Any],
) -> None:
    alone = set_in(copy, {}, heat=SHEET).document
    assert kind_of(alone, "heat.cure_c") == "copied"
    named = set_in(copy, {}, **{"heat/cure_c": SHEET}).document
    assert (kind_of(named, "heat.cure_c"), kind_of(named, "heat.dry_c")) == ("data-sheet", "copied")


def test_a_groups_source_given_with_one_value_says_nothing_new_of_the_others() -> None:
    before = {"heat": {"cure_c": 100, "dry_c": 50}, "sources": {"/heat": PROBE}}
    later = PROBE | {"date": "2025-12-01"}
    made = set_in(before, {"heat.cure_c": "98"}, heat=later).document
    assert speaking(made, "heat.cure_c") == later
    assert speaking(made, "heat.dry_c") == PROBE
    corrected = set_in(before, {}, heat=later).document
    assert speaking(corrected, "heat.dry_c") == later


def test_what_was_changed_without_a_source_is_told_and_unknown_from_then_on() -> None:
    before = {"heat": {"cure_c": 100, "dry_c": 50}, "sources": {"/heat": PROBE}}
    made = set_in(before, {"heat.cure_c": "98"})
    assert (kind_of(made.document, "heat.cure_c"), speaking(made.document, "heat.dry_c")) == (
        "unknown",
        PROBE,
    )
    assert made.words == (
        "no source was given for heat.cure_c (which was measured 2025-11-20): it counts as unknown; give it "
        "with --set sources./heat/cure_c.kind=data-sheet, or of a group that is set with it"
    )
    assert set_in(before, {"heat.cure_c": "100"}).words != ""  # said again, and again without a source
    assert set_in(before, {}).words == ""


def test_a_source_that_is_given_again_speaks_for_what_is_set_with_it() -> None:
    """A second number of one data sheet, and a second certificate beside the first."""
    before = {"heat": {"cure_c": 100, "dry_c": 50}, "sources": {"/heat": SHEET}}
    values = {"heat.cure_c": "98", "sources./heat.kind": "data-sheet"}
    made = resourced(KIND, before, assigned(MODE, before, values), values, DAY)
    assert (speaking(made.document, "heat.cure_c"), made.words) == (SHEET, "")
    assert made.document["sources"] == {"/heat": SHEET}


def test_what_is_added_to_a_list_begins_unknown() -> None:
    before = {"layers": [{"what": "colour", "load_pct": 200}], "sources": {"/layers": PROBE}}
    after = added(MODE, before, "layers:what=white,load_pct=60")
    made = resourced(KIND, before, after, [], DAY)
    assert speaking(made.document, "layers.colour.load_pct") == PROBE
    assert kind_of(made.document, "layers.white.load_pct") == "unknown"
    assert [*made.lost] == ["layers.white.load_pct"]
    with_source = after | {"sources": {"/layers": PROBE, "/layers/1": SHEET}}
    given = resourced(KIND, before, with_source, [], DAY)
    assert (kind_of(given.document, "layers.white.load_pct"), given.lost) == ("data-sheet", {})


def test_what_is_taken_out_of_a_list_takes_nobody_elses_source_along() -> None:
    layers = [{"what": "white", "load_pct": 60}, {"what": "colour", "load_pct": 200}]
    before = {"layers": layers, "sources": {"/layers/0/load_pct": SHEET, "/layers/1/load_pct": PROBE}}
    after = assigned(MODE, before, {}, ["layers.white"])
    made = resourced(KIND, before, after, [], DAY).document
    assert made["sources"] == {"/layers/0/load_pct": PROBE}


def test_sources_of_what_names_records_and_of_what_cannot_be_revised_stay() -> None:
    """Of what the writer does not touch nothing is taken away, whatever it speaks of."""
    practice = {"kind": "common-practice", "note": "agreed"}
    sources = {f"/{name}": practice for name in ("lighting", "printer", "substrate", "demands", "finishing")}
    settings = {"lighting": "backlit", "printer": "wide", "finishing": ["none"], "heat": {"cure_c": 100}}
    before = {**settings, "substrate": "a/b", "demands": [], "sources": sources}
    made = set_in(before, {"heat.cure_c": "98"}).document
    assert {name: made["sources"].get(name) for name in sources} == sources


def test_a_source_that_points_to_nothing_is_left_for_the_check_to_tell() -> None:
    before = {"heat": {"cure_c": 100}}
    made = set_in(before, {}, heet=SHEET).document
    assert made["sources"] == {"/heet": SHEET}


def test_a_source_that_is_taken_out_speaks_for_nothing_any_more() -> None:
    before = {"heat": {"cure_c": 100, "dry_c": 50}, "sources": {"": SHEET, "/heat": PROBE}}
    without = resourced(KIND, before, before | {"sources": {"": SHEET}}, [], DAY).document
    assert {kind_of(without, path) for path in ("heat.cure_c", "heat.dry_c")} == {"unknown"}
    only = {"heat": {"cure_c": 100}, "sources": {"/heat": PROBE}}
    assert "sources" not in resourced(KIND, only, {"heat": {"cure_c": 100}}, [], DAY).document


@pytest.mark.parametrize("sources", [5, "ab", ["a"], {"/heat": 5}])
def test_sources_of_a_wrong_shape_are_left_for_the_check_to_refuse(sources: Any) -> None:
    before = {"heat": {"cure_c": 100}, "sources": {"/heat": PROBE}}
    after = {"heat": {"cure_c": 98}, "sources": sources}
    assert resourced(KIND, before, after, [], DAY).document == after


def test_a_pointer_that_is_none_stands_in_nobodys_way() -> None:
    before = {"heat": {"cure_c": 100}, "sources": {"~": SHEET, "/heat": PROBE}}
    assert set_in(before, {"heat.cure_c": "98"}).document["sources"].keys() == {"/heat", "/heat/cure_c"}


def test_what_a_copy_says_of_lighting_is_copied_too(copy: dict[str, Any]) -> None:
    """It decides finds, though no revision may change it."""
    assert {kind_of(copy, path) for path in ("lighting", "print_side")} == {"copied"}


def test_an_application_whose_demands_name_paths_can_be_copied() -> None:
    demands = [{"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30, "why": "it is lit"}]
    model = {"title": "Box", "lighting": "backlit", "demands": demands, "ambient_lx": 400}
    made = like("application", "box-2", model, "box r1", DAY)
    assert set(copied_paths(shape_of("application"), made)) >= {"ambient_lx", "lighting"}


@pytest.mark.parametrize("lacking", ["date", "instrument"])
def test_measured_wants_how_and_when(copy: dict[str, Any], lacking: str) -> None:
    source = {name: value for name, value in PROBE.items() if name != lacking}
    option = {"date": r"--set sources\./heat\.date=", "instrument": r"--set sources\./heat\.method="}[lacking]
    with pytest.raises(RequestError, match=f"what is measured says how and when.*/heat.*{option}"):
        set_in(copy, {"heat.cure_c": "98"}, heat=source)


def test_records_without_sources_are_left_alone() -> None:
    before = {"title": "Mill lane", "policy": {"verify_months": 6}}
    made = resourced("site", before, before | {"policy": {"verify_months": 3}}, [], DAY)
    assert (made.document, made.lost) == (before | {"policy": {"verify_months": 3}}, {})
    assert "site" not in SOURCED


@pytest.mark.parametrize("seed", range(60))
def test_no_value_ever_has_a_source_that_was_given_for_another(copy: dict[str, Any], seed: int) -> None:
    """Whatever is set, added, taken out and said of groups, in any order: kept by hand beside the program."""
    rng = random.Random(seed)
    document = copy
    paths = ["heat.cure_c", "heat.dry_c", "motion.passes", "motion.head_gap_mm", "ink.light_inks_pct"]
    expected = {path: "copied" for path in MODE.flatten(copy) if path in paths}
    groups = {"heat": paths[:2], "motion": paths[2:4], "ink": paths[4:]}
    for step in range(8):
        chosen = rng.sample(paths, rng.randrange(3))
        said = rng.sample([*groups], rng.randrange(3))
        values = {path: str(rng.randrange(1, 4) * (30 if "heat" in path else 1)) for path in chosen}
        marks = {name: SHEET | {"note": f"{step} {name}"} for name in said}
        document = set_in(document, values, **marks).document
        for name, own in groups.items():
            together = [path for path in own if path in chosen]
            for path in own:
                if path in chosen:
                    expected[path] = f"{step} {name}" if name in said else "unknown"
                elif name in said and not together and expected.get(path) not in {"copied", None}:
                    expected[path] = f"{step} {name}"
        assert {path: mark(document, path) for path in expected} == expected


def mark(document: dict[str, Any], path: str) -> str:
    source = speaking(document, path)
    assert source is not None
    return str(source["note"] if source["kind"] == "data-sheet" else source["kind"])


@pytest.mark.parametrize("seed", range(30))
def test_no_item_of_a_list_ever_has_the_source_of_another(seed: int) -> None:
    """Items come and go, with and without a source; they are told by their names, not by their number."""
    rng = random.Random(seed)
    names = ["colour", "white", "clear", "block-out"]
    document: dict[str, Any] = {"layers": []}
    expected: dict[str, str] = {}
    for step in range(10):
        held = [each["what"] for each in document["layers"]]
        name = rng.choice(names)
        path, source = f"layers.{name}.load_pct", SHEET | {"note": f"{step}"}
        given: list[str] = []
        if name not in held:
            after = added(MODE, document, f"layers:what={name},load_pct={step + 1}")
        elif rng.random() < 0.4:
            after = assigned(MODE, document, {}, [f"layers.{name}"])
        else:
            after, given = assigned(MODE, document, {path: f"{step + 1}"}), [path]
        there = [each["what"] for each in after["layers"]]
        said = name in there and rng.random() < 0.5
        if said:
            pointer = rng.choice(["/layers", f"/layers/{there.index(name)}/load_pct"])
            after = after | {"sources": {**after.get("sources", {}), pointer: source}}
        document = resourced(KIND, document, after, given, DAY).document
        expected = {each: expected[each] for each in there if each != name}
        expected |= {name: source["note"] if said else "unknown"} if name in there else {}
        assert {each: mark(document, f"layers.{each}.load_pct") for each in there} == expected


def test_an_item_whose_name_holds_points_has_its_pointer() -> None:
    demand = {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30, "why": "weak lamps"}
    document = {"demands": [demand | {"setting": "light.haze_pct"}, demand]}
    shape = shape_of("application")
    pointers = {path: join_pointer(found.place) for path, found in shape.flatten(document).items()}
    assert pointers["demands.light.transmittance_pct.at_least"] == "/demands/1/at_least"
    assert len({*pointers.values()}) == len(pointers)
