"""Where a print hangs: an application (a kind of use) and a display (one installed lit thing)."""

from typing import Annotated, Literal

from pydantic import Field

from registry.model.base import (
    MISSING,
    Day,
    FileName,
    Line,
    Part,
    Revised,
    SettingPath,
    Slug,
    SubstrateId,
    Text,
    setting,
)
from registry.model.usual import usual
from registry.model.words import Illuminant, Lighting, Place

__all__ = ["Application", "Display"]

_setting = setting  # `Demand` has a member of that name


class Lamp(Part):
    """What shines from behind."""

    illuminant: Illuminant | MISSING = setting("lamp", effect="direct", example="LED-B3")
    """The CIE illuminant (CIE 15:2018) that comes nearest."""
    spectrum: FileName | MISSING = setting("measured lamp spectrum", effect="direct")
    """File of a measured spectrum, instead of or beside the illuminant."""
    description: Line | MISSING = setting("lamps fitted", effect="indirect")
    """Type, number and rating as fitted."""
    pitch_mm: float | MISSING = setting("lamp pitch", "mm", effect="indirect", gt=0, le=2000)
    """Distance from lamp to lamp; the wider, the farther they must be from the face."""


class FaceLuminance(Part):
    """How bright the face is."""

    points_cd_m2: list[Annotated[float, Field(gt=0, le=100000)]] | MISSING = setting(
        "face luminance, nine points",
        "cd/m²",
        effect="direct",
        min_length=9,
        max_length=9,
        usual=[usual("luminance-reading", "the reading of the face's luminance", u_pct=4)],
    )
    """Three rows of three, top left to bottom right."""
    in_front: Line | MISSING = setting(
        "in front when measured", effect="direct", example="acrylic panel, no print"
    )
    """What stood between the lamps and the instrument, in words."""
    through: Literal["nothing", "panel"] | MISSING = setting("measured through", effect="direct")
    """Nothing but the box's own diffuser, or the panel too; a print never stands in front."""
    measured: Day | MISSING = setting(
        "luminance measured on",
        usual=[usual("lamp-age", "what the lamps faded since", u_pct=3)],
    )
    """Lamps fade: an old reading says less."""


class Panel(Part):
    """The panel that the print is mounted to."""

    position: Literal["front", "behind", "both", "none"] = setting("panel", required=True, effect="indirect")
    """In front of the print as the viewer sees it, behind it, on both sides, or none."""
    material: Line | MISSING = setting("panel material", example="clear acrylic, 3 mm")
    """What it is."""
    transmittance_pct: float | MISSING = setting(
        "panel transmittance",
        "%",
        effect="direct",
        ge=0,
        le=100,
        usual=[usual("panel-transmittance", "the panel's transmittance", u=1)],
    )
    """Total luminous transmittance."""
    reflectance_pct: float | MISSING = setting(
        "panel reflectance",
        "%",
        effect="direct",
        ge=0,
        le=100,
        usual=[usual("panel-reflectance", "the panel's reflectance", u=1)],
    )
    """Total luminous reflectance; of a clear panel what it does not let through comes near."""
    scattering: Literal["clear", "diffusing"] | MISSING = setting("panel scattering", effect="direct")
    """Whether lamps behind it are seen (clear) or spread (diffusing)."""
    gloss: Literal["matte", "gloss"] | MISSING = setting("panel surface", effect="indirect")
    """Of the face that the viewer sees."""


