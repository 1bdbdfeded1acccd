"""The vocabulary: every word a record may hold where free text is not allowed."""

from typing import Literal

__all__ = [
    "Base",
    "BlackGeneration",
    "Channel",
    "Chemistry",
    "Coating",
    "Construction",
    "Defect",
    "Direction",
    "Edge",
    "Effect",
    "EventKind",
    "Finish",
    "Finishing",
    "FireStandard",
    "FireTested",
    "Illuminant",
    "Instrument",
    "Intent",
    "Layer",
    "Level",
    "Lighting",
    "Outcome",
    "Pencil",
    "Place",
    "Scope",
    "SeenLit",
    "SourceKind",
    "Stage",
    "Status",
    "TrialKind",
    "TrialStandard",
    "Uncertain",
]

Effect = Literal["direct", "indirect", "none"]
Scope = Literal["model", "unit", "roll"]

Construction = Literal["film", "sheet", "banner", "fabric", "adhesive-film", "paper"]
Base = Literal[
    "polyester", "polycarbonate", "pvc", "acrylic", "polypropylene", "polyethylene", "cotton", "cellulose"
]
Coating = Literal["none", "aqueous", "solvent", "uv-curable", "multi"]
Finish = Literal["matte", "lustre", "gloss"]
Chemistry = Literal["water-based-resin", "aqueous", "solvent", "uv-curable"]

Lighting = Literal["backlit", "frontlit", "dual"]
Place = Literal["indoor", "outdoor"]
Status = Literal["trial", "known-good", "withdrawn"]
Layer = Literal["colour", "white", "clear", "block-out"]
Channel = Literal["colour", "light-colour", "white", "clear", "fixing-fluid"]
Direction = Literal["one-way", "two-way"]
BlackGeneration = Literal["none", "light", "medium", "heavy", "maximum"]
Intent = Literal["perceptual", "relative", "saturation", "absolute"]
Finishing = Literal["none", "film-laminate", "liquid-laminate", "acrylic-face"]
Edge = Literal["cut", "welded", "hemmed", "keder"]

Pencil = Literal[
    "9B", "8B", "7B", "6B", "5B", "4B", "3B", "2B", "B", "HB",
    "F", "H", "2H", "3H", "4H", "5H", "6H", "7H", "8H", "9H",
]  # fmt: skip
FireStandard = Literal[
    "en-13501-1",
    "en-13501-1-floor",
    "en-45545-2",
    "imo-ftp-5",
    "din-4102-1",
    "nf-p-92-507",
    "ul-94",
    "astm-e84",
    "nfpa-701",
]
FireTested = Literal["bare", "printed", "laminated"]
Illuminant = Literal[
    "A", "D50", "D65", "FL2", "FL11", "LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-BH1", "LED-RGB1",
    "LED-V1", "LED-V2",
]  # fmt: skip

TrialKind = Literal["re-wet", "adhesion", "pencil", "rub", "cure", "outgas"]
TrialStandard = Literal["iso-2409", "astm-d3359", "iso-15184", "iso-105-x12", "astm-d5264"]
Uncertain = Literal[
    "luminance-reading",
    "lamp-age",
    "box-reflectance",
    "film-reading",
    "ambient-light",
    "panel-transmittance",
    "panel-reflectance",
    "film-batch",
    "film-reflectance",
    "reading-calibration",
    "reading-repeatability",
    "reading-colour",
    "reading-zero",
    "drop-volume",
]
SourceKind = Literal["measured", "data-sheet", "copied", "computed", "common-practice", "unknown"]
Instrument = Literal["transmission", "reflection", "transmission-and-reflection", "luminance", "thermometer"]
Outcome = Literal["good", "usable", "failed"]
SeenLit = Literal["in-display", "on-light-table", "not-lit"]
Level = Literal["advise", "warn", "refuse"]
Stage = Literal["printing", "fitting"]

EventKind = Literal[
    "adopted",
    "head-replaced",
    "alignment",
    "nozzle-loss",
    "linearisation",
    "heater-service",
    "sensor-service",
    "firmware",
    "colour-software",
    "profile-change",
    "instrument-changed",
    "instrument-recalibrated",
    "ink-lot",
    "fixing-fluid-lot",
    "substrate-lot",
    "laminate-lot",
    "humidity-excursion",
    "lamp-some-replaced",
    "lamp-all-replaced",
    "driver",
    "dimming",
    "diffuser-or-panel",
    "cleaned",
    "moved",
]
Defect = Literal[
    "cast",
    "too-light",
    "too-dark",
    "washed-out-when-lit",
    "hot-spots",
    "banding",
    "mottle",
    "silvering-under-laminate",
    "panels-that-differ",
    "scratching",
    "sticking-on-the-roll",
]
