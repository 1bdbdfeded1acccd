"""What is to be found, how it stands, and what guidance says of it, after each thing that lands."""

from pathlib import Path
from typing import Any

import pytest

from registry.index.readmodel import ReadModel
from registry.model.kinds import KINDS, parts_of, path_of
from registry.model.shape import shape_of
from tests import small
from tests.index.branch import Branch
from tests.index.drawn import JUNK, UNREADABLE, as_file, whole

MODE = small.mode_path(small.MODE)
FILM = path_of("substrate", small.FILM)
PRINTER = path_of("printer", "broadreach-64")
DISPLAY = path_of("display", "harbour-yard/concourse-a")
CONFIRMATION = "records/sites/harbour-yard/confirmations/2025-09-12-first.json"
START: dict[str, dict[str, Any]] = {
    path: document
    | {"revision": 1, "reason": "First", "recorded": {"date": "2025-09-01", "site": "harbour-yard"}}
    for path, document in small._START.items()  # noqa: SLF001
}


@pytest.fixture
def branch(tmp_path: Path) -> Branch:
    return Branch(tmp_path / "registry")


def mode(revision: int, status: str = "known-good", **more: Any) -> dict[str, Any]:
    return START[MODE] | {"revision": revision, "status": status} | more


def confirming(document: dict[str, Any], outcome: Any = "good", **more: Any) -> dict[str, Any]:
    return {
        "title": "Judged",
        "site": "harbour-yard",
        "mode": small.MODE,
        "mode_revision": document["revision"],
        "settings_digest": shape_of("print-mode").digest(document),
        "date": "2025-09-12",
        "outcome": outcome,
    } | more


def stand(model: ReadModel, path: str = MODE) -> list[tuple[int, str, int]]:
    return [(each.seq, each.standing, each.newest) for each in model.versions(path)]


def worded(model: ReadModel, words: str) -> set[int]:
    return {row[0] for row in model.db.execute("SELECT rowid FROM words WHERE words MATCH ?", (words,))}


def verdicts(model: ReadModel, path: str) -> dict[str, bool | None]:
    return model.verdicts([model.versions(path)[-1].id])[model.versions(path)[-1].id]


def test_a_mode_is_known_good_only_while_its_own_settings_are_confirmed(branch: Branch) -> None:
    branch.land({MODE: mode(1)})
    assert stand(branch.model()) == [(1, "trial", 1)]
    branch.land({CONFIRMATION: confirming(mode(1))})
    assert stand(branch.model()) == [(1, "known-good", 1)]
    branch.land({CONFIRMATION: confirming(mode(1), "failed")})
    assert stand(branch.model()) == [(1, "trial", 1)]
    branch.land({CONFIRMATION: confirming(mode(1), "usable")})
    assert stand(branch.model()) == [(1, "known-good", 1)]
    branch.land({CONFIRMATION: confirming(mode(1), settings_digest="0" * 64)})
    assert stand(branch.model()) == [(1, "trial", 1)]
    branch.land({CONFIRMATION: None})
    assert stand(branch.model()) == [(1, "trial", 1)]


def test_a_confirmation_may_be_there_before_its_mode(branch: Branch) -> None:
    branch.land({CONFIRMATION: confirming(mode(1))})
    assert stand(branch.model()) == []
    branch.land({MODE: mode(1)})
    assert stand(branch.model()) == [(1, "known-good", 1)]


def test_a_confirmation_that_moves_to_another_mode_takes_its_word_along(branch: Branch) -> None:
    other = small.mode_path(f"{small.FILM}/quick")
    branch.land({MODE: mode(1), other: mode(1), CONFIRMATION: confirming(mode(1))})
    assert [stand(branch.model(), path)[0][1] for path in (MODE, other)] == ["known-good", "trial"]
    branch.land({CONFIRMATION: confirming(mode(1), mode=f"{small.FILM}/quick")})
    assert [stand(branch.model(), path)[0][1] for path in (MODE, other)] == ["trial", "known-good"]


def test_of_two_confirmations_one_is_enough(branch: Branch) -> None:
    second = CONFIRMATION.replace("first", "second")
    branch.land({MODE: mode(1), CONFIRMATION: confirming(mode(1)), second: confirming(mode(1), "usable")})
    branch.model()
    branch.land({CONFIRMATION: None})
    assert stand(branch.model()) == [(1, "known-good", 1)]


