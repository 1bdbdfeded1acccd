"""The substrate: one grade of printable material from one maker."""

from typing import Annotated, Literal

from pydantic import Field

from registry.model.base import MISSING, Line, Part, Revised, Slug, Text, setting
from registry.model.usual import usual
from registry.model.words import (
    Base,
    Chemistry,
    Coating,
    Construction,
    Finish,
    Finishing,
    FireStandard,
    FireTested,
    Pencil,
)

__all__ = ["Substrate"]


class Roll(Part):
    """How the material is wound."""

    wind: Literal["face-in", "face-out"] | MISSING = setting("roll wind", example="face-out")
    """Which way the printable face looks on the roll as delivered."""
    core_mm: float | MISSING = setting("core", "mm", gt=0, le=400, example=76)
    """Inner diameter of the core."""
    length_m: float | MISSING = setting("roll length", "m", gt=0, le=1000, example=30)
    """Length on a full roll."""


class Sheet(Part):
    """One size of sheet."""

    width_mm: float = setting("sheet width", "mm", required=True, gt=0, le=6000, example=1250)
    """Of the side that lies across the printer; one of the widths."""
    length_mm: float = setting("sheet length", "mm", required=True, gt=0, le=12000, example=2500)
    """Of the side that is fed."""


class Light(Part):
    """What the unprinted material does to light."""

    transmittance_pct: float | MISSING = setting(
        "luminous transmittance",
        "%",
        effect="direct",
        ge=0,
        le=100,
        example=38,
        usual=[usual("film-batch", "the film's batch", u_pct=3)],
    )
    """Total luminous transmittance, all directions collected."""
    reflectance_back_pct: float | MISSING = setting(
        "reflectance of the back",
        "%",
        effect="direct",
        ge=0,
        le=100,
        example=52,
        usual=[usual("film-reflectance", "what the film throws back", u=2)],
    )
    """Reflectance of the face that looks towards the lamps; it is what the box gets back."""
    reflectance_face_pct: float | MISSING = setting(
        "reflectance of the face", "%", effect="direct", ge=0, le=100, example=50
    )
    """Reflectance of the unprinted face that the viewer sees; it is what ambient light comes back from."""
    haze_pct: float | MISSING = setting("haze", "%", effect="indirect", ge=0, le=30)
    """Haze by ASTM D1003, which defines it only up to 30 %; leave it out above."""
    scattering: Literal["clear", "diffusing"] | MISSING = setting(
        "scattering", effect="direct", example="diffusing"
    )
    """Whether lamps behind it are seen (clear) or spread (diffusing)."""
    hiding_distance_mm: float | MISSING = setting(
        "hiding distance", "mm", effect="indirect", ge=0, le=1000, example=60
    )
    """Least distance from the lamps at which a point lamp is no longer seen as a spot."""
    hiding_pitch_mm: float | MISSING = setting(
        "lamp pitch of the hiding distance", "mm", effect="indirect", gt=0, le=1000, example=60
    )
    """Distance between the lamps with which it was found: the wider their pitch, the farther they must be."""


class Fabric(Part):
    """What only a weave has."""

    open_area_pct: float | MISSING = setting("open area", "%", effect="direct", ge=0, le=90)
    """Share of the surface that is holes."""
    stretch_machine_pct: float | MISSING = setting("stretch along the roll", "%", ge=0, le=100)
    """Stretch in machine direction under the maker's stated pull."""
    stretch_cross_pct: float | MISSING = setting("stretch across the roll", "%", ge=0, le=100)
    """Stretch across the machine direction under the maker's stated pull."""


class Surface(Part):
    """The bare face, before any ink."""

    pencil: Pencil | MISSING = setting("pencil hardness, bare face", scale="pencil", example="HB")
    """Hardest pencil that leaves no mark on the unprinted, coated face (ISO 15184)."""
    texture: Literal["smooth", "textured", "woven", "knitted"] | MISSING = setting(
        "texture", effect="indirect"
    )
    """Cross-cut adhesion (ISO 2409) is defined for a smooth rigid or film face only."""
    printable: Literal["face", "back", "both"] | MISSING = setting("printable sides", example="face")
    """Which side takes ink."""


class Stability(Part):
    """Dimensional change in the heat; the two methods are not interchangeable."""

    method: Literal["iso-11501", "astm-d1204"] | MISSING = setting("method of dimensional change")
    """The standard by which the change was measured."""
    temperature_c: float | MISSING = setting("at", "°C", ge=20, le=250)
    """Temperature of the test."""
    minutes: float | MISSING = setting("for", "min", gt=0, le=1440)
    """Duration of the test."""
    machine_pct: float | MISSING = setting("dimensional change along the roll", "%", ge=-20, le=20)
    """Negative where it shrinks."""
    cross_pct: float | MISSING = setting("dimensional change across the roll", "%", ge=-20, le=20)
    """Negative where it shrinks."""


class HeatLimits(Part):
    """What heat the material bears."""

    max_web_c: float | MISSING = setting(
        "highest web temperature", "°C", effect="indirect", safety=True, ge=20, le=200, example=110
    )
    """Temperature of the material itself that it bears without distortion; not a heater's set-point."""
    glass_transition_c: float | MISSING = setting("glass transition", "°C", ge=20, le=250, example=147)
    """Given for polycarbonate, acrylic and rigid PVC only."""
    max_service_c: float | MISSING = setting(
        "highest temperature in use", "°C", safety=True, ge=20, le=200, example=60
    )
    """Temperature beside the lamps that it bears for years; far below what it bears in the printer."""


class Adhesive(Part):
    """The glue of a self-adhesive material."""

    type: Literal["permanent", "removable", "repositionable", "ultra-removable"] | MISSING = setting(
        "adhesive"
    )
    """How it holds."""
    liner: Line | MISSING = setting("liner", example="140 g/m² coated paper")
    """What it is peeled from."""