class Lit(Revised):
    """What an application and a display have in common."""

    lighting: Lighting = setting("lighting", required=True, effect="direct", identity=True)
    """How the print is seen."""
    place: Place = setting("indoors or out", required=True, effect="indirect")
    """Where it hangs."""
    lamp: Lamp | MISSING = setting("lamp")
    """What shines from behind."""
    luminance: FaceLuminance | MISSING = setting("face luminance")
    """How bright the face is."""
    panel: Panel | MISSING = setting("panel")
    """What the print is mounted to."""
    box_reflectance_pct: float | MISSING = setting(
        "box reflectance",
        "%",
        effect="direct",
        ge=0,
        le=100,
        usual=[usual("box-reflectance", "the box's reflectance", value=80, u=8)],
    )
    """Reflectance of the inside, which returns what the film throws back."""
    lamp_distance_mm: float | MISSING = setting(
        "distance from lamps to face", "mm", effect="indirect", ge=0, le=2000
    )
    """Must be at least the film's hiding distance."""
    depth_mm: float | MISSING = setting("depth of the box", "mm", effect="indirect", gt=0, le=5000)
    """From the back of the box to its face."""
    inside_c: float | MISSING = setting("temperature inside the box", "°C", ge=-40, le=120)
    """Highest beside the print, lit for hours in the warmest season; demand heat.max_service_c to match."""
    ambient_lx: float | MISSING = setting(
        "ambient light on the face",
        "lx",
        effect="direct",
        ge=0,
        le=150000,
        usual=[usual("ambient-light", "the ambient light", u_pct=20)],
    )
    """Illuminance from the room or the sky."""
    viewing_distance_m: float | MISSING = setting("viewing distance", "m", ge=0, le=500)
    """Nearest usual distance of a reader."""
    cautions: list[Line] | MISSING = setting("cautions", max_length=6)
    """What can hurt someone who mounts or opens it."""
    notes: list[Text] | MISSING = setting("notes", aside=True, max_length=10)
    """Anything else worth knowing."""


class Demand(Part):
    """One thing that a use demands of substrate, print or finishing."""

    of: Literal["substrate", "mode"] = _setting("demanded of", required=True)
    """Which record has to meet it."""
    setting: SettingPath = _setting("setting", required=True, example="light.transmittance_pct")
    """The setting it is about, by its path; computed ones such as `print.scratch` or `lit.contrast` too."""
    at_least: float | MISSING = _setting("at least")
    """Lowest value allowed."""
    at_most: float | MISSING = _setting("at most")
    """Highest value allowed."""
    grade: Line | MISSING = _setting("at least the grade", example="good")
    """Lowest word allowed, on the setting's own scale."""
    one_of: list[Line] | MISSING = _setting("one of", min_length=1, max_length=12)
    """Words allowed; for a list setting at least one of them must be in it."""
    why: Line = _setting("because", required=True)
    """The reason, in a few words."""


class Application(Lit):
    """A kind of use, and what it demands."""

    demands: list[Demand] | MISSING = setting("demands", key="setting", max_length=20)
    """What must be met."""


class Size(Part):
    """Visible size."""

    width_mm: float = setting("width", "mm", required=True, gt=0, le=50000)
    """Of the visible face."""
    height_mm: float = setting("height", "mm", required=True, gt=0, le=50000)
    """Of the visible face."""


class FilmReading(Part):
    """One reading of the face with a bare film on: it tells what the box returns."""

    mean_cd_m2: float = setting(
        "face luminance with a film on",
        "cd/m²",
        required=True,
        effect="direct",
        gt=0,
        le=100000,
        usual=[usual("film-reading", "the reading with a film on", u_pct=4)],
    )
    """Mean of the nine points, an unprinted film hung as a print hangs, every panel in its place."""
    substrate: SubstrateId = setting("film that was on", required=True, refers="substrate")
    """Its transmittance and the reflectance of its back must be on record."""
    measured: Day | MISSING = setting("film reading made on")
    """The lamps as they were when the face was read without it."""


class Display(Lit):
    """One installed lit thing."""

    site: Slug = setting("site", required=True, identity=True, refers="site")
    """The shop that looks after it."""
    application: Slug = setting("application", required=True, refers="application")
    """The kind of use it belongs to."""
    demands: list[Demand] | MISSING = setting("demands", key="setting", max_length=20)
    """What must be met here, beside what its application demands."""
    location: Line | MISSING = setting("location")
    """Where it stands."""
    size: Size | MISSING = setting("visible size")
    """Of the face."""
    film_reading: FilmReading | MISSING = setting("reading with a film on")
    """It fits the box's reflectance where nobody measured that."""
