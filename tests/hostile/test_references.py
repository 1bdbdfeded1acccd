"""Sound records whose references are odd: what they name is missing, faulty, of another kind, or garbage."""

import copy
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from registry.model.kinds import KINDS, Place, path_of, place_at
from registry.model.sound import is_sound
from tests.hostile.broken import broken
from tests.hostile.conftest import Tried
from tests.hostile.shop import Shop, readers, writers
from tests.hostile.test_shapes import failures

_EACH = 8
_HEAD = b"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID SPECTRAL_NM380\nEND_DATA_FORMAT\nBEGIN_DATA\n"
_GARBAGE = (
    *(b"", b"x", b"\0" * 300, b"CGATS.17\n", b"\xff\xfe\0\0" * 99, b"acsp" * 99, b"[" * 9999, b"{}"),
    *(_HEAD, _HEAD + b"END_DATA\n", _HEAD + b"1 nan\nEND_DATA\n", _HEAD + b"1 1e308\nEND_DATA\n"),
)


pytestmark = pytest.mark.usefixtures("at_harbour_yard")


def odd(rng: random.Random, shop: Shop) -> dict[str, bytes | None]:
    """Return what lands: files that are taken away, exchanged or cut, and records that name another."""
    files: dict[str, bytes | None] = {}
    for _ in range(rng.choice((1, 1, 2, 4))):
        path = rng.choice(list(shop.files))
        data = shop.files[path]
        place = place_at(path)
        what = rng.random()
        if what < 0.3:
            files[path] = None
        elif place and place.attachment:
            swapped = shop.files[rng.choice([each for each in shop.files if each != path])]
            files[path] = rng.choice(
                (*_GARBAGE, data[: rng.randrange(len(data))], _flipped(rng, data), swapped)
            )
        elif what < 0.4:
            files[path] = b"{"
        elif what < 0.5:
            taken = [kind for kind in KINDS if not KINDS[kind].once and kind != "registry"]
            kind = place.kind if place else ""
            if kind in taken:
                files[path] = _withdrawn(kind, json.loads(data))
        else:
            kind = place.kind if place else ""
            files[path] = _renamed(rng, kind, json.loads(data), list(shop.records.values()))
    return files


def begun_broken(rng: random.Random, shop: Shop) -> tuple[Place, dict[str, bytes | None]]:
    """Return a new record that nobody ever could read, with copies of all that name its model naming it."""
    place = rng.choice([place for place, _ in shop.records.values() if place.kind != "registry"])
    path = path_of(place.kind, place.id)
    fresh = Place(place.kind, f"{place.id}-fresh")
    files: dict[str, bytes | None] = {
        path_of(fresh.kind, fresh.id): rng.choice((b"{", broken(rng, place.kind, shop.records[path][1])))
    }
    for other, (naming, _) in shop.records.items():
        text = shop.files[other].decode()
        if other != path and f'"{place.id}"' in text and naming.kind != "registry":
            whose = naming.id if rng.random() < 0.2 and not KINDS[naming.kind].once else f"{naming.id}-fresh"
            files[path_of(naming.kind, whose)] = text.replace(f'"{place.id}"', f'"{fresh.id}"').encode()
    return fresh, files


def _flipped(rng: random.Random, data: bytes) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.choice((1, 9, 99))):
        changed[rng.randrange(len(changed))] = rng.randrange(256)
    return bytes(changed)


def _withdrawn(kind: str, document: dict[str, Any]) -> bytes:
    gone = {"withdrawn": {"date": "2025-12-02", "reason": "Gone"}}
    status = {"status": "withdrawn"} if kind == "print-mode" else {}
    return json.dumps(document | gone | status).encode()


def _renamed(rng: random.Random, kind: str, document: dict[str, Any], records: list[Any]) -> bytes:
    """Let a record's references name another record, or none: as far as the schema allows it."""
    ids = [place.id for place, _ in records]
    named = ("x", "x/y", "x/y/z", "x.txt", "x.icc", "lamp.txt", "read.txt", "ladder.txt", "0" * 64, 1, 99999)
    for _ in range(40):
        changed = copy.deepcopy(document)
        places = list(_plain(changed))
        for _ in range(rng.choice((1, 1, 2))):
            holder, key = rng.choice(places)
            holder[key] = rng.choice((*ids, *named))
        if changed != document and is_sound(kind, changed):
            return json.dumps(changed).encode()
    return json.dumps(document).encode()


def _plain(value: Any) -> Iterator[tuple[Any, Any]]:
    """Yield where every value stands that is neither a group nor a list."""
    for key, each in list(value.items() if isinstance(value, dict) else enumerate(value)):
        if isinstance(each, (dict, list)):
            yield from _plain(each)
        else:
            yield value, key


def test_what_names_nothing_or_something_else_crashes_no_command(
    shop: Shop, tmp_path: Path, times: int, tried: Tried
) -> None:
    rng = random.Random(11)
    records = [place for place, _ in shop.records.values()]
    runs, bad = 0, []
    for number in range(20 * times):
        if number % 2:
            place, files = begun_broken(rng, shop)
            if rng.random() < 0.3:
                place = rng.choice([found for path in files if (found := place_at(path))])
        else:
            files = odd(rng, shop)
            named = [found for path in files if (found := place_at(path)) and not found.attachment]
            place = rng.choice(named or records)
        try:
            shop.branch.land(files)
            ask = rng.sample([*readers(shop, place, tmp_path), *writers(shop, place, [])], _EACH)
            bad += failures(shop, ask, repr(files).encode())
            runs += len(ask)
        finally:
            shop.mend()
    tried("commands upon records that name nothing or something else", runs)
    assert not bad, f"{len(bad)} of {runs}:\n" + "\n".join(bad)
