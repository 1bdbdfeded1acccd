"""Bringing a registry to the newest schema version: what each step writes, and how it is proved."""

from collections.abc import Iterable
from typing import Any

import pytest

from registry import canonical
from registry.contribute.migrating import Migration, NotFormOnly, migrations, written_for
from registry.contribute.prepare import Overlay, Writer
from registry.model.forms import lifted
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from registry.model.versions import NEWEST, PLACE, OtherVersion
from tests import small

WRITER = Writer("mill-lane", "2026-12-01")
MODE = small.mode_path(small.MODE)
RUN = "records/sites/harbour-yard/runs/2025-11-12-j140.json"


class Files:
    """A tree in memory."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self.files = dict(files)

    def read(self, path: str) -> bytes | None:
        return self.files.get(path)

    def paths(self) -> Iterable[str]:
        return list(self.files)

    def put(self, path: str, kind: str, document: dict[str, Any]) -> None:
        self.files[path] = canonical.file_form(document, shape_of(kind).schema)


@pytest.fixture
def older(small_files: dict[str, bytes]) -> Files:
    """The small registry as it was written before there were schema versions, with a clear coat."""
    tree = Files(small_files)
    own = canonical.read(tree.files[PLACE])
    tree.put(PLACE, "registry", {name: value for name, value in own.items() if name != "schema_version"})
    mode = canonical.read(tree.files[MODE])
    tree.put(MODE, "print-mode", mode | {"ink": {"overcoat_pct": 12}, "cautions": ["Let it rest."]})
    return tree


def after(tree: Files, steps: list[Migration]) -> dict[str, bytes]:
    result = Overlay(tree, {})
    for step in steps:
        result = Overlay(result, step.contribution.files)
    return {path: result.read(path) or b"" for path in result.paths()}


def test_each_version_is_a_step_upon_the_one_before(older: Files) -> None:
    steps = list(migrations(older, WRITER))
    assert [step.to.number for step in steps] == list(range(2, NEWEST + 1))
    versions = [canonical.read(step.contribution.files[PLACE] or b"") for step in steps]
    assert [each["schema_version"] for each in versions] == list(range(2, NEWEST + 1))
    assert [each["reason"] for each in versions] == [
        f"Schema version {step.to.number}: {step.to.words}" for step in steps
    ]
    assert {each["recorded"]["site"] for each in versions} == {"mill-lane"}
    renaming = {3: [PLACE, MODE]}
    written = {step.to.number: sorted(step.contribution.files) for step in steps}
    assert written == {number: sorted(renaming.get(number, [PLACE])) for number in range(2, NEWEST + 1)}


def test_a_record_is_rewritten_under_its_new_name_and_nothing_else_of_it_changes(older: Files) -> None:
    now = after(older, list(migrations(older, WRITER)))
    before, mode = older.files[MODE].decode(), now[MODE].decode()
    assert mode == before.replace("overcoat_pct", "clear_coat_pct")
    assert mode != before
    assert {path for path in now if now[path] != older.files[path]} == {MODE, PLACE}


def test_the_proof_is_the_digest_that_a_record_had_and_has(older: Files) -> None:
    (proved,) = [step.proved for step in migrations(older, WRITER) if step.proved]
    assert proved == {MODE: shape_of("print-mode").digest(canonical.read(older.files[MODE]))}


def test_only_the_newest_step_brings_the_schemas(older: Files) -> None:
    *earlier, newest = [step.whole().files for step in migrations(older, WRITER)]
    assert not [path for files in earlier for path in files if path.startswith("schema/")]
    assert {path for path in newest if path.startswith("schema/")} == {
        f"schema/{kind}.json" for kind in KINDS
    }


def test_a_registry_of_the_newest_version_needs_nothing(older: Files) -> None:
    now = Files(after(older, list(migrations(older, WRITER))))
    assert (written_for(older), written_for(now), list(migrations(now, WRITER))) == (1, NEWEST, [])


def test_what_is_written_once_or_cannot_be_read_is_left_as_it_is(older: Files) -> None:
    run = canonical.read(older.files[RUN])
    older.put(RUN, "run", run | {"ink": {"overcoat_pct": 3}})
    broken = MODE.replace("backlit-16", "broken")
    older.files[broken] = b'{"ink": {"overcoat_pct": 3,}}'
    now = after(older, list(migrations(older, WRITER)))
    assert [now[path] for path in (RUN, broken)] == [older.files[path] for path in (RUN, broken)]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda mode: mode | {"ink": {"clear_coat_pct": 13}},
        lambda mode: {name: value for name, value in mode.items() if name != "cautions"},
        lambda mode: mode | {"heat": {}},
    ],
    ids=["a value", "a caution, which no digest holds", "a group"],
)
def test_a_step_that_would_change_more_than_form_writes_nothing(
    older: Files, monkeypatch: pytest.MonkeyPatch, spoil: Any
) -> None:
    def wrong(kind: str, document: dict[str, Any], *version: int) -> dict[str, Any]:
        """What makes the step's file goes wrong; what proves it does not."""
        return spoil(lifted(kind, document)) if version else lifted(kind, document)

    monkeypatch.setattr("registry.contribute.migrating.lifted", wrong)
    older.files = {path: older.files[path] for path in (PLACE, MODE)}
    with pytest.raises(
        NotFormOnly, match=r"backlit-16.json: schema version . would change more than its form"
    ):
        list(migrations(older, WRITER))


@pytest.mark.parametrize("odd", [{"schema_version": odd} for odd in ("4", -1, True, 2.5)])
def test_a_registry_that_says_no_such_number_is_of_the_first(older: Files, odd: dict[str, Any]) -> None:
    older.files[PLACE] = canonical.file_form({"title": "x", **odd}, shape_of("registry").schema)
    assert written_for(older) == 1


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b"\xff"])
def test_a_registry_whose_record_cannot_be_read_is_of_the_first_version(older: Files, data: bytes) -> None:
    older.files[PLACE] = data
    assert written_for(older) == 1


def test_a_newer_registry_is_left_alone(older: Files) -> None:
    older.files[PLACE] = b'{"schema_version": 99, "unheard_of": {}}'
    words = f"schema version 99, and this litstock knows {NEWEST}: update litstock"
    with pytest.raises(OtherVersion, match=words):
        list(migrations(older, WRITER))
