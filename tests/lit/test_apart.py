"""How far two readings lie apart: patches belong together by what was printed, whatever their order."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from registry.light.difference import ciede2000
from registry.light.sources import source
from registry.lit.apart import Apart, readings_apart
from registry.lit.printed import NoReadings
from tests.lit.lighted import Patch
from tests.lit.test_printed import printed

_RGB = ("RGB_R", "RGB_G", "RGB_B")


def apart(one: Mapping[str, Patch], other: Mapping[str, Patch], **said: Any) -> Apart | None:
    return readings_apart(printed(one), printed(other, **said), source("D50"))


def test_grey_patches_lie_as_far_apart_as_their_lightness() -> None:
    found = apart(
        {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.04)},
        {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.08)},
    )
    lightness = [116 * share ** (1 / 3) - 16 for share in (0.1, 0.2)]
    assert found is not None
    assert found.summary.largest == pytest.approx(
        float(ciede2000(np.array([lightness[0], 0, 0]), np.array([lightness[1], 0, 0]))), abs=1e-6
    )
    assert (found.patches, found.worst, found.white) == (1, "K 100", 0)


def test_channels_in_another_order_are_the_same_inks() -> None:
    one: dict[str, Patch] = {"p": ((0, 0, 0, 0), 0.4), "y": ((0, 0, 50, 0), 0.3), "k": ((0, 0, 0, 50), 0.1)}
    turned: dict[str, Patch] = {
        "p": ((0, 0, 0, 0), 0.4),
        "k": ((50, 0, 0, 0), 0.1),
        "y": ((0, 50, 0, 0), 0.3),
    }
    found = apart(one, turned, channels=("CMYK_K", "CMYK_Y", "CMYK_M", "CMYK_C"))
    assert found is not None
    assert (found.patches, found.summary.largest) == (2, 0)


def test_a_white_of_full_light_is_no_printed_patch_and_a_black_is() -> None:
    dark: dict[str, Patch] = {"w": ((255, 255, 255), 0.4), "k": ((0, 0, 0), 0.04)}
    found = readings_apart(printed(dark, channels=_RGB), printed(dark, channels=_RGB), source("D50"))
    assert found is not None
    assert (found.patches, found.summary.largest, found.worst) == (1, 0, "R 0, G 0, B 0")


def test_nothing_in_common_and_other_inks_tell_nothing() -> None:
    one: dict[str, Patch] = {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.04)}
    assert apart(one, {"p": ((0, 0, 0, 0), 0.4), "c": ((100, 0, 0, 0), 0.04)}) is None
    assert apart(one, {"p": ((255, 255, 255), 0.4), "k": ((0, 0, 0), 0.04)}, channels=_RGB) is None


def test_readings_too_short_are_refused() -> None:
    one: dict[str, Patch] = {"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.04)}
    with pytest.raises(NoReadings, match="too short"):
        apart(one, one, wavelengths=range(450, 651, 10))
