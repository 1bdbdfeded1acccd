"""A site (a shop) and its units (the machines that stand in it)."""

from registry.model.base import MISSING, Day, Line, ModeId, Part, Revised, Slug, Text, setting
from registry.model.words import Instrument, Uncertain

__all__ = ["RegistrySettings", "Site", "Unit"]


class SiteInstrument(Part):
    """One measuring instrument."""

    name: Slug = setting("instrument", required=True)
    """The id by which events name it."""
    measures: Instrument = setting("measures", required=True)
    """What it can measure."""
    geometry: Line | MISSING = setting("geometry", example="0:d, source on the printed face")
    """Measuring geometry and aperture."""
    calibrated: Day | MISSING = setting("calibrated on")
    """Day of the last calibration by its maker or a laboratory."""


class Policy(Part):
    """The shop's own rules."""

    verify_months: int | MISSING = setting("verify cards again after", "months", ge=1, le=36, example=6)
    """How long a printed card may hang before it must be verified again."""


class Site(Revised):
    """A shop."""

    instruments: list[SiteInstrument] | MISSING = setting("instruments", key="name", max_length=20)
    """What it can measure with; empty where it has none."""
    policy: Policy | MISSING = setting("policy")
    """The shop's own rules."""
    notes: list[Text] | MISSING = setting("notes", aside=True, max_length=10)
    """Anything else worth knowing."""


class OwnValues(Part):
    """One machine's own values for one mode; true for no other machine."""

    mode: ModeId = setting("mode", required=True, refers="print-mode")
    """The mode they go with."""
    feed_correction_pct: float | MISSING = setting(
        "feed correction", "%", effect="indirect", scope="unit", ge=-5, le=5
    )
    """Correction of the web's step."""
    head_alignment_um: float | MISSING = setting(
        "two-way alignment", "µm", effect="indirect", scope="unit", ge=-500, le=500
    )
    """Offset between the two directions of travel."""
    linearised: Day | MISSING = setting("linearised on this machine", effect="direct", scope="unit")
    """Day of this machine's own linearisation."""
    vacuum_pct: float | MISSING = setting(
        "vacuum on this machine", "%", effect="indirect", scope="unit", ge=0, le=100
    )
    """Where it differs from the mode's."""
    preset: Line | MISSING = setting(
        "preset or queue", scope="unit", optional=True, example="backlit 16-pass"
    )
    """What this shop's controller calls these settings."""


class Unit(Revised):
    """One printer standing in a shop."""

    site: Slug = setting("site", required=True, identity=True, refers="site")
    """The shop it stands in."""
    printer: Slug = setting("printer model", required=True, identity=True, refers="printer")
    """What model it is."""
    in_service: Day | MISSING = setting("in service since")
    """Day of its installation."""
    own: list[OwnValues] | MISSING = setting("own values", key="mode", max_length=200)
    """This machine's own values, by mode."""
    notes: list[Text] | MISSING = setting("notes", aside=True, max_length=10)
    """Anything else worth knowing."""


class Uncertainty(Part):
    """How well one input of what is computed is known in this registry's shops, instead of the default."""

    input: Uncertain = setting("input", required=True, example="box-reflectance")
    """What it is about."""
    u_pct: float | MISSING = setting("standard uncertainty, of its value", "%", ge=0, le=100)
    """Where it grows with the value."""
    u: float | MISSING = setting("standard uncertainty", ge=0, le=100)
    """In the unit of the value."""
    value: float | MISSING = setting("value where none is recorded", ge=0, le=100)
    """What is taken where nobody measured it."""
    source: Line = setting("source of the uncertainty", required=True)
    """A standard, a certificate, or common practice, no source."""


class RegistrySettings(Revised):
    """What holds for the whole registry."""

    schema_version: int | MISSING = setting("schema version", aside=True, ge=1, le=10000)
    """For which version of the schemas it is written, 1 where it does not say; litstock migrate raises it."""
    time_zone: Line = setting("time zone", required=True, example="+01:00")
    """IANA name or fixed offset in which a bare date such as `@2026-03-01` ends."""
    verify_months: int | MISSING = setting("verify cards again after", "months", ge=1, le=36)
    """Where a site has no policy of its own."""
    uncertainties: list[Uncertainty] | MISSING = setting("uncertainties", key="input", max_length=20)
    """How well inputs are known where no record says better."""