def test_while_the_newest_is_on_trial_the_last_known_good_one_is_there_too(branch: Branch) -> None:
    changed = mode(2, "trial", heat={"cure_c": 104})
    branch.land({MODE: mode(1), CONFIRMATION: confirming(mode(1))})
    branch.land({MODE: changed})
    assert stand(branch.model()) == [(1, "known-good", 0), (2, "trial", 1)]
    branch.land({MODE: mode(3, "known-good", heat={"cure_c": 104})})
    assert stand(branch.model()) == [(1, "known-good", 0), (3, "trial", 1)]
    branch.land({CONFIRMATION.replace("first", "second"): confirming(changed)})
    assert stand(branch.model()) == [(3, "known-good", 1)]


def test_a_mode_that_changed_twice_since_has_both_revisions(branch: Branch) -> None:
    branch.land({MODE: mode(1), CONFIRMATION: confirming(mode(1))})
    branch.model()
    branch.land({MODE: mode(2, "trial")})
    branch.land({MODE: mode(3, "trial", heat={"cure_c": 90})})
    model = branch.model()
    assert [(each.seq, each.revision) for each in model.revisions(MODE)] == [(1, 1), (2, 2), (3, 3)]
    assert stand(model) == [(1, "known-good", 0), (3, "trial", 1)]


@pytest.mark.parametrize("end", ["withdrawn", "marked as withdrawn", "removed"])
def test_what_was_known_good_before_an_end_is_not_offered_after_it(branch: Branch, end: str) -> None:
    ended = {
        "withdrawn": mode(2, "withdrawn"),
        "marked as withdrawn": mode(2, withdrawn={"date": "2025-10-01", "reason": "it sticks"}),
        "removed": None,
    }[end]
    branch.land({MODE: mode(1), CONFIRMATION: confirming(mode(1))})
    branch.land({MODE: ended})
    assert stand(branch.model()) == ([(2, "withdrawn", 1)] if ended else [])
    branch.land({MODE: mode(3, "trial", heat={"cure_c": 90})})
    assert stand(branch.model()) == [(3, "trial", 1)]


def test_a_mode_that_does_not_say_how_it_stands_is_named_and_not_found(branch: Branch) -> None:
    for status in ("superb", ["known-good"], 7, True):
        branch.land({MODE: mode(1) | {"status": status}, CONFIRMATION: confirming(mode(1))})
        model = branch.model()
        assert model.versions(MODE) == []
        assert [(each.path, each.fault) for each in model.faults()] == [
            (MODE, "does not fit its schema at /status")
        ]


def test_a_record_that_does_not_fit_hides_no_earlier_revision_and_is_found_again_once_mended(
    branch: Branch,
) -> None:
    branch.land({MODE: mode(1), CONFIRMATION: confirming(mode(1))})
    branch.land({MODE: mode(2) | {"layers": {}}})
    model = branch.model()
    assert [(each.seq, each.revision, each.fault) for each in model.revisions(MODE)] == [
        (1, 1, None),
        (2, None, "does not fit its schema at /layers"),
    ]
    assert model.versions(MODE) == []
    branch.land({MODE: mode(3)})
    assert [each.seq for each in branch.model().versions(MODE)][-1] == 3
    assert branch.model().faults() == []


def test_facets_words_and_computed_values_follow_substrate_and_printer(branch: Branch) -> None:
    branch.land({path: START[path] for path in (MODE, FILM, PRINTER)})
    model = branch.model()
    one = model.versions(MODE)[0].id
    assert model.values("ink.solid_ml_m2", "print-mode")[one][0].num == 11.25  # 5.62 mL/m² at 200 %
    assert one in worded(model, "dayfilm polyester broadreach")
    branch.land({PRINTER: START[PRINTER] | {"drop_volume_pl": 14, "title": "Narrowreach 24"}})
    model = branch.model()
    one = model.versions(MODE)[0].id
    assert model.values("ink.solid_ml_m2", "print-mode")[one][0].num == 22.5
    assert one in worded(model, "narrowreach polyester")
    assert worded(model, "broadreach 64 narrowreach dayfilm") == {one}  # its printer's id stays
    branch.land({FILM: START[FILM] | {"base": "acrylic"}, PRINTER: None})
    model = branch.model()
    one = model.versions(MODE)[0].id
    assert "ink.solid_ml_m2" not in model.paths("print-mode")
    assert one in worded(model, "acrylic")
    assert one not in worded(model, "polyester")
    assert one not in worded(model, "narrowreach")


