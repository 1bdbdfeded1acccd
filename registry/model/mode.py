"""The print mode: how one printer model prints one substrate for one lighting."""

from typing import Literal

from registry.model.base import (
    MISSING,
    Day,
    FileName,
    Line,
    Part,
    Resolution,
    Revised,
    Sha256,
    Slug,
    SubstrateId,
    Text,
    setting,
)
from registry.model.usual import usual
from registry.model.words import (
    BlackGeneration,
    Direction,
    Edge,
    Finishing,
    Intent,
    Layer,
    Lighting,
    Pencil,
    Status,
    TrialKind,
    TrialStandard,
)

__all__ = ["PrintMode"]


class LaidLayer(Part):
    """One layer, as laid down."""

    what: Layer = setting("layer", required=True, effect="direct")
    """Colour, white, clear or block-out."""
    load_pct: float = setting("load", "%", required=True, effect="direct", ge=0, le=600, example=200)
    """Ink load, as a share of this printer's full front-lit ink."""
    passes: int | MISSING = setting("passes of the layer", effect="indirect", ge=1, le=64)
    """Passes in which this layer is laid."""
    limit_pct: float | MISSING = setting("layer's limit", "%", effect="direct", optional=True, ge=0, le=1600)
    """Largest sum of channels of this layer, its load included, that still dries."""
    fixing_fluid_pct: float | MISSING = setting(
        "fixing fluid under the layer", "%", effect="indirect", optional=True, ge=0, le=100
    )
    """Where this layer gets its own, instead of what holds for the whole print."""
    clear_coat_pct: float | MISSING = setting(
        "clear coat on the layer", "%", effect="indirect", optional=True, ge=0, le=100
    )
    """Where this layer gets its own, instead of what holds for the whole print."""


class ChannelLimit(Part):
    """The most of one channel that is laid."""

    channel: Line = setting("channel", required=True, effect="direct", example="cyan")
    """By the name that the printer's record gives it."""
    limit_pct: float = setting("channel's limit", "%", required=True, effect="direct", ge=0, le=100)
    """Most of this channel in a solid of it, before the layer's load."""


class Ink(Part):
    """How much ink goes down, and how it is separated."""

    profile_max_pct: float | MISSING = setting(
        "heaviest ink in the profile", "%", effect="direct", ge=0, le=600
    )
    """Largest sum of channels that the profile asks for, at 100 % load."""
    coverage_limit_pct: float | MISSING = setting(
        "total area coverage limit", "%", effect="direct", ge=0, le=1600
    )
    """Largest sum of channels that may be laid, loads included: all layers together stay below."""
    black_start_pct: float | MISSING = setting("black from", "%", effect="direct", ge=0, le=100)
    """Tone of a neutral grey from which black ink is laid: the lower, the earlier."""
    black_limit_pct: float | MISSING = setting("black at most", "%", effect="direct", ge=0, le=100)
    """Most black that the separation lays; 0 where it lays none."""
    black_generation: BlackGeneration | MISSING = setting("black generation", effect="direct", retired=4)
    """Give black_start_pct and black_limit_pct instead: how early black takes over is said in numbers."""
    light_inks_pct: float | MISSING = setting("light inks", "%", effect="indirect", ge=0, le=100)
    """Share of the light inks in the lighter tones; 0 where they are off."""
    fixing_fluid_pct: float | MISSING = setting("fixing fluid", "%", effect="indirect", ge=0, le=100)
    """Load of the fluid that fixes the ink on the face."""
    clear_coat_pct: float | MISSING = setting(
        "clear coat", "%", effect="indirect", ge=0, le=100, renamed={3: "overcoat_pct"}
    )
    """Load of the clear protective layer that the printer lays last."""
    channels: list[ChannelLimit] | MISSING = setting(
        "limits by channel", key="channel", optional=True, max_length=16
    )
    """Only the channels that are held below 100 %."""


