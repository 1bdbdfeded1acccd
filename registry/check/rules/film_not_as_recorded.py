"""Rule: the film that was read is the film of the record."""

from collections.abc import Iterator

from registry.check.attaching import readings_of
from registry.check.checked import Checked, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["film_not_as_recorded"]

_APART = 0.15
"""By such a share deliveries, instruments and geometries may differ (common practice, no source)."""
_SPREADING = {"white", "block-out"}


@rule("film-not-as-recorded", "warning")
def film_not_as_recorded(checked: Checked) -> Iterator[Remark]:
    """The unprinted patch of a reading lets through about as much light as its record says.

    Where the two lie far apart, the reading is of another film, or one of the numbers is wrong; and all that
    is computed of the lit print rests on both.

    To mend: attach the reading of this film, or correct light.transmittance_pct and give its source.
    """
    from registry.measurement.film import film_transmittance_pct  # noqa: PLC0415 (numpy: only who reads pays)

    cases = {case.document.path: case for case in checked.live_modes}
    for reading, measurement in readings_of(checked, "/evidence/measurement"):
        case = cases[reading.document.path]
        said = at(case.substrate, "light", "transmittance_pct")
        white = any(layer["what"] in _SPREADING for layer in case.mode["layers"])
        read = None if said is None or white else film_transmittance_pct(measurement)
        if said and read is not None and abs(read / said - 1) > _APART:
            yield reading.document.remark(
                f"{reading.pointer}/file",
                "the unprinted patch is not as bright as the film's record says",
                "attach the reading of this film, or correct the film's transmittance",
                found=quantity(round(read, 1), "%"),
                allowed=f"{quantity(said, '%')}, give or take {100 * _APART:.0f} % of it",
            )