@pytest.mark.parametrize("path", [MODE, PRINTER])
def test_nothing_is_computed_from_what_does_not_fit_its_schema(branch: Branch, path: str) -> None:
    branch.land(
        {each: START[each] for each in (MODE, FILM, PRINTER)} | {path: START[path] | {"colour_of": 1}}
    )
    assert "ink.solid_ml_m2" not in branch.model().paths("print-mode")
    assert ("heat.cure_c" in branch.model().paths("print-mode")) == (path == PRINTER)


def test_verdicts_follow_mode_substrate_printer_application_and_display(branch: Branch) -> None:
    rule = {"title": "R", "level": "warn", "text": "t", "source": "s"} | {
        key: START[MODE][key] for key in ("revision", "reason", "recorded")
    }
    when = {
        "mode": {"/mode/heat/cure_c": {"minimum": 101}},
        "printer": {"/printer/drop_volume_pl": {"maximum": 6}},
        "substrate": {"/substrate/finish": {"const": "gloss"}},
        "application": {"/application/panel/gloss": {"const": "matte"}},
        "display": {"/display/lamp/illuminant": {"const": "A"}},
        "both": {"/substrate/finish": {"const": "gloss"}, "/display/lamp/illuminant": {"const": "A"}},
    }
    place = path_of("application", "concourse-light-box")
    branch.land(
        {path_of("guidance", name): rule | {"when": each} for name, each in when.items()}
        | {path: START[path] for path in (MODE, DISPLAY)}
    )
    model = branch.model()
    assert verdicts(model, MODE) == {"printer": None, "substrate": None, "both": None}
    assert verdicts(model, DISPLAY) == {"application": None}
    branch.land({path: START[path] for path in (FILM, PRINTER, place)})
    model = branch.model()
    assert verdicts(model, MODE) == verdicts(model, DISPLAY) == {}
    branch.land({FILM: START[FILM] | {"finish": "gloss"}, PRINTER: START[PRINTER] | {"drop_volume_pl": 4}})
    assert verdicts(branch.model(), MODE) == {"printer": True, "substrate": True, "both": True}
    branch.land({place: START[place] | {"panel": {"position": "front", "material": "x", "gloss": "matte"}}})
    assert verdicts(branch.model(), DISPLAY) == {"application": True}
    assert verdicts(branch.model(), place) == {"application": True, "display": None, "both": None}
    branch.land({DISPLAY: START[DISPLAY] | {"lamp": {"illuminant": "A"}, "application": "awning"}})
    assert verdicts(branch.model(), DISPLAY) == {"application": None, "display": True, "both": True}
    branch.land({MODE: mode(2, heat={"cure_c": 110})})
    assert verdicts(branch.model(), MODE) == {"mode": True, "printer": True, "substrate": True, "both": True}


def test_a_rule_that_changes_or_ends_is_judged_anew_for_all(branch: Branch) -> None:
    heavy = path_of("guidance", "heavy-ink")
    branch.land({MODE: START[MODE], heavy: START[heavy]})
    assert verdicts(branch.model(), MODE) == {}
    lighter = {"when": {"/mode/layers/0/load_pct": {"minimum": 190}}, "level": "refuse"}
    branch.land({heavy: START[heavy] | lighter})
    assert verdicts(branch.model(), MODE) == {"heavy-ink": True}
    assert [(rule.rid, rule.level) for rule in branch.model().rules()] == [("heavy-ink", "refuse")]
    branch.land({heavy: START[heavy] | lighter | {"withdrawn": {"date": "2025-10-01", "reason": "wrong"}}})
    assert verdicts(branch.model(), MODE) == {}
    assert branch.model().rules() == []
    branch.land({heavy: START[heavy] | lighter})
    branch.land({heavy: None})
    assert verdicts(branch.model(), MODE) == {}


def test_a_rule_is_set_aside_by_what_is_known_and_never_by_what_is_not(branch: Branch) -> None:
    heavy = path_of("guidance", "heavy-ink")
    rule = {
        "when": {"/mode/lighting": {"const": "backlit"}},
        "unless": {"/substrate/finish": {"const": "gloss"}},
    }
    branch.land({heavy: START[heavy] | rule, **{path: START[path] for path in (MODE, PRINTER)}})
    assert verdicts(branch.model(), MODE) == {"heavy-ink": True}  # the substrate is not there
    branch.land({FILM: START[FILM] | {"finish": "matte"}})
    assert verdicts(branch.model(), MODE) == {"heavy-ink": True}
    branch.land({FILM: START[FILM] | {"finish": "gloss"}})
    assert verdicts(branch.model(), MODE) == {}


