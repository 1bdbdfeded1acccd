import pytest

from registry.errors import RequestError
from registry.model.kinds import path_of
from registry.question.names import UnknownRecord, here_named, lying, named, once_named, referred
from registry.question.registry import Registry
from registry.question.when import version
from tests import small
from tests.index.branch import DAY, START, Branch
from tests.index.drawn import whole

PRINTER = {"title": "Wide", "revision": 1}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (small.MODE, f"print-mode:{small.MODE}"),
        (f"print-mode:{small.MODE}", f"print-mode:{small.MODE}"),
        (small.mode_path(small.MODE), f"print-mode:{small.MODE}"),
        ("backlit-16", f"print-mode:{small.MODE}"),
        ("dayfilm-210/backlit-16", f"print-mode:{small.MODE}"),
        ("print-mode:backlit-16", f"print-mode:{small.MODE}"),
        (small.FILM, f"substrate:{small.FILM}"),
        ("dayfilm-210", f"substrate:{small.FILM}"),
        ("registry", "registry:registry"),
        ("records/registry.json", "registry:registry"),
        ("left", "unit:harbour-yard/left"),
        ("harbour-yard", "site:harbour-yard"),
        ("2025-10-01-j100", "run:harbour-yard/2025-10-01-j100"),
    ],
)
def test_a_record_is_meant_by_its_id_its_kind_and_id_its_path_or_an_unmistakable_end(
    story: Registry, text: str, expected: str
) -> None:
    found = named(story, text)
    assert f"{found.kind}:{found.rid}" == expected


def test_what_may_mean_two_records_is_answered_with_the_two_to_choose_from(branch: Branch) -> None:
    branch.land(
        {
            "records/printers/wide.json": PRINTER,
            "records/applications/wide.json": PRINTER,
            "records/sites/quay/units/wide.json": PRINTER,
            "records/sites/mill/units/wide.json": PRINTER,
        }
    )
    registry = branch.registry()
    with pytest.raises(UnknownRecord) as caught:
        named(registry, "wide")
    assert str(caught.value) == "'wide' may mean application:wide, printer:wide: write one of these"
    with pytest.raises(UnknownRecord, match="may mean mill/wide, quay/wide: write one of these"):
        named(registry, "wide", ["unit"])
    for choice in ("application:wide", "printer:wide", "mill/wide", "quay/wide"):
        assert named(registry, choice).rid in choice


SHORT = {
    "records/applications/market-awning.json": PRINTER,
    "records/applications/hall-counter.json": PRINTER,
    "records/sites/quay/displays/old-hall-counter.json": PRINTER,
    "records/substrates/lumen/film-lustre-230/substrate.json": PRINTER,
    "records/substrates/lumen/film-lustre-230/modes/wide-backlit.json": PRINTER,
    "records/substrates/lumen/film-matte-230/modes/wide-backlit.json": PRINTER,
}


@pytest.mark.parametrize(
    ("text", "kinds", "expected"),
    [
        ("awning", ("application", "display"), "market-awning"),
        ("market", (), "market-awning"),
        ("counter", ("application",), "hall-counter"),
        ("old", (), "quay/old-hall-counter"),
        ("lustre", ("substrate", "print-mode"), "lumen/film-lustre-230"),
        ("lustre", ("print-mode",), "lumen/film-lustre-230/wide-backlit"),
        ("matte-230/wide", ("print-mode",), "lumen/film-matte-230/wide-backlit"),
    ],
)
def test_the_end_after_a_hyphen_or_a_whole_part_means_the_only_id_that_has_it(
    branch: Branch, text: str, kinds: tuple[str, ...], expected: str
) -> None:
    branch.land(SHORT)
    registry = branch.registry()
    assert named(registry, text, kinds).rid == expected
    assert once_named(registry, text, kinds).rid == expected
    found = lying(SHORT, text, kinds)
    assert found
    assert (found.path, found.rid) == (path_of(found.kind, expected), expected)
    assert here_named(registry, [], text, kinds) == here_named(registry, SHORT, text, kinds) == found


@pytest.mark.parametrize(
    ("text", "kinds", "said"),
    [
        ("counter", (), "may mean application:hall-counter, display:quay/old-hall-counter: write one of"),
        (
            "backlit",
            ("print-mode",),
            "may mean lumen/film-lustre-230/wide-backlit, lumen/film-matte-230/wide",
        ),
        ("awn", (), "there is no record 'awn' among what has landed; did you mean market-awning"),
        ("ing", ("application",), "there is no application 'ing'"),
    ],
)
def test_what_several_ids_have_or_what_is_no_whole_part_means_none(
    branch: Branch, text: str, kinds: tuple[str, ...], said: str
) -> None:
    branch.land(SHORT)
    registry = branch.registry()
    for ask in (named, once_named):
        with pytest.raises(UnknownRecord) as caught:
            ask(registry, text, kinds)
        assert said in str(caught.value)


def test_what_is_gone_is_not_mistaken_for_another_of_which_it_is_a_part(branch: Branch) -> None:
    branch.land({"records/printers/wide.json": PRINTER, "records/printers/very-wide.json": PRINTER})
    branch.land({"records/printers/wide.json": None})
    registry = branch.registry()
    for ask in (named, lambda *asked: here_named(registry, (), *asked[1:])):
        with pytest.raises(UnknownRecord, match=r"wide\.json was removed on"):
            ask(registry, "wide")
    assert once_named(registry, "wide").rid == "wide"


def test_a_file_that_has_not_landed_is_meant_rather_than_another_of_which_it_is_a_part(
    branch: Branch,
) -> None:
    branch.land({"records/printers/very-wide.json": PRINTER})
    registry = branch.registry()
    assert here_named(registry, ["records/printers/wide.json"], "wide").rid == "wide"
    assert here_named(registry, ["records/printers/narrow.json"], "wide").rid == "very-wide"
    with pytest.raises(UnknownRecord, match="there is no record 'high'"):
        here_named(registry, ["records/printers/wide.json"], "high")


