"""Two measurements are compared patch by patch, and only where they were made in the same way."""

from dataclasses import replace

import pytest

from registry.measurement import Measurement, Table
from registry.measurement.comparing import Incomparable, compare
from tests.measurement.made import PRINTED, TRANSMISSION, film

UNSAID = "does not say whether it was read in transmission or reflection: write it into MEASUREMENT_GEOMETRY"
REFLECTION = {
    "MEASUREMENT_GEOMETRY": "reflection, 45:0",
    "MEASUREMENT_SOURCE": "ISO 13655 M1",
    "SAMPLE_BACKING": "white",
}


def reasons(found: Measurement, reference: Measurement) -> tuple[str, ...]:
    with pytest.raises(Incomparable) as caught:
        compare(found, reference)
    assert caught.value.exit_code == 1
    return caught.value.reasons


def without(measurement: Measurement, *fields: str) -> Measurement:
    """Return a measurement without the fields that begin so."""
    (table,) = measurement.tables
    kept = tuple(name for name in table.fields if not name.startswith(fields))
    sets = tuple({name: each[name] for name in kept} for each in table.sets)
    return replace(measurement, tables=(Table(table.header, kept, sets),))


def test_a_measurement_lies_nowhere_from_itself() -> None:
    found = compare(film(), film())
    assert [match.de00 for match in found.matches] == [0.0] * len(PRINTED)
    assert (found.summary.mean, found.unsaid, found.left_out) == (0.0, (), (0, 0))


def test_each_patch_is_held_against_its_own_whatever_the_order() -> None:
    found = compare(film(PRINTED[::-1], thinner=0.9), film())
    assert [match.device for match in found.matches] == [tuple(map(float, device)) for device in PRINTED]
    assert found.matches[0].de00 == pytest.approx(0)
    assert found.matches[found.summary.at].de00 == found.summary.largest == max(m.de00 for m in found.matches)
    assert found.matched_by == "their CMYK values"


def test_repeated_patches_count_once_by_their_mean() -> None:
    found = compare(film((*PRINTED, PRINTED[1])), film())
    assert len(found.matches) == len(PRINTED)
    assert found.summary.largest == pytest.approx(0)


def test_patches_without_a_partner_are_counted() -> None:
    found = compare(film(PRINTED[:3]), film(PRINTED[1:]))
    assert (len(found.matches), found.left_out) == (2, (1, 3))
    assert reasons(film(PRINTED[:1]), film(PRINTED[1:])) == (
        "no patch of this file is in the reference, by their CMYK values",
    )


def test_patches_without_device_values_are_known_by_name() -> None:
    found = compare(without(film(), "CMYK"), film())
    assert (found.matched_by, len(found.matches)) == ("their names", len(PRINTED))
    assert reasons(without(film(), "CMYK", "SAMPLE_NAME"), film()) == (
        "patches cannot be matched: device values of none here, of CMYK there",
    )


def test_colours_come_from_spectra_where_both_have_them_else_from_lab_of_both() -> None:
    assert compare(film(), film()).colours == "both files' spectra, for D50 and 2°"
    assert compare(without(film(), "SPECTRAL"), film()).colours == "the L*a*b* in both files"
    assert reasons(without(film(), "SPECTRAL", "LAB"), film()) == (
        "one of the two has neither spectra nor L*a*b*",
    )


@pytest.mark.parametrize(
    "light", ["ILLUMINANT, D65; OBSERVER, 2 degree", "ILLUMINANT, D50; OBSERVER, 10 degree"]
)
def test_lab_for_another_light_is_not_compared(light: str) -> None:
    other = film(header=TRANSMISSION | {"WEIGHTING_FUNCTION": light})
    (reason,) = reasons(without(other, "SPECTRAL"), film())
    assert reason.startswith("L*a*b* is for 'D")
    assert compare(other, film()).summary.largest == pytest.approx(0)


