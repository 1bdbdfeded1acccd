"""A ladder of loads is known by its columns, and told from them."""

import re
from dataclasses import replace

import pytest

from registry.measurement import Measurement, Table, read_cgats
from registry.measurement.loads import is_ladder, ladder_faults, ladder_table, loads
from registry.measurement.report import report
from tests.measurement.made import film
from tests.tune.ladders import LOADS, ladder_text


def ladder(pattern: str = "", put: str = "") -> Measurement:
    text = ladder_text()
    return read_cgats((re.sub(pattern, put, text) if pattern else text).encode())


def test_a_ladder_is_known_by_its_columns_and_a_chart_is_none() -> None:
    (chart,), (table,) = film().tables, ladder().tables
    assert (is_ladder(table), is_ladder(chart)) == (True, False)
    assert ladder_table(Measurement("CGATS.17", (chart, table))) is table
    assert ladder_table(film()) is None
    assert loads(chart) is None


def test_inks_loads_and_passes_are_told_and_how_many_dried() -> None:
    (table,) = ladder().tables
    found = loads(table)
    assert found is not None
    assert (found.inks, found.passes) == (("C", "M", "Y", "K", "CMY"), (12, 16, 20))
    assert (found.loads_pct, found.solids) == (LOADS, 3 * 5 * len(LOADS))
    said = [each for each in table.sets if float(each["LOAD_PCT"])]
    assert found.dried == sum(each["DRIED"] == "yes" for each in said)
    assert found.wet == sum(each["DRIED"] == "no" for each in said) > 0
    assert found.rewet == sum(each["REWET"] == "yes" for each in said) > 0
    assert found.untried == sum(each["REWET"] not in {"yes", "no"} for each in said)


def test_what_cannot_be_read_of_a_set_is_left_out_of_what_is_told() -> None:
    (table,) = ladder(r"\tK\t(?:100|120)\t16\tyes", "\tK\tplenty\t16\tperhaps").tables
    found = loads(table)
    assert found is not None
    assert found.solids == 3 * 5 * len(LOADS) - 2
    assert len(list(ladder_faults(table))) == 2


def test_a_sound_ladder_is_reported_as_one_and_without_solids_of_one_print() -> None:
    (found,) = report(ladder())
    assert found.ladder is not None
    assert (found.clean, found.tunable, found.solids) == (True, True, ())


def test_a_ladder_with_device_values_is_not_doubted_for_what_differs_between_its_loads() -> None:
    (table,) = ladder().tables
    sets = tuple(
        {**each, **{f"CMYK_{ink}": 100.0 * (ink in str(each["INK"])) for ink in "CMYK"}}
        for each in table.sets
    )
    fields = (*table.fields, *(f"CMYK_{ink}" for ink in "CMYK"))
    (found,) = report(Measurement("CGATS.17", (Table(table.header, fields, sets),)))
    assert (found.doubts, found.solids) == ((), ())


@pytest.mark.parametrize(
    ("pattern", "put", "says"),
    [
        (r"\tDRIED\t", "\tDRY\t", "without DRIED, which every set has to hold"),
        (r"\tnone\t0\t0", "\tnone\t60\t16", "no set has LOAD_PCT 0"),
    ],
)
def test_what_tuning_could_not_read_is_doubtful(pattern: str, put: str, says: str) -> None:
    (found,) = report(ladder(pattern, put))
    assert any(says in each for each in found.doubts)
    assert (found.ladder is not None, found.tunable) == (True, False)


def test_of_very_many_faults_the_first_are_told() -> None:
    (found,) = report(ladder(r"\tyes\t", "\tperhaps\t"))
    *first, last = found.doubts
    assert len(first) == 5
    assert last.endswith("more of such faults")


def test_a_ladder_read_in_reflection_tells_no_backlit_load() -> None:
    (table,) = ladder().tables
    header = {**table.header, "MEASUREMENT_GEOMETRY": ("reflection, 45:0",)}
    (found,) = report(Measurement("CGATS.17", (replace(table, header=header),)))
    assert (found.ladder is not None, found.tunable) == (True, False)
