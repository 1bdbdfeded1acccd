"""Everything that is known of one record."""

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.change.show import Shown, ShownValue, show
from registry.change.sources import age, sources_of
from registry.model.shape import shape_of
from registry.question.registry import Registry
from tests.change.documents import drafted
from tests.small import BANNER, FILM, MODE, OTHER_UNIT, UNIT, mode_path

TODAY = datetime.date(2026, 2, 1)
Land = Callable[..., Registry]


def shown(registry: Registry, text: str) -> Shown:
    return show(registry, text, TODAY)


def value(answer: Shown, path: str) -> ShownValue:
    return next(each for each in (*answer.values, *answer.unknown) if each.path == path)


def test_every_value_of_the_record_is_there_once_but_for_the_bookkeeping(small_open: Registry) -> None:
    answer = shown(small_open, MODE)
    told = [each.path for each in answer.values if not each.how]
    held = shape_of("print-mode").flatten(answer.version.document)
    apart = ("$schema", "title", "status", "sources", "revision", "reason", "recorded", "withdrawn")
    assert told == [path for path in held if path.partition(".")[0] not in apart]


def test_a_value_carries_its_unit_its_effect_and_its_source(small_open: Registry) -> None:
    cure = value(shown(small_open, MODE), "heat.cure_c")
    assert (cure.value, cure.unit, cure.group, cure.effect) == (104, "°C", "heat", "indirect")
    assert cure.source is not None
    assert (cure.source.kind, cure.source.site, cure.source.date) == (
        "measured",
        "harbour-yard",
        "2025-09-01",
    )


@pytest.mark.parametrize(
    ("gloss", "note"),
    [
        (9.9, "below 10 GU at 60°, ISO 2813 would have measured it at 85°"),
        (10, ""),
        (70, ""),
        (70.5, "above 70 GU at 60°, ISO 2813 would have measured it at 20°"),
    ],
)
def test_a_gloss_that_the_standard_measures_at_another_angle_is_told_so(
    land: Land, own_registry: Path, gloss: float, note: str
) -> None:
    path = f"records/substrates/{FILM}/substrate.json"
    data = (own_registry / path).read_bytes()
    answer = shown(land({path: data.replace(b'"gloss_60_gu": 6', f'"gloss_60_gu": {gloss}'.encode())}), FILM)
    assert (value(answer, "gloss_60_gu").value, value(answer, "gloss_60_gu").note) == (gloss, note)
    assert value(answer, "thickness_um").note == ""


def test_the_most_particular_source_covers_a_value() -> None:
    document = {
        "layers": [{"what": "colour", "load_pct": 200}, {"what": "white", "load_pct": 90}],
        "sources": {
            "": {"kind": "common-practice"},
            "/layers": {"kind": "copied"},
            "/layers/1/load_pct": {"kind": "measured"},
        },
    }
    sources = sources_of(shape_of("print-mode"), document)
    covering = {
        path: next(source.kind for source in sources if source.covers(path))
        for path in ("layers.white.load_pct", "layers.colour.load_pct", "lighting")
    }
    assert covering == {
        "layers.white.load_pct": "measured",
        "layers.colour.load_pct": "copied",
        "lighting": "common-practice",
    }


@pytest.mark.parametrize(
    ("date", "words"),
    [
        ("2026-02-02", ""),
        ("2026-02-01", "today"),
        ("2026-01-31", "1 day ago"),
        ("2025-12-02", "61 days ago"),
        ("2025-12-01", "2 months ago"),
        ("2024-02-02", "23 months ago"),
        ("2024-02-01", "2 years ago"),
    ],
)
def test_an_age_is_told_in_the_unit_that_people_use(date: str, words: str) -> None:
    assert age(date, TODAY) == words


def test_computed_values_say_how_and_those_that_cannot_be_computed_are_unknown(small_open: Registry) -> None:
    answer = shown(small_open, MODE)
    solid = value(answer, "ink.solid_ml_m2")
    assert (solid.value, solid.group) == (11.81, "computed")
    assert solid.how.startswith("drop volume")
    assert value(shown(small_open, f"{MODE}@r1"), "print.pencil").value is None


def test_what_an_operator_enters_is_missed_even_where_its_whole_group_is_unknown(
    small_open: Registry,
) -> None:
    answer = shown(small_open, MODE)
    missed = {each.path for each in answer.unknown if each.needed}
    assert {"heat.airflow_pct", "web.vacuum_pct", "colour.intent", "ink_set"} <= missed
    assert not missed & {"web.tension_n", "trials.*.date", "evidence.sample"}


