"""Values computed from a mode, its substrate and its printer; each says how it was computed.

They are asked for by path like any setting (`ink.volume_ml_m2`, `print.scratch`) but stand in no record.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import Any

from registry.light.ink import ink_volume
from registry.model.scales import SCRATCH_GRADES, cross_cut_d3359, rank, scratch_grade
from registry.model.shape import shape_of
from registry.model.sourced import copied_paths

__all__ = [
    "DERIVED",
    "Case",
    "Derived",
    "derive",
    "heaviest_layers_pct",
    "heaviest_load_pct",
    "laid_upwards",
    "laid_volume_ml_m2",
]

_KINDS = {"mode": "print-mode"}
"""Record kinds of the kind words that are no kinds themselves."""

Case = Mapping[str, dict[str, Any]]
"""Documents by kind word: `mode`, `substrate`, `printer`; one that is unknown is absent."""


@dataclass(frozen=True, slots=True)
class Derived:
    """One computed value."""

    path: str
    label: str
    how: str
    compute: Callable[[Case], Any]
    unit: str = ""
    scale: str = ""
    effect: str = "none"
    proportional_to: str = ""
    """The input of which a default uncertainty stands in the models, where it is proportional to one."""
    rests_on: tuple[str, ...] = ()
    """Patterns of the settings that it is computed from, each after its kind word: `mode/layers.*`."""


def heaviest_load_pct(case: Case) -> float | None:
    """Return the load of the heaviest colour layer, in % of the printer's full front-lit ink."""
    loads = [layer["load_pct"] for layer in case["mode"]["layers"] if layer["what"] == "colour"]
    return max(loads) if loads else None


def laid_volume_ml_m2(case: Case, coverage_pct: float) -> float | None:
    """Return what `coverage_pct` (sum of channels as laid) comes to in mL/m² on this mode's printer."""
    drop = case.get("printer", {}).get("drop_volume_pl")
    if drop is None:
        return None
    across, along = (int(part) for part in case["mode"]["motion"]["resolution"].split("x"))
    return round(ink_volume(drop, (across, along), coverage_pct), 2)


def laid_upwards(mode: Mapping[str, Any]) -> list[int]:
    """Return a mode's layers, by their places in the record, in the order in which they are laid.

    The record lists them from viewer to lamp. On a first surface what the viewer sees first is laid last; on
    a second surface, seen through the material, it is laid first.

    >>> layers = [{"what": "colour"}, {"what": "white"}]
    >>> [laid_upwards({"layers": layers, "print_side": f"{side}-surface"}) for side in ("first", "second")]
    [[1, 0], [0, 1]]
    """
    places = list(range(len(mode["layers"])))
    return places if mode["print_side"] == "second-surface" else places[::-1]


def _laid(case: Case) -> str | None:
    """Return the layers as they are laid; nothing of a single one, which says it by itself."""
    mode = case["mode"]
    if len(mode["layers"]) == 1:
        return None
    layers = (mode["layers"][place] for place in laid_upwards(mode))
    return ", then ".join(f"{layer['what']} {layer['load_pct']:g} %" for layer in layers)


def heaviest_layers_pct(case: Case) -> list[tuple[str, float]] | None:
    """Return what each layer lays at most (sum of channels, in %), by what it is; None without the profile's.

    Colour counts at its load × the profile's heaviest sum of channels, any other layer at its load.
    """
    heaviest = case["mode"].get("ink", {}).get("profile_max_pct")
    layers = [(layer["what"], layer["load_pct"]) for layer in case["mode"]["layers"]]
    if heaviest is None and any(what == "colour" for what, _ in layers):
        return None
    return [(what, load * heaviest / 100 if what == "colour" else load) for what, load in layers]


def _heaviest_volume(case: Case) -> float | None:
    layers = heaviest_layers_pct(case)
    return None if layers is None else laid_volume_ml_m2(case, sum(laid for _, laid in layers))


def _limit_volume(case: Case) -> float | None:
    limit = case["mode"].get("ink", {}).get("coverage_limit_pct")
    return None if limit is None else laid_volume_ml_m2(case, limit)


def _solid_volume(case: Case) -> float | None:
    load = heaviest_load_pct(case)
    return None if load is None else laid_volume_ml_m2(case, load)


def _of_touched_face(case: Case, what: str, member: str, **only: str) -> Any:
    """Return what the latest trial found on the face that is touched: finished if tried so, else printed."""
    trials = [
        trial
        for trial in case["mode"].get("trials", [])
        if trial["what"] == what
        and member in trial
        and all(trial.get(name) == value for name, value in only.items())
    ]
    finished = [trial for trial in trials if trial.get("on") == "finished-print"]
    return (finished or trials)[-1][member] if trials else None


def _print_pencil(case: Case) -> str | None:
    pencil: str | None = _of_touched_face(case, "pencil", "pencil")
    return pencil


def _rubbed(how: str) -> Callable[[Case], Any]:
    return lambda case: _of_touched_face(case, "rub", "grey_scale", rubbed=how)


def _rub_strokes(case: Case) -> int | None:
    strokes: int | None = _of_touched_face(case, "rub", "strokes")
    return strokes


