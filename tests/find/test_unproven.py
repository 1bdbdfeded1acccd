"""A demand of safety of which nothing is known: it makes no find, and it is said until what is known."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from tests.find.shop import Shop, ids
from tests.goldens import run

FIRE = {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "B-s1,d0", "why": "an escape route"}
HEAT = {"of": "substrate", "setting": "heat.max_web_c", "at_least": 90, "why": "it is laminated hot"}
BRIGHT = {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30, "why": "weak lamps"}
KNOWN: dict[str, Any] = {
    "fire": [{"standard": "en-13501-1", "rating": "B-s1,d0"}],
    "heat": {"max_web_c": 100},
}


def unknown(*names: str) -> dict[str, Any]:
    return {name: value for name, value in KNOWN.items() if name not in names}


@pytest.fixture
def asked(shop: Shop, tmp_path: Path) -> Path:
    """A shop with films of which something is not known, and none that is known to fit."""
    shop.put("application", "light-box", demands=[FIRE, HEAT, BRIGHT])
    shop.film("maker/no-class", **unknown("fire"))
    shop.film("maker/no-limit", **unknown("heat"))
    shop.film("maker/neither", **unknown("fire", "heat"))
    shop.film("maker/fails", **unknown("fire"), light={"transmittance_pct": 12})
    shop.registry()
    return tmp_path / "registry"


def test_what_is_not_known_to_be_safe_is_never_a_find(shop: Shop) -> None:
    shop.put("application", "light-box", demands=[FIRE, BRIGHT])
    known, silent = shop.film("maker/known", **KNOWN), shop.film("maker/silent", **unknown("fire"))
    answer = shop.find(use="light-box")
    assert (ids(answer.offers), ids(answer.unproven_ones), answer.unproven) == ([known], [silent], 1)
    assert answer.unproven_ones[0].place == 0


def test_of_any_other_demand_what_is_unknown_is_found_below_the_others(shop: Shop) -> None:
    shop.put("application", "light-box", demands=[BRIGHT])
    dark, bright = shop.film("maker/dark"), shop.film("maker/bright", light={"transmittance_pct": 40})
    answer = shop.find(use="light-box")
    assert (ids(answer.offers), answer.unproven) == ([bright, dark], 0)


def test_what_fails_another_demand_is_not_told_among_it(asked: Path) -> None:
    told = json.loads(run(asked, "find", "--for", "light-box", "--format", "json").stdout)
    assert (told["found"], told["finds"], told["unproven"], told["near_misses"]) == (0, [], 3, [])
    answers = {
        each["mode"]: [by["path"] for by in each["requirements"] if by["answer"] == "unknown"]
        for each in told["not_offered"]
    }
    assert {mode: set(paths) - {"light.transmittance_pct"} for mode, paths in answers.items()} == {
        "maker/no-class/mode": {"fire.en-13501-1.rating"},
        "maker/no-limit/mode": {"heat.max_web_c"},
        "maker/neither/mode": {"fire.en-13501-1.rating", "heat.max_web_c"},
    }


def test_it_is_said_until_what_is_known_and_the_exit_code_is_1(asked: Path) -> None:
    result = run(asked, "find", "--for", "light-box")
    said = " ".join(result.stdout.split())
    assert result.exit_code == 1
    assert "Not offered until its fire class is known: maker/no-class/mode r1, known good: reac" in said
    assert "Not offered until its highest web temperature is known: maker/no-limit/mode r1" in said
    assert "Not offered until its fire class and its highest web temperature is known: maker/neither" in said
    assert "not recorded; at least B-s1,d0 wanted because an escape route" in said
    assert "maker/fails" not in said


def test_a_table_says_it_too(asked: Path) -> None:
    told = run(asked, "find", "--for", "light-box", "--format", "csv").stdout
    rows = list(csv.DictReader(io.StringIO(told)))
    ways = {row["mode"]: row["way"].partition(";")[0] for row in rows}
    assert ways["maker/no-class/mode"] == "not offered until its fire class is known"
    assert {row["place"] for row in rows} == {""}


def test_who_asks_why_is_told_that_it_is_out(asked: Path) -> None:
    result = run(asked, "find", "--for", "light-box", "--why", "maker/no-class")
    assert result.exit_code == 1
    assert result.stdout.startswith("out for light-box")


@pytest.mark.parametrize(
    ("grade", "said"),
    [
        ("B", "at least B wanted (smoke and droplets not asked), tested bare, printed"),
        ("B-s1", "at least B-s1 wanted (droplets not asked), tested bare, printed"),
        ("B-s1,d0", "at least B-s1,d0 wanted, tested bare, printed"),
    ],
)
def test_what_a_demand_leaves_out_and_what_was_tested_is_said(
    shop: Shop, tmp_path: Path, grade: str, said: str
) -> None:
    shop.put("application", "light-box", demands=[FIRE | {"grade": grade}])
    tested: dict[str, Any] = {"standard": "en-13501-1", "rating": "B-s1,d0", "tested": ["bare", "printed"]}
    shop.film("maker/known", fire=[tested])
    shop.registry()
    assert said in " ".join(run(tmp_path / "registry", "find", "--for", "light-box").stdout.split())


def test_that_nobody_wrote_down_what_was_tested_is_said(shop: Shop, tmp_path: Path) -> None:
    shop.put("application", "light-box", demands=[FIRE])
    shop.film("maker/known", **KNOWN)
    shop.registry()
    said = " ".join(run(tmp_path / "registry", "find", "--for", "light-box").stdout.split())
    assert "at least B-s1,d0 wanted, what was tested is not recorded" in said