def test_every_setting_of_the_schema_is_known_or_unknown(small_open: Registry) -> None:
    answer = shown(small_open, BANNER)
    templates = {each.path for each in (*answer.values, *answer.unknown)}
    apart = ("$schema", "title", "sources", "revision", "reason", "recorded", "withdrawn")
    wanted = {path for path in shape_of("substrate").written if path.partition(".")[0] not in apart}
    assert templates == wanted


def test_a_value_that_one_list_item_lacks_is_unknown_for_that_item(small_open: Registry) -> None:
    answer = shown(small_open, UNIT)
    assert value(answer, f"own.{MODE}.vacuum_pct").needed
    assert value(answer, f"own.{MODE}.vacuum_pct").label == f"vacuum on this machine, {MODE}"


def test_confirmations_count_only_for_the_settings_that_were_confirmed(small_open: Registry) -> None:
    counts = {
        when: [each.counts for each in shown(small_open, f"{MODE}@{when}").confirmations]
        for when in ("r3", "r4")
    }
    assert counts == {"r3": [True], "r4": [False]}


def test_the_trial_and_the_last_known_good_revision_are_both_named(small_open: Registry) -> None:
    newest, earlier = shown(small_open, MODE), shown(small_open, f"{MODE}@r3")
    assert (newest.standing, newest.newest, newest.trial, newest.known_good) == ("trial", 4, 4, 3)
    assert (earlier.standing, earlier.newest, earlier.trial) == ("known-good", 4, 4)


def test_a_substrate_shows_its_modes_and_how_they_stand(small_open: Registry) -> None:
    assert [(each.heading, each.rid, each.words) for each in shown(small_open, FILM).related] == [
        ("print modes", MODE, "r4, on trial; r3 is the last known-good one")
    ]


def test_a_site_shows_its_units_its_displays_and_what_it_confirmed(small_open: Registry) -> None:
    related = [(each.heading, each.rid) for each in shown(small_open, "site:harbour-yard").related]
    assert related == [
        ("units", UNIT),
        ("displays", "harbour-yard/concourse-a"),
        ("confirmed", "harbour-yard/2025-09-12-first"),
    ]


def test_a_unit_shows_its_own_values_and_what_it_used_last(small_open: Registry) -> None:
    answer = shown(small_open, UNIT)
    assert value(answer, f"own.{MODE}.feed_correction_pct").value == 0.12
    assert [(each.rid, each.words.partition(";")[0]) for each in answer.related] == [
        (MODE, "r4, a run on 2025-11-12 10:00 proves it"),
        ("harbour-yard/2025-11-10-head", "2025-11-10 head replaced"),
        ("harbour-yard/2025-11-11-linearisation", "2025-11-11 linearisation"),
    ]
    assert shown(small_open, OTHER_UNIT).related == ()


def test_numbers_without_a_source_are_named(small_open: Registry) -> None:
    assert [each.path for each in shown(small_open, "broadreach-64").unsourced] == ["drop_volume_pl"]
    assert shown(small_open, MODE).unsourced == ()


def test_an_earlier_revision_and_a_draft_stand_by_their_own_word(own_registry: Path, land: Land) -> None:
    registry = land({})
    file = own_registry / mode_path(MODE)
    file.write_bytes(drafted(file.read_bytes()).replace(b'"status": "trial"', b'"status": "known-good"'))
    standing = {when: shown(registry, f"{MODE}@{when}").standing for when in ("r1", "r3", "r4", "draft")}
    assert standing == {"r1": "trial", "r3": "known-good", "r4": "trial", "draft": "known-good"}


def test_a_draft_is_said_apart_and_never_mixed_in(own_registry: Path, land: Land) -> None:
    registry = land({})
    file = own_registry / mode_path(MODE)
    file.write_bytes(drafted(file.read_bytes()))
    answer = shown(registry, MODE)
    assert value(answer, "heat.cure_c").value == 104
    assert answer.draft is not None
    assert [change.after for change in answer.draft.changes] == [98]
    lying = shown(registry, f"{MODE}@draft")
    assert (value(lying, "heat.cure_c").value, lying.draft) == (98, None)


def test_groups_stand_in_the_models_order(small_open: Registry) -> None:
    assert shown(small_open, MODE).groups == (
        "",
        "layers",
        "ink",
        "motion",
        "heat",
        "web",
        "colour",
        "trials",
        "evidence",
        "computed",
    )


def test_an_ink_volume_is_as_uncertain_as_the_drop_volume(small_open: Registry) -> None:
    volume = value(shown(small_open, MODE), "ink.solid_ml_m2")
    assert volume.doubt == pytest.approx(1.96 * 0.05)
    assert volume.note == "±9.8 %, by the drop volume"
    assert value(shown(small_open, MODE), "print.laid").doubt is None
