"""Three readers of one contract: whatever one of them accepts, the others accept."""

import json
import random
from functools import cache

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from registry.check.checked import Document
from registry.model.export import model_of
from registry.model.kinds import KINDS, ROOT, Place
from registry.model.shape import shape_of
from tests.check.mutants import mutant, seeds

MUTANTS = 1000


@cache
def slow(kind: str) -> Draft202012Validator:
    return Draft202012Validator(shape_of(kind).schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


def accepts(kind: str, data: bytes) -> dict[str, bool] | None:
    """Return what each reader says of a record, or None where it cannot even be read."""
    document = Document(f"{ROOT}x", Place(kind, "x"), data)
    if document.faults:
        return None
    read = json.dumps(document.content)
    try:
        model_of(kind).model_validate_json(read)
    except ValidationError:
        modelled = False
    else:
        modelled = True
    return {
        "jsonschema": slow(kind).is_valid(document.content),
        "jsonschema-rs": document.sound,
        "pydantic": modelled,
    }


@pytest.mark.parametrize("kind", KINDS)
def test_the_readers_are_of_one_mind_on_mutated_records(kind: str) -> None:
    chance = random.Random(kind)
    verdicts = {True: 0, False: 0}
    for _ in range(MUTANTS):
        data = json.dumps(mutant(chance, chance.choice(seeds(kind)))).encode()
        said = accepts(kind, data)
        if said is not None:
            assert len(set(said.values())) == 1, (said, data.decode())
            verdicts[said["pydantic"]] += 1
    # A test in which every mutant is refused, or none, would compare little.
    assert min(verdicts.values()) > MUTANTS / 20
    assert sum(verdicts.values()) > MUTANTS / 2


@pytest.mark.parametrize("kind", KINDS)
def test_the_readers_accept_a_record_with_every_member(kind: str) -> None:
    for seed in seeds(kind):
        assert accepts(kind, json.dumps(seed).encode()) == {
            "jsonschema": True,
            "jsonschema-rs": True,
            "pydantic": True,
        }