def test_what_a_record_names_is_its_whole_id_and_no_part_of_one(branch: Branch) -> None:
    branch.land({"records/printers/very-wide.json": PRINTER})
    registry = branch.registry()
    assert referred(registry, "very-wide", "printer").rid == "very-wide"
    with pytest.raises(UnknownRecord, match="there is no printer 'wide'"):
        referred(registry, "wide", "printer")


def test_of_very_many_that_may_be_meant_only_some_are_listed(branch: Branch) -> None:
    branch.land({f"records/sites/quay/units/u{n}.json": PRINTER for n in range(3)})
    branch.land({f"records/sites/s{n:02}/units/wide.json": PRINTER for n in range(13)})
    with pytest.raises(UnknownRecord) as caught:
        named(branch.registry(), "wide")
    listed = ", ".join(f"unit:s{n:02}/wide" for n in range(10))
    assert str(caught.value) == f"'wide' may mean {listed} and 3 more: write more of the id"


def test_the_whole_id_wins_over_the_end_of_a_longer_one(branch: Branch) -> None:
    branch.land({"records/printers/wide.json": PRINTER, "records/sites/quay/units/wide.json": PRINTER})
    assert named(branch.registry(), "wide").kind == "printer"


def test_only_the_kinds_asked_for_are_looked_among(story: Registry) -> None:
    assert named(story, "backlit-16", ("print-mode", "unit")).rid == small.MODE
    with pytest.raises(UnknownRecord, match="there is no printer 'backlit-16' among what has landed"):
        named(story, "backlit-16", ("printer",))


@pytest.mark.parametrize(
    "text", ["printer:broadreach-64", "records/printers/broadreach-64.json", "printer:no-such"]
)
def test_a_kind_that_is_not_asked_for_is_refused_by_name(story: Registry, text: str) -> None:
    with pytest.raises(UnknownRecord) as caught:
        named(story, text, ("print-mode", "display"))
    assert str(caught.value) == f"{text!r} is a printer, and a print-mode or display is asked for"


def test_an_attachment_is_no_record(story: Registry) -> None:
    path = f"records/substrates/{small.FILM}/measurements/solids.txt"
    with pytest.raises(UnknownRecord, match="is a measurement, and a record is asked for"):
        named(story, path)


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("lumenfold/dayfilm-210/backlit-61", f"did you mean {small.MODE}"),
        ("lumenfold/dayfilm-120", f"did you mean {small.FILM}"),
        ("front", f"{small.FRONT}"),
        ("qqqqqqqqqq", "litstock find lists what is printed on"),
        ("", "there is no record ''"),
        ("site:", "there is no site ''"),
        ("%", "there is no record '%'"),
        ("'\"; --", "there is no record"),
        ("\udcff", "there is no record '?'"),
    ],
)
def test_what_is_unknown_is_answered_with_what_is_near(story: Registry, text: str, near: str) -> None:
    with pytest.raises(UnknownRecord) as caught:
        named(story, text)
    assert near in str(caught.value)
    assert caught.value.exit_code == 2


def test_what_was_removed_is_named_with_its_day_and_the_revision_to_ask_for(branch: Branch) -> None:
    path = "records/printers/wide.json"
    branch.land({path: PRINTER})
    branch.land({path: PRINTER | {"title": "Wider", "revision": 2}})
    branch.land({path: None}, at=START + 40 * DAY)
    registry = branch.registry()
    with pytest.raises(UnknownRecord) as caught:
        named(registry, "wide")
    assert str(caught.value) == (
        "records/printers/wide.json was removed on 2026-02-10; wide@r2 is the last that can be read"
    )
    assert version(registry, "wide@r2").document["title"] == "Wider"
    assert version(registry, "printer:wide@2026-01-02").document["title"] == "Wide"
    with pytest.raises(RequestError, match="wide was removed on 2026-02-10: ask for an earlier revision"):
        version(registry, "wide@2026-02-10")


def test_what_cannot_be_read_now_is_named_with_its_fault(branch: Branch) -> None:
    path = "records/printers/wide.json"
    branch.land({path: PRINTER})
    branch.land({path: b'{"a": null}'})
    registry = branch.registry()
    with pytest.raises(UnknownRecord) as caught:
        named(registry, "wide")
    assert str(caught.value).startswith(
        f"{path}, as it landed on 2026-01-03, cannot be read: line 1, column 7 (/a): found 'null'"
    )
    assert str(caught.value).endswith("litstock check says more; wide@r1 is the last that can be read")
    assert version(registry, "wide@r1").document == whole(path, PRINTER)
    with pytest.raises(
        RequestError, match=r"^wide has no r2: it has only r1; what landed on 2026-01-03 cannot be read: "
    ):
        version(registry, "wide@r2")


def test_what_never_was_is_not_once_named_either(story: Registry) -> None:
    with pytest.raises(UnknownRecord, match="there is no record 'never'"):
        once_named(story, "never")
    assert once_named(story, "backlit-16") == named(story, "backlit-16")


def test_ids_of_two_kinds_that_are_gone_must_be_told_apart(branch: Branch) -> None:
    paths = ("records/printers/wide.json", "records/applications/wide.json")
    branch.land(dict.fromkeys(paths, PRINTER))
    branch.land(dict.fromkeys(paths))
    registry = branch.registry()
    with pytest.raises(UnknownRecord, match="may mean printer:wide, application:wide: write one of these"):
        once_named(registry, "wide")
    assert once_named(registry, "printer:wide").path == paths[0]