@pytest.mark.parametrize(
    ("header", "reference", "expected"),
    [
        (REFLECTION, TRANSMISSION, "this file was read in reflection, the reference in transmission"),
        (TRANSMISSION, REFLECTION, "this file was read in transmission, the reference in reflection"),
        ({}, TRANSMISSION, f"this file {UNSAID}"),
        (TRANSMISSION, {}, f"the reference {UNSAID}"),
        (
            REFLECTION | {"MEASUREMENT_SOURCE": "M2"},
            REFLECTION,
            "the measurement condition (ISO 13655) is M2 in this file, M1 in the reference",
        ),
        (
            REFLECTION | {"SAMPLE_BACKING": "Black"},
            REFLECTION,
            "the backing is black in this file, white in the reference",
        ),
        (
            TRANSMISSION | {"MEASUREMENT_GEOMETRY": "transmission, 0:d, printed face to the source"},
            TRANSMISSION,
            "the face to the source is printed in this file, unprinted in the reference",
        ),
        (
            TRANSMISSION | {"FINISHING": "film laminate"},
            TRANSMISSION,
            "the laminate is there in this file, none in the reference",
        ),
    ],
)
def test_what_was_measured_differently_is_not_compared(
    header: dict[str, str], reference: dict[str, str], expected: str
) -> None:
    assert reasons(film(header=header), film(header=reference)) == (expected,)


def test_the_same_face_in_other_words_is_the_same() -> None:
    words = "transmission, 0:d, unprinted back to the source, collected from the printed face"
    assert compare(film(header=TRANSMISSION | {"MEASUREMENT_GEOMETRY": words}), film()).unsaid == ()


@pytest.mark.parametrize("words", ["unlaminated", "Not laminated", "without laminate", "none"])
def test_no_laminate_in_any_words_is_the_same(words: str) -> None:
    assert compare(film(header=TRANSMISSION | {"FINISHING": words}), film()).unsaid == ()


def test_what_one_side_does_not_say_is_told() -> None:
    bare = {"MEASUREMENT_GEOMETRY": "transmission, 0:d"}
    assert compare(film(header=bare), film()).unsaid == (
        "the face to the source",
        "the laminate",
        "hours after printing",
    )
    later = film(header=TRANSMISSION | {"HOURS_AFTER_PRINTING": "1"})
    assert compare(later, film()).unsaid == ("hours after printing (1 here, 24 in the reference)",)


def test_of_several_tables_the_one_that_was_measured_alike_is_taken() -> None:
    both = replace(film(), tables=(film(header=REFLECTION).tables[0], film(thinner=0.8).tables[0]))
    assert compare(both, film()).summary.largest > 1
    assert compare(film(), replace(both, tables=both.tables[::-1])).summary.largest > 1


def test_spectra_that_cannot_be_computed_with_are_a_reason() -> None:
    (reason,) = reasons(without(film(), "SPECTRAL_NM460"), film())
    assert reason.startswith("the spectra cannot be computed with: 480 nm follows 440 nm")
    assert str(Incomparable(("one", "other"))) == "one; other"


def test_other_inks_are_no_match_by_their_values() -> None:
    (table,) = film().tables
    fields = tuple(name.replace("CMYK_K", "CMYK_G") for name in table.fields)
    sets = tuple(dict(zip(fields, each.values(), strict=True)) for each in table.sets)
    green = replace(film(), tables=(Table(table.header, fields, sets),))
    assert compare(green, film()).matched_by == "their names"


def test_lab_against_the_film_is_not_compared_with_absolute_lab() -> None:
    said = {**TRANSMISSION, "WEIGHTING_FUNCTION": "DENSITY, Status A"}
    ours, theirs = (
        without(film(header=said | {"COMPUTATIONAL_PARAMETER": f"LAB, D50, 2 degree, {white}"}), "SPECTRAL")
        for white in ("relative to the film's white", "perfect transmitter")
    )
    (reason,) = reasons(ours, theirs)
    assert "relative to the film's white" in reason
    assert "perfect transmitter" in reason


def test_a_difference_is_told_with_where_it_lies_and_one_instrument_tells_it_better() -> None:
    named = TRANSMISSION | {"INSTRUMENTATION": "bench-1"}
    same = compare(film(header=named, thinner=0.9), film(header=named))
    elsewhere = film(header=named | {"INSTRUMENTATION": "bench-2"})
    other = compare(film(header=named, thinner=0.9), elsewhere)
    assert (same.one_instrument, other.one_instrument) == (True, False)
    assert not compare(film(thinner=0.9), film()).one_instrument  # nothing says so
    assert same.mean.low <= same.mean.value <= same.mean.high
    assert other.mean.u > 2 * same.mean.u
    sure = {"uncertainties": [{"input": "reading-calibration", "u_pct": 0.0, "source": "one lab's check"}]}
    agreed = compare(
        film(header=named, thinner=0.9), film(header=named | {"INSTRUMENTATION": "bench-2"}), sure
    )
    assert agreed.mean.u == pytest.approx(same.mean.u)
