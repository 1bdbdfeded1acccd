"""From a question to the registry: what to start from for a material that it does not have."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from registry.errors import RequestError
from registry.index.readmodel import Subject
from registry.light.density import density
from registry.light.grid import SpectrumError
from registry.lit.printed import NoReadings, print_in
from registry.measurement import MeasurementError
from registry.model.sound import is_sound
from registry.nearest.kinship import Kinship, kinship
from registry.nearest.load import Scaled, scaled_load
from registry.nearest.start import Start, start_from, usual_load, with_load
from registry.question.advice import Remark
from registry.question.attached import attached, measurement_of
from registry.question.hypothetical import judged
from registry.question.names import named
from registry.question.registry import Registry
from registry.question.when import Version, version_of

__all__ = ["Asked", "NearestAnswer", "Relative", "nearest"]

_BEHIND = "it is printed on its second surface, and this is not known to be clear (light.scattering=clear)"
_FIRST_TRIAL = (
    "re-wet before anything else: print the heaviest solid, lay it face to back, weighted and warm, for a day"
)
_LEAST_LIT_PCT = 2
"""What lets less light through stays dark in any box: a block-out, a board (common practice, no source)."""
_RESIN = "water-based-resin"


class Asked(NamedTuple):
    """What is known of the material, and what it is to be printed for."""

    facts: Mapping[str, Any]
    """As a substrate's document, as far as it is known."""
    lighting: str = "backlit"
    printer: str = ""
    """The printer model that is to print; any where empty."""
    limit: int = 3


class _Search(NamedTuple):
    """A question made ready."""

    registry: Registry
    asked: Asked
    printer: tuple[str, dict[str, Any]] | None
    """The printer asked for: its id and document."""


class Relative(NamedTuple):
    """One known-good mode to start from."""

    mode: Version
    substrate: str
    substrate_title: str
    kinship: Kinship
    load: Scaled
    remarks: tuple[Remark, ...]
    """What guidance says of the new material printed so."""
    watch: tuple[str, ...]
    """What to try and to look at, first what fails first."""
    start: Start
    """What to set in a copy of the mode, for the first trial."""


class NearestAnswer(NamedTuple):
    """What to start from, as of a commit."""

    commit: str
    asked: Asked
    why_not: str
    """Why nothing can be started from, whatever the ink; empty where something may be."""
    refused: tuple[Remark, ...]
    """Guidance that refuses the material for these inks, whatever the settings."""
    relatives: tuple[Relative, ...]
    looked_at: int
    """How many known-good modes there are for this lighting."""
    apart: tuple[tuple[str, int], ...]
    """Why others are no relatives, and how many."""


def nearest(registry: Registry, asked: Asked) -> NearestAnswer:
    """Return known-good modes of the nearest relatives of a material, or the refusal of it.

    Raises
    ------
    RequestError
        Its coating is not given, without which nothing can be told; or no substrate could be as it is said.
    """
    if not is_sound("substrate", dict(asked.facts), partial=True):
        raise RequestError("no substrate's record could hold what is said of the material")
    if "coating" not in asked.facts:
        raise RequestError(
            "the coating decides before all else: give coating=aqueous (or none, solvent, uv-curable, "
            "multi), as the maker's data sheet says"
        )
    search = _Search(registry, asked, _printer(registry, asked.printer))
    chemistry = {"printer": search.printer[1] if search.printer else {"ink_chemistry": _RESIN}}
    refused = tuple(
        each for each in judged(registry, {"substrate": asked.facts, **chemistry}) if each.refuses
    )
    known_good = _known_good(registry)
    others = [each for kind in ("substrate", "printer") for each in registry.model.subjects(kind)]
    registry.documents(each.blob for each in (*known_good, *others))  # read in one go
    modes = [each for each in known_good if _suits(registry, each, asked)]
    kin = [(each, *_kin(registry, each, asked.facts)) for each in modes]
    why_not = _why_not(asked)
    apart = [kinship.refused for _, _, kinship in kin if kinship.refused]
    ranked = sorted(
        (each for each in kin if not (each[2].refused or refused or why_not)),
        key=lambda each: (each[2].rank, *_less_like(registry, search, each[0]), each[0].rid),
    )
    relatives: list[Relative] = []
    for subject, film, near in ranked:
        if len(relatives) == asked.limit:
            break
        if search.printer and any(each.substrate == subject.substrate for each in relatives):
            continue  # of one material, the mode that is nearest to what prints is enough
        found = _relative(search, subject, film, near)
        against = next((remark.text for remark in found.remarks if remark.refuses), "")
        if against:
            apart.append(f"printed so, guidance refuses this material: {against}")
        else:
            relatives.append(found)
    return NearestAnswer(
        registry.commit, asked, why_not, refused, tuple(relatives), len(modes), _counted(apart)
    )


def _less_like(registry: Registry, search: _Search, mode: Subject) -> tuple[bool, bool]:
    """Return what puts a mode behind others of materials as near: another printer, another lighting."""
    document = registry.document(mode.blob)
    other = search.printer is not None and document["printer"] != search.printer[0]
    return other, document["lighting"] != search.asked.lighting