def _hiding_ratio(case: Case) -> float | None:
    light = case.get("substrate", {}).get("light", {})
    distance, pitch = light.get("hiding_distance_mm"), light.get("hiding_pitch_mm")
    return None if distance is None or pitch is None else round(distance / pitch, 3)


def _outdoor_life(case: Case) -> float | None:
    """Return the life outdoors with the mode's own finishing: of several the one that protects longest."""
    lives = {each["finishing"]: each["months"] for each in case.get("substrate", {}).get("outdoor", [])}
    known = [lives[each] for each in case["mode"].get("finishing", []) if each in lives]
    return max(known) if known else None


def _print_adhesion(case: Case) -> str | None:
    cuts = [trial["cross_cut"] for trial in case["mode"].get("trials", []) if "cross_cut" in trial]
    return cross_cut_d3359(cuts[-1]) if cuts else None


def _print_scratch(case: Case) -> str | None:
    pencil = _print_pencil(case)
    return scratch_grade(pencil) if pencil and rank("pencil", pencil) is not None else None


_LAID = ("mode/layers.*.load_pct", "mode/motion.resolution", "printer/drop_volume_pl")

DERIVED: tuple[Derived, ...] = (
    Derived(
        "ink.solid_ml_m2",
        "ink of one solid",
        "drop volume × resolution × load of the heaviest colour layer, one channel",
        _solid_volume,
        "mL/m²",
        effect="direct",
        proportional_to="drop-volume",
        rests_on=_LAID,
    ),
    Derived(
        "ink.volume_ml_m2",
        "heaviest ink",
        "drop volume × resolution × the sum of the layers: colour at load × the profile's heaviest sum of "
        "channels, others at their load",
        _heaviest_volume,
        "mL/m²",
        effect="direct",
        proportional_to="drop-volume",
        rests_on=(*_LAID, "mode/ink.profile_max_pct"),
    ),
    Derived(
        "ink.limit_ml_m2",
        "coverage limit as volume",
        "drop volume × resolution × total area coverage limit",
        _limit_volume,
        "mL/m²",
        effect="direct",
        proportional_to="drop-volume",
        rests_on=(*_LAID[1:], "mode/ink.coverage_limit_pct"),
    ),
    Derived(
        "print.laid",
        "laid, first to last",
        "the layers, which the record lists from viewer to lamp: turned round on a first surface, where what "
        "is seen first is laid last",
        _laid,
        effect="direct",
        rests_on=("mode/layers.*", "mode/print_side"),
    ),
    Derived(
        "light.hiding_ratio",
        "hiding distance per lamp pitch",
        "hiding distance ÷ lamp pitch with which it was found: lamps twice as far apart must stand twice as "
        "far behind (common practice, no source)",
        _hiding_ratio,
        ":1",
        rests_on=("substrate/light.hiding_distance_mm", "substrate/light.hiding_pitch_mm"),
    ),
    Derived(
        "print.pencil",
        "pencil hardness of the printed face",
        "latest pencil trial (ISO 15184) of the finished print, else of the print as it leaves the printer",
        _print_pencil,
        scale="pencil",
    ),
    Derived(
        "print.scratch",
        "scratch resistance of the printed face",
        "this registry's grade of that hardness: "
        + ", ".join(f"{grade} from {softest}" for grade, softest in SCRATCH_GRADES.items()),
        _print_scratch,
        scale="scratch",
    ),
    Derived(
        "print.rub_dry",
        "rub with a dry cloth",
        "grade (ISO 105-A03) of the latest dry rub by ISO 105-X12, 5 the best; finished where tried",
        _rubbed("dry"),
        "grade",
    ),
    Derived(
        "print.rub_wet",
        "rub with a wet cloth",
        "the same with a wet cloth",
        _rubbed("wet"),
        "grade",
    ),
    Derived(
        "print.rub_strokes",
        "rub of the print",
        "strokes of the latest rub by ASTM D5264 until ink came off; finished where that was tried",
        _rub_strokes,
        "strokes",
    ),
    Derived(
        "print.outdoor_months",
        "outdoor life as finished",
        "the substrate's outdoor life with the mode's own finishing; of several finishings the longest",
        _outdoor_life,
        "months",
        rests_on=("substrate/outdoor.*", "mode/finishing"),
    ),
    Derived(
        "print.adhesion",
        "adhesion of the print",
        "ASTM D3359 class that stands for the ISO 2409 class of the latest cross-cut trial, 5B the best",
        _print_adhesion,
        scale="adhesion",
    ),
)


def from_copied(case: Case) -> list[str]:
    """Return the paths of the computed values that rest on a value which was copied from another record.

    What trials found is never copied: each names its own day and site.
    """
    copied = {
        f"{word}/{path}"
        for word, document in case.items()
        for path in copied_paths(shape_of(_KINDS.get(word, word)), document)
    }
    return [
        each.path
        for each in DERIVED
        if any(fnmatchcase(path, pattern) for pattern in each.rests_on for path in copied)
    ]


def derive(case: Case) -> dict[str, Any]:
    """Return every computed value that the case allows, by path; what cannot be computed is absent."""
    values = ((derived.path, derived.compute(case)) for derived in DERIVED) if "mode" in case else ()
    return {path: value for path, value in values if value is not None}
