"""What records say of themselves."""

from typing import Any

from registry.model.kinds import path_of
from tests.check.mutations.mutation import Change, Mutation, patched
from tests.check.small import FILM, SHEET

__all__ = ["MUTATIONS"]

FILM_AT, SHEET_AT = path_of("substrate", FILM), path_of("substrate", SHEET)
USE, ADVICE = path_of("application", "light-box"), path_of("guidance", "aqueous-suits")
HALL, PRINTER = path_of("display", "harbour-yard/hall-1"), path_of("printer", "wide-64")


def demanding(demand: dict[str, Any]) -> Change:
    return patched("application", "light-box", {"demands": [{"why": "so", **demand}]})


def demanding_here(*demands: dict[str, Any]) -> Change:
    return patched("display", "harbour-yard/hall-1", {"demands": [{"why": "so", **each} for each in demands]})


def advising(pointer: str, condition: dict[str, Any]) -> Change:
    when = {pointer: condition}
    return patched("guidance", "aqueous-suits", {"when": {"/mode/layers/0/load_pct": None, **when}})


MUTATIONS: tuple[Mutation, ...] = (
    Mutation(
        "range-reversed",
        "storage",
        patched("substrate", FILM, {"storage": {"min_c": 31}}),
        FILM_AT,
        "/storage/min_c",
    ),
    Mutation(
        "range-reversed",
        "a demand",
        demanding({"of": "substrate", "setting": "gloss_60_gu", "at_least": 9, "at_most": 8}),
        USE,
        "/demands/0/at_least",
    ),
    Mutation(
        "range-reversed",
        "a display's demand",
        demanding_here({"of": "substrate", "setting": "gloss_60_gu", "at_least": 9, "at_most": 8}),
        HALL,
        "/demands/0/at_least",
    ),
    Mutation(
        "range-reversed",
        "a printer's widths",
        patched("printer", "wide-64", {"min_width_mm": 1626}),
        PRINTER,
        "/min_width_mm",
    ),
    Mutation(
        "same-twice",
        "an application's demand",
        patched(
            "application",
            "light-box",
            {
                "demands": [
                    {"of": "mode", "setting": "heat.cure_c", "at_most": 100, "why": "so"},
                    {"of": "mode", "setting": "heat.cure_c", "at_most": 110, "why": "or so"},
                ]
            },
        ),
        USE,
        "/demands/1",
    ),
    Mutation(
        "same-twice",
        "a display's demand",
        demanding_here(
            {"of": "mode", "setting": "heat.cure_c", "at_most": 100},
            {"of": "substrate", "setting": "gloss_60_gu", "at_most": 8},
            {"of": "mode", "setting": "heat.cure_c", "at_most": 110},
        ),
        HALL,
        "/demands/2",
    ),
    Mutation(
        "same-twice",
        "a fire standard",
        patched(
            "substrate",
            FILM,
            {
                "fire": [
                    {"standard": "nfpa-701", "rating": "pass"},
                    {"standard": "nfpa-701", "rating": "fail"},
                ]
            },
        ),
        FILM_AT,
        "/fire/1",
    ),
    Mutation(
        "uncertainty-unclear",
        "both",
        patched(
            "registry",
            "registry",
            {"uncertainties": [{"input": "film-batch", "u": 1, "u_pct": 2, "source": "one of the two"}]},
        ),
        "records/registry.json",
        "/uncertainties/0",
    ),
    Mutation(
        "uncertainty-unclear",
        "neither",
        patched("registry", "registry", {"uncertainties": [{"input": "film-batch", "source": "nothing"}]}),
        "records/registry.json",
        "/uncertainties/0",
    ),
    Mutation(
        "time-zone",
        "none such",
        patched("registry", "registry", {"time_zone": "Nowhere/Else"}),
        "records/registry.json",
        "/time_zone",
    ),
    Mutation(
        "time-zone",
        "a folder of zones",
        patched("registry", "registry", {"time_zone": "Etc"}),
        "records/registry.json",
        "/time_zone",
    ),
    Mutation(
        "not-defined",
        "a film's glass transition",
        patched("substrate", FILM, {"heat": {"glass_transition_c": 70}}),
        FILM_AT,
        "/heat/glass_transition_c",
    ),
    Mutation(
        "not-defined",
        "a diffuser's haze",
        patched("substrate", FILM, {"light": {"haze_pct": 30}}),
        FILM_AT,
        "/light/haze_pct",
    ),
    Mutation(
        "not-defined",
        "a film's weave",
        patched("substrate", FILM, {"fabric": {"open_area_pct": 5}}),
        FILM_AT,
        "/fabric",
    ),
    Mutation(
        "not-defined",
        "a film's adhesive",
        patched("substrate", FILM, {"adhesive": {"type": "permanent"}}),
        FILM_AT,
        "/adhesive",
    ),
    Mutation(
        "not-defined",
        "a sheet's wind",
        patched("substrate", SHEET, {"roll": {"wind": "face-in"}}),
        SHEET_AT,
        "/roll",
    ),
    Mutation(
        "fire-class",
        "no droplets",
        patched("substrate", FILM, {"fire": [{"standard": "en-13501-1", "rating": "B-s1"}]}),
        FILM_AT,
        "/fire/0/rating",
    ),
    Mutation(
        "fire-class",
        "another standard's",
        patched("substrate", FILM, {"fire": [{"standard": "astm-e84", "rating": "B-s1,d0"}]}),
        FILM_AT,
        "/fire/0/rating",
    ),
    Mutation(
        "demand-unclear",
        "no such setting",
        demanding({"of": "mode", "setting": "heat.cure", "at_most": 100}),
        USE,
        "/demands/0/setting",
    ),
    Mutation(
        "demand-unclear", "no bound", demanding({"of": "mode", "setting": "heat.cure_c"}), USE, "/demands/0"
    ),
    Mutation(
        "demand-unclear",
        "two bounds",
        demanding({"of": "substrate", "setting": "surface.pencil", "grade": "H", "one_of": ["H"]}),
        USE,
        "/demands/0",
    ),
    Mutation(
        "demand-unclear",
        "a range of words",
        demanding({"of": "substrate", "setting": "coating", "at_least": 1}),
        USE,
        "/demands/0/at_least",
    ),
    Mutation(
        "demand-unclear",
        "no such grade",
        demanding({"of": "mode", "setting": "print.scratch", "grade": "hard"}),
        USE,
        "/demands/0/grade",
    ),
    Mutation(
        "demand-unclear",
        "no such word",
        demanding({"of": "substrate", "setting": "base", "one_of": ["pvc", "glass"]}),
        USE,
        "/demands/0/one_of/1",
    ),
    Mutation(
        "demand-unclear",
        "a display's, no such setting",
        demanding_here({"of": "mode", "setting": "heat.cure", "at_most": 100}),
        HALL,
        "/demands/0/setting",
    ),
    Mutation(
        "demand-unclear",
        "a display's, no such grade",
        demanding_here(
            {"of": "substrate", "setting": "gloss_60_gu", "at_most": 8},
            {"of": "mode", "setting": "print.scratch", "grade": "hard"},
        ),
        HALL,
        "/demands/1/grade",
    ),
    Mutation(
        "never-applies",
        "no such value",
        advising("/substrate/coatings", {"const": "aqueous"}),
        ADVICE,
        "/when/~1substrate~1coatings",
    ),
    Mutation(
        "never-applies",
        "no such word to set it aside",
        patched("guidance", "aqueous-suits", {"unless": {"/substrate/coating": {"const": "watery"}}}),
        ADVICE,
        "/unless/~1substrate~1coating/const",
    ),
    Mutation(
        "never-applies",
        "no such word",
        advising("/substrate/coating", {"const": "watery"}),
        ADVICE,
        "/when/~1substrate~1coating/const",
    ),
    Mutation(
        "never-applies",
        "no such word in a list",
        advising("/substrate/ink_chemistries", {"contains": {"const": "water"}}),
        ADVICE,
        "/when/~1substrate~1ink_chemistries/contains/const",
    ),
    Mutation(
        "never-applies",
        "a word compared",
        advising("/substrate/base", {"not": {"minimum": 3}}),
        ADVICE,
        "/when/~1substrate~1base/not/minimum",
    ),
    Mutation(
        "never-applies",
        "a word for yes",
        advising("/mode/mirrored", {"const": "true"}),
        ADVICE,
        "/when/~1mode~1mirrored/const",
    ),
    Mutation(
        "no-source",
        "all but light",
        patched("substrate", FILM, {"sources": {"": None}}),
        FILM_AT,
        "/thickness_um",
    ),
    Mutation(
        "source-of-nothing",
        "no such value",
        patched("substrate", FILM, {"sources": {"/gloss_60_gu": {"kind": "unknown"}}}),
        FILM_AT,
        "/sources/~1gloss_60_gu",
    ),
)
