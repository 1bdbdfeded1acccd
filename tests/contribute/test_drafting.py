"""What a copy says of where its values come from."""

from registry.change.sources import sources_of
from registry.contribute.drafting import like, outlived, sourced, unsourced
from registry.model.shape import shape_of
from tests import small
from tests.contribute.conftest import Files

MODE = shape_of("print-mode")
LADDER = {"kind": "measured", "date": "2025-12-01", "method": "ladder of loads"}


def speaking(document: dict[str, object], path: str) -> str:
    """Return the kind of the source that speaks for a value."""
    return next(source.kind for source in sources_of(MODE, document) if source.covers(path))


def test_values_that_a_writer_sets_keep_their_own_source_in_a_copy(tree: Files) -> None:
    model = tree.document(small.mode_path(small.MODE))
    copy = like("print-mode", f"{small.FILM}/tuned", model, "its model r4", "2025-12-01")
    made = sourced(copy, {"/layers/0/load_pct": LADDER, "/motion": LADDER})
    said = {path: speaking(made, path) for path in ("layers.colour.load_pct", "motion.passes", "heat.cure_c")}
    assert said == {
        "layers.colour.load_pct": "measured",
        "motion.passes": "measured",
        "heat.cure_c": "copied",
    }
    assert set(copy["sources"]) == {""}


def test_what_was_set_and_no_source_of_its_own_covers_is_told_with_its_pointer(tree: Files) -> None:
    model = tree.document(small.mode_path(small.MODE))
    copy = like("print-mode", f"{small.FILM}/tuned", model, "its model r4", "2025-12-01")
    paths = (
        "layers.colour.load_pct",
        "motion.speed_m2_h",
        "printer",
        "title",
        "lighting",
        "sources./heat.kind",
    )
    assert unsourced("print-mode", copy, paths) == {
        "layers.colour.load_pct": "/layers/0/load_pct",
        "motion.speed_m2_h": "/motion/speed_m2_h",
    }
    covered = sourced(copy, {"/layers": LADDER, "/motion/speed_m2_h": LADDER})
    assert unsourced("print-mode", covered, paths) == {}


def test_a_value_that_changes_under_an_old_source_is_told() -> None:
    before = {
        "heat": {"cure_c": 100, "dry_c": 50},
        "sources": {"/heat": {"kind": "measured", "date": "2025-09-01"}, "": {"kind": "copied"}},
    }
    after = {**before, "heat": {"cure_c": 98, "dry_c": 50}}
    assert outlived("print-mode", before, after, ["heat.cure_c", "heat.dry_c"]) == {"heat.cure_c": "/heat"}


def test_a_value_whose_source_is_told_anew_or_that_had_none_is_not() -> None:
    sources = {"/heat": {"kind": "measured", "date": "2025-09-01"}}
    before = {"heat": {"cure_c": 100}, "sources": sources}
    hotter = {"heat": {"cure_c": 104}}
    dated = {**hotter, "sources": {"/heat": {"kind": "measured", "date": "2025-10-01"}}}
    own = {**hotter, "sources": {**sources, "/heat/cure_c": {"kind": "measured"}}}
    for after in (dated, own):
        assert outlived("print-mode", before, after, ["heat.cure_c"]) == {}
    assert outlived("print-mode", {"heat": {"cure_c": 100}}, hotter, ["heat.cure_c"]) == {}


def test_a_source_of_the_whole_record_speaks_for_a_value_too() -> None:
    before = {"heat": {"cure_c": 100}, "sources": {"": {"kind": "data-sheet"}, "/web": {"kind": "measured"}}}
    after = {**before, "heat": {"cure_c": 104}}
    assert outlived("print-mode", before, after, ["heat.cure_c"]) == {"heat.cure_c": ""}