class Motion(Part):
    """How head and web move."""

    passes: int = setting("passes", required=True, effect="indirect", ge=1, le=64, example=16)
    """How often the head crosses each line."""
    direction: Direction | MISSING = setting("direction", effect="indirect")
    """Printing one way or both ways."""
    resolution: Resolution = setting("resolution", "dpi", required=True, effect="direct", example="720x720")
    """Across × along."""
    pause_s: float | MISSING = setting("pause between passes", "s", effect="indirect", ge=0, le=20)
    """Waiting time after each pass, to let heavy ink dry."""
    head_gap_mm: float | MISSING = setting("head gap", "mm", effect="indirect", ge=0.5, le=10)
    """Distance from head to face."""
    speed_m2_h: float | MISSING = setting("measured speed", "m²/h", aside=True, gt=0, le=500, example=5)
    """Measured, not promised: printed area per hour with pauses."""


class Heat(Part):
    """What dries and cures the ink."""

    dry_c: float | MISSING = setting("drying set-point", "°C", effect="indirect", ge=20, le=150, example=55)
    """As entered on the printer."""
    cure_c: float | MISSING = setting("curing set-point", "°C", effect="indirect", ge=20, le=180, example=100)
    """As entered on the printer."""
    dwell_s: float | MISSING = setting("dwell in the curing zone", "s", effect="indirect", ge=0, le=600)
    """Time that a line stays in the curing zone."""
    airflow_pct: float | MISSING = setting("airflow", "%", effect="indirect", ge=0, le=100)
    """Fan power, as entered on the printer."""
    web_centre_c: float | MISSING = setting("web temperature, centre", "°C", effect="indirect", ge=15, le=180)
    """Measured on the printed web in the curing zone, on the heaviest solid."""
    web_edge_c: float | MISSING = setting("web temperature, edges", "°C", effect="indirect", ge=15, le=180)
    """The cooler of the two edges, measured in the same way."""
    web_edge_hot_c: float | MISSING = setting(
        "web temperature, hotter edge", "°C", effect="indirect", ge=15, le=180
    )
    """The hotter of the two edges, where the two differ."""


class Web(Part):
    """How the web is held."""

    vacuum_pct: float | MISSING = setting("vacuum", "%", effect="indirect", ge=0, le=100)
    """Table vacuum, as entered on the printer."""
    tension_n: float | MISSING = setting("tension", "N", effect="none", ge=0, le=200)
    """Pull of the take-up."""
    take_up: Literal["face-in", "face-out", "off"] | MISSING = setting("take-up")
    """How the print is wound, or off for sheets and short pieces."""


class Profile(Part):
    """The ICC profile (ISO 15076-1) beside this mode."""

    file: FileName = setting("profile", required=True, effect="direct")
    """File name in the substrate's `profiles` folder."""
    sha256: Sha256 = setting("profile's SHA-256", required=True, effect="direct")
    """Of the file's bytes, so that another profile under the same name is noticed."""


class Reading(Part):
    """The reference measurement beside this mode."""

    file: FileName = setting(
        "measurement",
        required=True,
        usual=[
            usual("reading-calibration", "the calibration of the instrument that read the print", u_pct=2),
            usual("reading-repeatability", "the repeatability of the print's readings", u_pct=0.5),
            usual("reading-colour", "how the colour of the print's readings repeats", u_pct=0.1),
            usual("reading-zero", "the zero of the instrument that read the print", u=0.003),
        ],
    )
    """File name in the substrate's `measurements` folder."""
    sha256: Sha256 = setting("measurement's SHA-256", required=True)
    """Of the file's bytes."""


class LadderReading(Part):
    """The ladder of loads beside this mode."""

    file: FileName = setting("ladder of loads", required=True)
    """File name in the substrate's `measurements` folder."""
    sha256: Sha256 = setting("ladder's SHA-256", required=True)
    """Of the file's bytes."""