@pytest.mark.parametrize(
    "condition",
    [
        {"$ref": "http://127.0.0.1:9/never-fetched"},
        {"$ref": "#"},
        {"pattern": "^(a+)+$"},
        {"minimum": "x"},
        {"contains": {"type": "string"}},
        7,
    ],
)
def test_guidance_that_does_not_fit_its_schema_is_not_judged_by_but_named(
    branch: Branch, condition: Any
) -> None:
    heavy = path_of("guidance", "heavy-ink")
    branch.land({MODE: START[MODE], heavy: START[heavy] | {"when": {"/mode/lighting": condition}}})
    model = branch.model()
    assert model.rules() == []
    assert [each.path for each in model.faults()] == [heavy]
    assert str(model.faults()[0].fault).startswith("does not fit its schema at /when/~1mode~1lighting")


def test_a_readable_document_that_fits_no_schema_is_named_and_never_found(branch: Branch) -> None:
    places = [path_of(kind, "/".join("abcd"[: len(parts_of(kind))]) or kind) for kind in KINDS]
    for junk in JUNK:
        branch.land(dict.fromkeys(places, as_file(junk)))
        model = branch.model()
        assert not any(model.subjects(kind) or model.paths(kind) for kind in KINDS)
        assert {each.path: str(each.fault)[:23] for each in model.faults()} == dict.fromkeys(
            places, "does not fit its schema"
        )


def test_the_same_bytes_in_two_places_are_read_as_what_each_place_holds(branch: Branch) -> None:
    attached = f"records/substrates/{small.FILM}/measurements/mode.txt"
    four = whole(MODE, mode(4))
    branch.land(dict.fromkeys((MODE, PRINTER, "records/else.json", attached), as_file(four)))
    model = branch.model()
    assert {each.blob for path in (MODE, PRINTER, attached) for each in model.revisions(path)} == {
        model.revisions(MODE)[0].blob
    }
    assert [(each.standing, each.digest) for each in model.revisions(MODE)] == [
        ("known-good", shape_of("print-mode").digest(four))
    ]
    assert [(each.standing, each.digest, each.fault) for each in model.revisions(PRINTER)] == [
        (None, None, "does not fit its schema")
    ]
    assert [(each.revision, each.fault) for each in model.revisions(attached)] == [(None, None)]
    assert [each.path for each in model.faults()] == ["records/else.json", PRINTER]
    branch.land({small.mode_path(small.FRONT): as_file(four)})  # bytes that were read long ago
    assert branch.model().revisions(small.mode_path(small.FRONT))[0].standing == "known-good"


def test_what_is_no_record_is_named_and_never_found(branch: Branch) -> None:
    branch.land(
        {
            MODE: START[MODE],
            "records/readme.txt": b"words",
            "records/printers/Wide.JSON": START[PRINTER],
            '"records/printers/\\377.json"': START[PRINTER],
            PRINTER: UNREADABLE[1],
        }
    )
    (branch.folder / FILM).parent.mkdir(parents=True, exist_ok=True)
    (branch.folder / FILM).symlink_to("../../../registry.json")
    branch.git("add", "--all")
    branch.git("commit", "-q", "-m", "a link")
    model = branch.model()
    assert {each.path: each.fault for each in model.faults()} == {
        FILM: "is a symbolic link, which a registry does not hold",
        PRINTER: "cannot be read: line 1, column 2: the text ends before '{' of line 1, column 1 is closed; "
        "close it",
        "records/printers/Wide.JSON": "is no place for a record",
        "records/printers/\\xff.json": "is no place for a record",
        "records/readme.txt": "is no place for a record",
    }
    assert [kind for kind, _ in model.ids()] == ["print-mode", "registry"]


def test_a_record_that_becomes_readable_again_is_found_again(branch: Branch) -> None:
    branch.land({MODE: mode(1), CONFIRMATION: confirming(mode(1))})
    branch.land({MODE: b"{"})
    assert (stand(branch.model()), [each.path for each in branch.model().faults()]) == ([], [MODE])
    branch.land({MODE: mode(3, "trial", heat={"cure_c": 90})})
    assert stand(branch.model()) == [(1, "known-good", 0), (3, "trial", 1)]
    assert branch.model().faults() == []
