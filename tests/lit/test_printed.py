"""A measurement as a print: which patch is bare, which readings belong together, and what is refused."""

from collections.abc import Mapping
from typing import Any

import pytest

from registry.light.sources import source
from registry.lit.printed import NoReadings, Print, print_of
from registry.lit.solids import solids
from registry.measurement import read_cgats
from tests.lit.lighted import Patch, flat_reading

_MODE = {"layers": [{"what": "colour", "load_pct": 200}], "print_side": "first-surface"}
_FILM = {"light": {"reflectance_back_pct": 50, "scattering": "diffusing"}}
_PAPER, _BLACK = ((0, 0, 0, 0), 0.4), ((0, 0, 0, 100), 0.004)


def printed(patches: Mapping[str, Patch], **said: Any) -> Print:
    return print_of(_MODE, _FILM, read_cgats(flat_reading(patches, **said).encode()), "read.txt")


def names(found: Print) -> dict[str, float]:
    """Return the transmittance of every patch that people know by a name."""
    return {name: round(float(found.spectra[rows].mean()), 4) for name, rows in solids(found.patches)}


def test_a_patch_read_several_times_stands_once_with_its_mean() -> None:
    found = printed({"a": _PAPER, "k": _BLACK, "b": ((0, 0, 0, 0), 0.42), "c": ((0.004, 0, 0, 0), 0.44)})
    assert names(found) == {"unprinted": 0.42, "black": 0.004}
    assert found.said[0].startswith("read.txt: 4 readings of 2 patches")


def test_patches_keep_the_files_order() -> None:
    found = printed({"k": _BLACK, "c": ((100, 0, 0, 0), 0.1), "p": _PAPER})
    assert (found.patches.names, found.white) == (("k", "c", "p"), 2)


@pytest.mark.parametrize("full", [100, 255])
def test_a_printer_that_is_sent_light_leaves_the_material_bare_at_full(full: int) -> None:
    patches: dict[str, Patch] = {
        "black": ((0, 0, 0), 0.004),
        "white": ((full, full, full), 0.4),
        "cyan": ((0, full, full), 0.1),
        "red": ((full, 0, 0), 0.05),
    }
    found = printed(patches, channels=("RGB_R", "RGB_G", "RGB_B"))
    assert names(found) == {"unprinted": 0.4, "cyan": 0.1, "magenta + yellow": 0.05, "black": 0.004}


def test_light_that_never_comes_in_full_leaves_nothing_bare() -> None:
    patches: dict[str, Patch] = {"dark": ((0, 0, 0), 0.004), "grey": ((200, 200, 200), 0.1)}
    with pytest.raises(NoReadings, match="no unprinted patch"):
        printed(patches, channels=("RGB_R", "RGB_G", "RGB_B"))


def test_channels_without_a_colours_name_stand_under_their_own() -> None:
    patches: dict[str, Patch] = {"p": ((0, 0), 0.4), "o": ((100, 0), 0.2)}
    assert names(printed(patches, channels=("2CLR_1", "2CLR_2"))) == {"unprinted": 0.4, "1": 0.2}


@pytest.mark.parametrize("step", [1, 5, 10, 20])
def test_a_flat_filter_is_as_bright_on_every_grid(step: int) -> None:
    found = printed({"p": _PAPER, "k": _BLACK}, wavelengths=range(380, 741, step))
    assert found.under(source("LED-B3"))[:, 1].tolist() == pytest.approx([40, 0.4])


def test_readings_too_short_for_a_lamp_are_refused_with_the_reason() -> None:
    with pytest.raises(NoReadings, match=r"cannot be used under LED-B3: 450 to 650 nm is too short"):
        printed({"p": _PAPER, "k": _BLACK}, wavelengths=range(450, 651, 10)).under(source("LED-B3"))


def test_a_material_that_lets_no_light_through_is_no_white() -> None:
    with pytest.raises(NoReadings, match="unprinted patch is black under D50"):
        printed({"p": ((0, 0, 0, 0), 0.0), "k": _BLACK}).under(source("D50"))


def test_the_table_of_the_kind_wanted_is_taken_of_two() -> None:
    reflection = flat_reading({"p": ((0, 0, 0, 0), 0.7), "k": _BLACK}, "reflection, 45:0").rstrip()
    transmission = flat_reading({"p": _PAPER, "k": _BLACK}).partition("\n")[2]
    found = print_of(_MODE, _FILM, read_cgats(f"{reflection}\n{transmission}".encode()), "read.txt")
    assert (found.kind, names(found)["unprinted"]) == ("transmission", 0.4)