def _why_not(asked: Asked) -> str:
    through = asked.facts.get("light", {}).get("transmittance_pct")
    if through is None or through >= _LEAST_LIT_PCT or asked.lighting == "frontlit":
        return ""
    much = f"only {through:g} % of the" if through else "no"
    return f"{much} light goes through it: there is nothing to print that is lit from behind"


def _printer(registry: Registry, name: str) -> tuple[str, dict[str, Any]] | None:
    if not name:
        return None
    subject = named(registry, name, ("printer",))
    return subject.rid, registry.document(subject.blob)


def _known_good(registry: Registry) -> list[Subject]:
    """Return the newest known-good revision of each mode."""
    newest: dict[str, Subject] = {}
    for each in registry.model.subjects("print-mode"):
        if each.standing == "known-good" and each.seq >= (newest[each.rid].seq if each.rid in newest else 0):
            newest[each.rid] = each
    return list(newest.values())


def _suits(registry: Registry, mode: Subject, asked: Asked) -> bool:
    document = registry.document(mode.blob)
    return document["lighting"] == asked.lighting or (
        document["lighting"] == "dual" and asked.lighting in {"backlit", "frontlit"}
    )


def _kin(registry: Registry, mode: Subject, facts: Mapping[str, Any]) -> tuple[dict[str, Any], Kinship]:
    film = registry.document(named(registry, mode.substrate, ("substrate",)).blob)
    near = kinship(facts, film)
    behind = registry.document(mode.blob)["print_side"] == "second-surface"
    if behind and not near.refused and facts.get("light", {}).get("scattering") != "clear":
        near = near._replace(refused=_BEHIND)
    if film.get("withdrawn"):
        near = near._replace(refused="its material is withdrawn")
    return film, near


def _counted(reasons: Iterable[str]) -> tuple[tuple[str, int], ...]:
    counts: dict[str, int] = {}
    for each in reasons:
        counts[each] = counts.get(each, 0) + 1
    return tuple(sorted(counts.items(), key=lambda each: (-each[1], each[0])))


def _relative(search: _Search, subject: Subject, film: dict[str, Any], near: Kinship) -> Relative:
    registry, asked, wanted = search
    mode = version_of(registry, subject, subject.seq, "known good")
    own: str = mode.document["printer"]
    document = registry.document(named(registry, own, ("printer",)).blob)
    name, printer = wanted or (own, document)
    load = scaled_load(
        mode.document,
        _densities(registry, mode),
        asked.facts.get("light", {}).get("transmittance_pct"),
        (document, printer if name != own else None),
        open_weave=any(each.get("fabric", {}).get("open_area_pct") for each in (film, asked.facts)),
    )
    case = {"substrate": asked.facts, "mode": with_load(mode.document, load.load_pct), "printer": printer}
    return Relative(
        mode,
        subject.substrate,
        film["title"],
        near,
        load,
        judged(registry, case),
        tuple(_watch(asked.facts, near, case, load)),
        start_from(case, load.load_pct, name),
    )


def _densities(registry: Registry, mode: Version) -> tuple[float, float] | None:
    """Return visual densities of the unprinted film and of the darkest solid; None where not measured."""
    file = measurement_of(mode.document)
    if file is None:
        return None
    try:
        found = print_in(mode.document, {}, file, attached(registry, [file]), kinds=("transmission",))
        read = density(found.spectra, found.grid, "visual").values
    except (NoReadings, MeasurementError, SpectrumError):
        return None
    return float(read[found.white]), float(read.max())


def _watch(facts: Mapping[str, Any], near: Kinship, case: Mapping[str, Any], load: Scaled) -> Iterable[str]:
    """Yield what to try first, and what the differences make doubtful."""
    yield _FIRST_TRIAL
    takes, ink = facts.get("ink_chemistries"), case["printer"].get("ink_chemistry")
    if takes and ink and ink not in takes:
        yield f"its maker does not name {ink} ink among those it takes: it may never dry"
    usual = usual_load(case)
    if usual and not usual[0] <= load.load_pct <= usual[1]:
        yield f"the load lies outside the printer's usual {usual[0]:g} to {usual[1]:g} %: print a ladder"
    heat, bears = case["mode"].get("heat", {}), facts.get("heat", {}).get("max_web_c")
    web = heat.get("web_centre_c") or heat.get("cure_c")
    unknown = [each.label for each in near.likenesses if each.answer == "unknown" and each.asked is None]
    if bears is None:
        unknown.append("highest web temperature")
    if unknown:
        yield f"not known of it, ask its maker: {', '.join(unknown)}"
    if bears is not None and web is not None and web > bears:
        yield f"the relative's web reaches {web:g} °C and this bears {bears:g} °C: cure cooler and longer"
    for each in near.likenesses:
        if each.answer in {"differs", "near"} and each.path in _DIFFERENCES:
            yield _DIFFERENCES[each.path]


_DIFFERENCES: dict[str, str] = {
    "coating": "a coating made for several inks: it may drink less than one made for this",
    "construction": "another construction: tension, vacuum and head gap start anew",
    "base": "another base: heat, tension and shrinkage are the new material's own",
    "thickness_um": "another thickness: set the head gap anew, and expect it to warm up at another speed",
    "finish": "another finish: look at scratches, and at wet-out where it touches acrylic",
    "light.transmittance_pct": "another brightness: judge the white lit, beside its neighbours",
}