class Colour(Part):
    """How colour is asked for."""

    profile: Profile | MISSING = setting("profile")
    """The profile that goes with these settings."""
    intent: Intent | MISSING = setting("rendering intent", effect="direct")
    """ISO 15076-1 rendering intent."""
    linearised: Day | MISSING = setting("linearised on", effect="direct")
    """Day of the linearisation that the profile was made on."""
    curve: Line | MISSING = setting(
        "linearisation file", effect="direct", optional=True, example="backlit-film-a"
    )
    """Curve or linearisation loaded with these settings, as its file is called; none other goes with them."""
    curve_sha256: Sha256 | MISSING = setting("linearisation file's SHA-256", effect="direct", optional=True)
    """Of that file's bytes, so that another one under the same name is noticed."""


class Waits(Part):
    """How long a print rests before what is done to it next."""

    winding_h: float | MISSING = setting("rest before winding", "h", effect="indirect", ge=0, le=168)
    """Hours from the printer until it is wound or stacked; 0 where the take-up winds it at once."""
    laminating_h: float | MISSING = setting("rest before finishing", "h", effect="indirect", ge=0, le=336)
    """Hours from the printer until it is laminated, coated or mounted."""
    judging_h: float | MISSING = setting("rest before judging", "h", effect="indirect", ge=0, le=336)
    """Hours from the printer until its colour has settled and may be judged or read."""


class Laminate(Part):
    """What is put onto the print, and how."""

    maker: Line | MISSING = setting("laminate's maker", effect="indirect")
    """Who makes the laminating film or liquid."""
    grade: Line | MISSING = setting("laminate", effect="indirect", example="matte 75 µm")
    """Its name and thickness."""
    adhesive: Line | MISSING = setting("laminate's adhesive", effect="indirect", example="clear acrylic")
    """What holds it."""
    roller_c: float | MISSING = setting("laminator's roller", "°C", effect="indirect", ge=15, le=160)
    """Set-point of the roller; room temperature where it is cold."""
    pressure_kpa: float | MISSING = setting("laminator's pressure", "kPa", effect="indirect", ge=0, le=1000)
    """As read on the laminator."""
    speed_m_min: float | MISSING = setting("laminator's speed", "m/min", effect="indirect", gt=0, le=50)
    """Of the web."""
    rest_h: float | MISSING = setting("rest after finishing", "h", effect="indirect", ge=0, le=336)
    """Hours until it may be cut, bent or hung."""


class Evidence(Part):
    """What the status rests on; not a setting."""

    measurement: Reading | MISSING = setting("reference measurement")
    """Patches read from a print of these settings."""
    ladder: LadderReading | MISSING = setting("ladder")
    """Solids at rising loads, from which the load was chosen."""
    sample: Line | MISSING = setting("approved sample kept", example="sample drawer 3, mill-lane")
    """Where the approved print is."""


