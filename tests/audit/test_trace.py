"""Which revision made a print: by slug and code at once, by readings against a slow, plain twin."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from registry.audit.trace import by_code, by_readings
from registry.card.code import CodeError
from registry.light.grid import grid_of
from registry.light.sources import source
from registry.light.tristimulus import xyz
from registry.measurement import read_cgats
from registry.measurement.patches import patches
from registry.question.registry import NotThen, Registry, silent
from tests.audit.story import Continued
from tests.goldens import golden, printed, run
from tests.lit.lighted import LightedShop, flat_reading, reading
from tests.small import MODE, UNIT
from tools.reference import colour_science

LOADS = (150, 180, 210, 240)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Films printed at loads of their own, and one read in reflection."""
    folder = tmp_path_factory.mktemp("trace") / "registry"
    made = LightedShop(folder)
    with made.series:
        for number, load in enumerate(LOADS):
            made.lit_film(f"maker/film-{load}", reading(load_pct=load, seed=number))
        made.lit_film("maker/paper", reading(geometry="reflection, 45:0", kind="reflection"))
        made.registry()
    return folder


@pytest.fixture
def registry(shop: Path) -> Registry:
    return Registry(shop, {}, silent)


def slowly(folder: Path, text: str) -> dict[str, float]:
    """Mean ΔE00 of the patches to each reference in transmission: colour-science, patch by patch."""

    def lab(data: str) -> dict[tuple[float, ...], Any]:
        table = patches(read_cgats(data.encode()).tables[0])
        assert table.spectra is not None
        assert table.wavelengths_nm is not None
        d50 = source("D50")
        white = colour_science().XYZ_to_xy(d50.white(2))
        tristimulus = xyz(table.spectra, grid_of(table.wavelengths_nm), d50) / 100
        rows = zip(table.device, colour_science().XYZ_to_Lab(tristimulus, white), strict=True)
        return {tuple(device.round(1)): each for device, each in rows}

    asked = lab(text)
    means = {}
    for path in folder.glob("records/substrates/maker/film-*/measurements/read.txt"):
        other = lab(path.read_text(encoding="utf-8"))
        both = [(asked[each], other[each]) for each in asked if each in other]
        means[path.parts[-3]] = float(
            np.mean([colour_science().delta_E(*pair, method="CIE 2000") for pair in both])
        )
    return means


@pytest.mark.parametrize("load", [160, 205, 238])
def test_the_nearest_reference_is_that_of_the_slow_twin(shop: Path, registry: Registry, load: int) -> None:
    text = reading(load_pct=load, seed=77)
    means = slowly(shop, text)
    order = sorted(means, key=lambda film: means[film])
    found = by_readings(registry, read_cgats(text.encode()))
    assert [each.made[0].mode.substrate for each in found.fits] == [f"maker/{film}" for film in order[:2]]
    for fit in found.fits:
        film = fit.made[0].mode.substrate.partition("/")[2]
        assert fit.comparison.mean.value == pytest.approx(means[film], rel=1e-3)
    assert found.told_apart
    assert found.left_out == (("this file was read in transmission, the reference in reflection", 1),)


def test_two_references_as_near_as_each_other_are_not_told_apart(registry: Registry) -> None:
    found = by_readings(registry, read_cgats(reading(load_pct=195, seed=3).encode()))
    assert {each.made[0].mode.substrate for each in found.fits} == {"maker/film-180", "maker/film-210"}
    assert found.margin is not None
    assert found.margin < 0.3
    assert found.told_apart is False


def test_what_lies_far_from_all_is_explained_by_none(registry: Registry) -> None:
    grey = {"paper": ((0.0, 0, 0, 0), 0.9), "K": ((0.0, 0, 0, 100), 0.5), "C": ((100.0, 0, 0, 0), 0.6)}
    found = by_readings(
        registry, read_cgats(flat_reading(grey, "transmission, 0:d, unprinted back to the source").encode())
    )
    assert found.fits
    assert not found.explained


def slug(folder: Path, revision: str) -> str:
    return run(folder, "slug", f"{MODE}@{revision}", "--unit", UNIT).stdout.strip()


def test_a_slug_names_the_revision_and_the_runs_of_its_unit(small_registry: Path) -> None:
    registry = Registry(small_registry, {}, silent)
    (made,) = by_code(registry, slug(small_registry, "r4")).made
    assert (made.mode.rid, made.revision.label) == (MODE, "r4")
    assert [(each.job, each.unit) for each in made.runs] == [("J140", UNIT)]
    assert made.in_use == (UNIT,)
    (earlier,) = by_code(registry, slug(small_registry, "r3")).made
    assert [each.job for each in earlier.runs] == ["J100"]
    assert earlier.in_use == ()


def test_what_is_no_code_or_names_settings_that_never_were_is_refused(small_registry: Path) -> None:
    registry = Registry(small_registry, {}, silent)
    with pytest.raises(CodeError):
        by_code(registry, "neither")
    with pytest.raises(NotThen, match="no branch here has or had them"):
        by_code(registry, f"{MODE} r4 {'0' * 12}")


def test_runs_are_those_of_the_site_asked_for(small_registry: Path) -> None:
    registry = Registry(small_registry, {}, silent)
    text = slug(small_registry, "r4").rpartition(" ")[0]
    assert [
        len(by_code(registry, text, site).made[0].runs) for site in ("", "harbour-yard", "mill-lane")
    ] == [1, 1, 0]


@pytest.mark.parametrize(("name", "form"), [("slug.txt", "text"), ("slug.json", "json"), ("slug.csv", "csv")])
def test_what_trace_prints_of_a_slug(small_registry: Path, name: str, form: str) -> None:
    code, output, error = printed(
        small_registry, "trace", *slug(small_registry, "r4").split(), "--format", form
    )
    assert (code, error) == (0, "")
    assert output == golden(f"trace/{name}", output)


def test_what_trace_prints_of_readings(shop: Path, tmp_path: Path) -> None:
    path = tmp_path / "print.txt"
    path.write_text(reading(load_pct=205, seed=77), encoding="utf-8")
    code, output, error = printed(shop, "trace", str(path))
    assert (code, error) == (0, "")
    assert output == golden("trace/readings.txt", output)
    answer = json.loads(run(shop, "trace", str(path), "--format", "json").stdout)
    words = set(re.findall("[a-z_0-9]+", run(shop, "trace", "--help").stdout))

    def keys(value: Any) -> Iterator[str]:
        for each in value if isinstance(value, list) else [value]:
            if isinstance(each, dict):
                for key, inner in each.items():
                    yield key
                    yield from keys(inner)

    assert {*keys(answer)} - words == set()


def test_a_jobs_number_is_shown_as_its_run(own_registry: Path) -> None:
    whole = run(own_registry, "show", "run:harbour-yard/2025-11-12-j140").stdout
    assert run(own_registry, "show", "J140").stdout == whole
    teller = Continued(own_registry)
    with teller.series:
        teller.run("2025-11-26", "J140", "2025-11-13T10:00:00+01:00")
        teller.series.finish()
    twice = run(own_registry, "show", "J140")
    assert twice.exit_code == 2
    assert (
        "job J140 ran 2 times: run:harbour-yard/2025-11-12-j140, run:harbour-yard/2025-11-13-j140"
        in twice.stderr
    )
