"""What has landed keeps its identity: digests of landed settings are the same under every later model.

tests/cases/landed.jsonl holds documents as they landed in the demo on 2026-12-01, each with the digest that
it had then. No line of it is ever rewritten: cards and slugs with these digests hang on walls.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from registry.model.forms import lifted
from registry.model.kinds import KINDS, place_at
from registry.model.shape import shape_of
from registry.model.sound import is_sound

LANDED = [
    json.loads(line)
    for line in (Path(__file__).parent.parent / "cases/landed.jsonl").read_text("utf-8").splitlines()
]


@pytest.mark.parametrize("landed", LANDED, ids=[each["settings_digest"][:12] for each in LANDED])
def test_a_landed_record_is_still_read_and_keeps_its_digest(landed: dict[str, Any]) -> None:
    place, document = place_at(landed["path"]), landed["document"]
    assert place is not None
    now = lifted(place.kind, document)
    assert is_sound(place.kind, now)
    digests = [shape_of(place.kind).digest(each) for each in (document, now)]
    assert digests == [landed["settings_digest"]] * 2


def test_every_kind_of_record_is_among_them() -> None:
    places = [place_at(each["path"]) for each in LANDED]
    assert {place.kind for place in places if place} == set(KINDS)