class Trial(Part):
    """One test of a print of these settings."""

    what: TrialKind = setting("trial", required=True)
    """Re-wet, adhesion, pencil hardness, rub, cure or outgassing."""
    standard: TrialStandard | MISSING = setting("tried by")
    """The standard: of a rub ISO 105-X12 (cloth, graded) or ASTM D5264 (strokes until ink comes off)."""
    date: Day = setting("tried on", required=True)
    """The day on which it ended."""
    site: Slug = setting("tried at", required=True, refers="site")
    """The site that tried it."""
    passed: bool = setting("passed", required=True)
    """Whether the print stood the trial."""
    contact: Literal["face-to-back", "face-to-face"] | MISSING = setting("contact")
    """Re-wet: what lay on what."""
    load_kpa: float | MISSING = setting("pressure", "kPa", ge=0, le=100)
    """Re-wet: weight upon the stack, per area."""
    temperature_c: float | MISSING = setting("temperature", "°C", ge=0, le=80)
    """Re-wet: temperature of the stack."""
    humidity_pct: float | MISSING = setting("humidity", "% RH", ge=0, le=100)
    """Re-wet: relative humidity round the stack; damp softens resin ink."""
    after_h: float | MISSING = setting("begun after", "h", ge=0, le=720)
    """Re-wet: hours between printing and stacking."""
    hours: float | MISSING = setting("hours", "h", gt=0, le=720)
    """How long it lasted."""
    on: Literal["print", "finished-print"] | MISSING = setting("on")
    """Pencil and rub: the printed face as it leaves the printer, or after its finishing."""
    pencil: Pencil | MISSING = setting("pencil hardness, print", scale="pencil")
    """Hardest pencil that leaves no mark (ISO 15184)."""
    cross_cut: int | MISSING = setting("cross-cut class", ge=0, le=5)
    """ISO 2409 class, 0 (best) to 5; not defined for fabric or a textured face."""
    rubbed: Literal["dry", "wet"] | MISSING = setting("rubbed")
    """Rub: with a dry or a wet cloth."""
    grey_scale: float | MISSING = setting("staining of the cloth", ge=1, le=5)
    """Rub by ISO 105-X12: grade of ISO 105-A03, 5 (no stain) to 1, halves too."""
    strokes: int | MISSING = setting("strokes stood", ge=0, le=10000)
    """Rub by ASTM D5264: strokes until ink came off, or as many as were tried."""
    result: Text | MISSING = setting("what was seen")
    """In words."""


class PrintMode(Revised):
    """How one printer model prints one substrate for one lighting."""

    substrate: SubstrateId = setting("substrate", required=True, identity=True, refers="substrate")
    """The material it prints."""
    printer: Slug = setting("printer", required=True, identity=True, refers="printer")
    """The printer model."""
    ink_set: Line | MISSING = setting("ink set", effect="direct")
    """The inks loaded, by the name on the bottle."""
    lighting: Lighting = setting("lighting", required=True, effect="direct", identity=True)
    """Backlit, front-lit, or dual for day and night."""
    print_side: Literal["first-surface", "second-surface"] = setting(
        "print side", required=True, effect="direct", identity=True
    )
    """Second surface: printed behind a clear material and seen through it."""
    mirrored: bool = setting("mirrored", required=True, effect="none")
    """Whether the image is mirrored before printing."""
    status: Status = setting("status", required=True, aside=True)
    """On trial, known good, or withdrawn."""
    layers: list[LaidLayer] = setting(
        "layers", required=True, key="what", effect="direct", min_length=1, max_length=6
    )
    """What is laid down, in order from viewer to lamp."""
    ink: Ink | MISSING = setting("ink")
    """How much ink goes down, and how it is separated."""
    motion: Motion = setting("motion", required=True)
    """How head and web move."""
    heat: Heat | MISSING = setting("heat")
    """What dries and cures the ink."""
    web: Web | MISSING = setting("web")
    """How the web is held."""
    colour: Colour | MISSING = setting("colour")
    """How colour is asked for."""
    finishing: list[Finishing] | MISSING = setting("finishing", effect="indirect", min_length=1, max_length=3)
    """What is done to the print afterwards, in order; `none` where it is used as printed."""
    laminate: Laminate | MISSING = setting("laminate", optional=True)
    """What is put onto the print, and how; for a print that is laminated or coated."""
    edge: Edge | MISSING = setting("edge", optional=True)
    """How its edges are made up: cut, welded, hemmed, or with a keder sewn or welded on."""
    waits: Waits | MISSING = setting("rests", optional=True)
    """How long a print rests before what is done to it next."""
    cautions: list[Line] | MISSING = setting("cautions", aside=True, max_length=6)
    """What can go wrong or hurt someone."""
    trials: list[Trial] | MISSING = setting("trials", aside=True, key="what", max_length=20)
    """Tests of prints of these settings, oldest first."""
    evidence: Evidence | MISSING = setting("evidence", aside=True)
    """Measurement and sample that the status rests on."""
    notes: list[Text] | MISSING = setting("notes", aside=True, max_length=10)
    """Anything else worth knowing."""
