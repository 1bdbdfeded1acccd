"""Whatever happens to the shared branch, bringing the read model up to date equals building it anew."""

import json
import random
import shutil
import subprocess
from itertools import product
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from registry.index.opening import opened, place_of
from registry.index.progress import silent
from registry.model.kinds import KINDS, path_of
from registry.question.case import case_of
from registry.question.inforce import in_force
from registry.question.when import version
from registry.store.repository import Repository
from tests.index.branch import Branch
from tests.index.held import Tables, built_anew, tables
from tests.index.histories import Grower
from tests.index.mutated import mutated
from tests.index.reconstruction import Reconstruction, Revision
from tests.index.slowly import Slow


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Slow:
    """One repository for every history: commits are told apart by their ids alone."""
    folder = tmp_path_factory.mktemp("ground")
    subprocess.run(["git", "init", "--quiet", "--template=", str(folder)], check=True)
    return Slow(folder)


def check_against_the_slow_way(held: Tables, expected: Reconstruction) -> None:
    landings = [(*row[:6], json.loads(row[6]), row[7]) for row in held["landing"]]
    assert sorted(landings) == expected.landings
    assert set(held["beside"]) == expected.beside
    revisions = [_revision(*row) for row in held["revision"]]
    assert sorted(revisions, key=lambda each: (each.n, each.path)) == expected.revisions
    written = {(*row[:2], *row[3:7], *row[9:12], row[16], row[17] is not None) for row in held["written"]}
    assert written == expected.written
    assert {(*row[:3], row[4]) for row in held["lost"]} == expected.lost
    assert {(*row[2:6], bool(row[6])) for row in held["subject"]} == expected.subjects
    assert {row[0] for row in held["rule"]} == set(expected.rules)
    verdicts = {(*row[:3], None if row[3] is None else bool(row[3])) for row in held["verdict"]}
    assert verdicts == expected.verdicts


def _revision(*row: Any) -> Revision:
    """Leave out what the slow way does not tell: the site and the reason."""
    return Revision._make((*row[:9], row[11], row[12], row[13] is not None))


def live_through(slow: Slow, rng: random.Random, things: int, asked: float = 1.0) -> None:
    """Grow a history; after each thing that happened, bring up to date and compare."""
    grower = Grower(rng)
    grower.grow(things)
    tips = grower.write(slow.folder)
    repository = Repository(slow.folder)
    shutil.rmtree(place_of(repository, {}).parent, ignore_errors=True)
    for place, tip in enumerate(tips, 1):
        if place < len(tips) and rng.random() > asked:
            continue
        model = opened(repository, tip, {}, silent)
        held = tables(model.db)
        model.close()
        assert held == built_anew(repository, tip)
        check_against_the_slow_way(held, Reconstruction(slow, tip))


@settings(max_examples=20, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(seed=st.integers(0, 2**32))
def test_up_to_date_equals_built_anew_equals_the_slow_way(ground: Slow, seed: int) -> None:
    live_through(ground, random.Random(seed), 8)


@pytest.mark.parametrize("seed", [1, 2])
def test_a_long_life_of_the_shared_branch_ends_in_the_same_read_model(ground: Slow, seed: int) -> None:
    live_through(ground, random.Random(seed), 120, asked=0.2)


def test_many_small_batches_hold_what_one_large_one_holds(
    ground: Slow, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in ("documents", "build", "refresh", "verdicts"):
        monkeypatch.setattr(f"registry.index.{module}.BATCH", 1)
    live_through(ground, random.Random(3), 40, asked=0.5)


@settings(max_examples=8, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(seed=st.integers(0, 2**32))
def test_no_readable_document_stops_the_build_or_a_question(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    rng = random.Random(seed)
    branch = Branch(tmp_path_factory.mktemp("any") / "registry")
    places = {
        path_of(kind, "/".join(ids[: kind_of.path.count("<")])): kind
        for kind, kind_of in KINDS.items()
        if kind != "registry"
        for ids in product("ab", repeat=3)
    }
    for _ in range(2):
        branch.land({path: mutated(rng, kind) for path, kind in places.items()})
        registry = branch.registry()
        assert tables(registry.model.db) == built_anew(registry.repository, registry.commit)
    for kind, rid in registry.model.ids():
        found = version(registry, f"{kind}:{rid}", offered=True)
        assert (found.kind, found.rid) == (kind, rid)
        if kind == "print-mode":
            case_of(registry, found.document)
            in_force(registry, registry.model.named(rid, kind)[0], "a", float("inf"))
