"""Whatever a ladder holds: a load that stayed dry, with a reason, or a refusal that says why."""

import math
import warnings
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from registry.light.fit import FitError
from registry.measurement.conditions import Conditions
from registry.tune.choose import choose
from registry.tune.criteria import Asked
from registry.tune.drying import dry
from registry.tune.ladder import Ladder, Rung


def _rung(ink: str, density: float, **said: Any) -> Rung:
    """Return a rung; what reads as black reads so to every response."""
    share = 0.5 if ink in {"C", "O"} else 1.0
    return Rung(name="x", ink=ink, density=density, visual=share * density, **said)


_RUNG = st.builds(
    _rung,
    st.sampled_from(["C", "K", "O", "CMY", "CMYK"]),
    st.floats(-0.02, 3) | st.just(math.inf),
    load_pct=st.sampled_from([40.0, 80.0, 100.0, 120.0, 200.0, 280.0]),
    passes=st.sampled_from([12, 16]),
    dried=st.sampled_from([True, True, True, False]),
    rewet=st.sampled_from([False, False, None, True]),
    mottle=st.sampled_from([None, 0.2, 0.9, 2.0]),
    chroma=st.floats(0, 100),
    hue_deg=st.floats(0, 359.9),
)
_ASKED = st.builds(
    Asked,
    density=st.none() | st.floats(0.1, 4),
    gain=st.none() | st.just(0.02),
    chroma=st.booleans(),
    hue_deg=st.none() | st.just(6.0),
    mottle=st.none() | st.just(1.0),
    passes=st.none() | st.sampled_from([8, 12]),
)


@settings(max_examples=150)
@given(st.lists(_RUNG, min_size=1, max_size=40), _ASKED)
def test_a_load_is_never_above_what_stayed_dry(rungs: list[Any], asked: Asked) -> None:
    ladder = Ladder(tuple(rungs), Conditions(kind="transmission"), 0.38)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            found = choose(ladder, asked)
        except FitError as error:
            assert str(error)  # noqa: PT017  # it has to say something
            return
    heaviest = {each.passes: each.heaviest_pct for each in dry(ladder)}[found.passes]
    assert heaviest is not None
    assert 0 < found.load_pct <= heaviest
    assert found.reason
    assert asked.passes in {None, found.passes}
    assert found.error_pct is None or math.isfinite(found.error_pct)
    assert all(math.isfinite(each.density_at) for each in found.inks)