class Storage(Part):
    """How rolls are kept before printing."""

    min_c: float | MISSING = setting("store above", "°C", ge=-20, le=40)
    """Lowest storage temperature."""
    max_c: float | MISSING = setting("store below", "°C", ge=0, le=60)
    """Highest storage temperature."""
    min_rh_pct: float | MISSING = setting("humidity above", "% RH", ge=0, le=100)
    """Lowest relative humidity."""
    max_rh_pct: float | MISSING = setting("humidity below", "% RH", ge=0, le=100)
    """Highest relative humidity."""
    acclimatise_h: float | MISSING = setting(
        "acclimatise for", "h", effect="indirect", ge=0, le=168, example=24
    )
    """Hours in the printer's room before printing."""


class FireClass(Part):
    """One reaction-to-fire result; classes of different standards do not stand for each other."""

    standard: FireStandard = setting("fire standard", required=True)
    """Whose class it is: none is ever taken for another's."""
    rating: Line = setting("reaction to fire", required=True, scale="fire", safety=True, example="B-s1,d0")
    """The class exactly as the certificate has it: `B-s1,d0`; of EN 45545-2 `R1 HL2`; `pass`."""
    tested: list[FireTested] | MISSING = setting("fire class tested", min_length=1, max_length=3)
    """What was in the fire: the bare material, a printed one, a printed and laminated one."""
    certificate: Line | MISSING = setting("certificate")
    """The certificate's reference; local code decides whether it is accepted."""


class OutdoorLife(Part):
    """How long it lasts outdoors, finished in one way."""

    finishing: Finishing = setting("outdoor life with", required=True)
    """What was done to the print; `none` as printed."""
    months: float = setting("outdoor life", "months", required=True, ge=0, le=240)
    """Until colour or material has visibly suffered."""


class FinishingNeeds(Part):
    """What the bare or printed face asks for afterwards."""

    needed: Finishing | MISSING = setting("finishing needed", example="film-laminate")
    """The finishing without which it is not to be used."""
    allowed: list[Finishing] | MISSING = setting("finishing allowed", max_length=4)
    """Finishings that are known to hold on it."""


class Substrate(Revised):
    """One grade of printable material from one maker."""

    maker: Slug = setting("maker", required=True, identity=True, example="lumenfold")
    """The maker's id, the first part of the substrate's id."""
    grade: Slug = setting("grade", required=True, identity=True)
    """The grade's id, the second part of the substrate's id."""
    product_code: Line | MISSING = setting("product code")
    """What to write on an order."""
    construction: Construction = setting("construction", required=True, effect="direct")
    """What sort of material it is."""
    base: Base = setting("base", required=True, effect="indirect")
    """The polymer or fibre it is made of."""
    coating: Coating = setting("coating", required=True, effect="direct")
    """What ink the receiving layer was made for; plain PVC without coating is normal for resin ink."""
    finish: Finish | MISSING = setting("finish", effect="indirect")
    """As the trade says it."""
    gloss_60_gu: float | MISSING = setting("gloss at 60°", "GU", effect="indirect", ge=0, le=200)
    """ISO 2813; below 10 GU the 85° and above 70 GU the 20° geometry resolves better."""
    thickness_um: float | MISSING = setting("thickness", "µm", ge=10, le=10000, example=210)
    """Of the whole sheet or film, without liner."""
    mass_g_m2: float | MISSING = setting("mass", "g/m²", ge=10, le=12000)
    """Mass per area."""
    widths_mm: list[Annotated[float, Field(gt=0, le=10000)]] | MISSING = setting(
        "widths", "mm", min_length=1, max_length=12
    )
    """Widths in which it is delivered."""
    roll: Roll | MISSING = setting("roll")
    """How it is wound; absent for sheets."""
    sheets: list[Sheet] | MISSING = setting("sheets", min_length=1, max_length=12)
    """Sizes of the sheets; absent for what is wound."""
    light: Light | MISSING = setting("light")
    """What the unprinted material does to light."""
    surface: Surface | MISSING = setting("surface")
    """The bare face."""
    fabric: Fabric | MISSING = setting("weave")
    """For fabrics only."""
    stability: Stability | MISSING = setting("dimensional change")
    """Change of size in the heat."""
    heat: HeatLimits | MISSING = setting("heat limits")
    """What heat it bears."""
    adhesive: Adhesive | MISSING = setting("adhesive")
    """For self-adhesive materials only."""
    ink_chemistries: list[Chemistry] | MISSING = setting(
        "takes ink", effect="direct", min_length=1, max_length=4
    )
    """Ink chemistries that it takes."""
    storage: Storage | MISSING = setting("storage")
    """How rolls are kept before printing."""
    outdoor_months: float | MISSING = setting("outdoor life, finished", "months", retired=6, ge=0, le=240)
    """Give outdoor instead, one entry a finishing: a life that assumed lamination held of no bare print."""
    outdoor: list[OutdoorLife] | MISSING = setting("outdoors", key="finishing", min_length=1, max_length=4)
    """Life outdoors, one entry a finishing."""
    fire: list[FireClass] | MISSING = setting("fire", key="standard", min_length=1, max_length=8)
    """Reaction to fire, one entry a standard."""
    applications: list[Slug] | MISSING = setting("applications", refers="application", max_length=20)
    """Uses it is meant for."""
    finishing: FinishingNeeds | MISSING = setting("finishing")
    """What it asks for afterwards."""
    cautions: list[Line] | MISSING = setting("cautions", aside=True, max_length=6)
    """What can go wrong or hurt someone."""
    notes: list[Text] | MISSING = setting("notes", aside=True, max_length=10)
    """Anything else worth knowing."""
