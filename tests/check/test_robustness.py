"""Whatever a registry holds, the check answers with findings and never breaks."""

import json
import random

import pytest

from registry import canonical
from registry.check import RULES, check, fixed, to_sarif, to_text
from registry.check.checked import Document
from registry.model.kinds import Place, place_at
from tests.check.mutants import mutant
from tests.check.small import Small

REGISTRIES = 150


def changed(chance: random.Random, path: str, place: Place, data: bytes, *, sound: bool) -> bytes:
    """Return a mutated record; a sound one, if it may be, gets past the schema to the other rules."""
    seed = canonical.read(data)
    for _ in range(20):
        data = json.dumps(mutant(chance, seed)).encode()
        document = Document(path, place, data)
        if document.sound == sound:
            return fixed(path, data) or data
    return data


def spoilt(chance: random.Random, pristine: Small) -> Small:
    """Return the small registry with a third of its files mutated, swapped, cut or gone."""
    small = pristine.copy()
    for path in sorted(small.files):
        draw = chance.random()
        if draw < 0.4 and (place := place_at(path)) and not place.attachment:
            small.files[path] = changed(chance, path, place, small.files[path], sound=draw < 0.35)
        elif draw < 0.42:
            small.files[path] = pristine.files[chance.choice(sorted(pristine.files))]
        elif draw < 0.44:
            small.files[path] = small.files[path][: chance.randrange(len(small.files[path]))]
        elif draw < 0.46:
            del small.files[path]
    return small


@pytest.mark.parametrize("seed", range(3))
def test_a_spoilt_registry_is_answered_with_findings(pristine: Small, seed: int) -> None:
    chance = random.Random(seed)
    codes = set()
    for _ in range(REGISTRIES // 3):
        now, base = spoilt(chance, pristine), spoilt(chance, pristine)
        for findings in (check(now), check(now, pristine), check(pristine, base), check(now, base)):
            codes |= {finding.code for finding in findings}
            assert to_text(findings, len(now.files))
            assert to_sarif(findings)["runs"][0]["results"] or not findings
            assert all(finding.message and finding.remedy for finding in findings)
    assert len(codes) > len(RULES) / 3  # it gets past the schema, into the rules


@pytest.mark.parametrize("seed", range(3))
def test_findings_do_not_depend_on_the_order_of_the_files(pristine: Small, seed: int) -> None:
    chance = random.Random(seed)
    now = spoilt(chance, pristine)
    shuffled = list(now.files.items())
    chance.shuffle(shuffled)
    assert check(Small(dict(shuffled)), pristine) == check(now, pristine)
