"""What a use demands: an application its own, a display its application's, its lighting and its lamps'."""

from typing import Any, NamedTuple

from registry.errors import RegistryError
from registry.find.filters import lit
from registry.find.known import Known, known_of
from registry.find.together import told_once
from registry.find.wanted import Bound, Wanted
from registry.question.names import named
from registry.question.registry import Registry

__all__ = ["Use", "demands", "use_of"]


class Use(NamedTuple):
    """Where the print is to hang."""

    kind: str
    """application or display."""
    rid: str
    title: str
    subject: int
    number: int
    application: str
    lighting: str
    place: str
    """indoor or outdoor."""
    lamp_distance_mm: float | None
    lamp_pitch_mm: float | None
    size_mm: tuple[float, float] | None
    """Width and height of the visible face."""
    cautions: tuple[str, ...]
    withdrawn: str
    """Why it is no longer to be used, where that is so."""
    demands: tuple[dict[str, Any], ...]


def use_of(registry: Registry, text: str) -> Use:
    """Return the application or display that is meant, with what it demands."""
    subject = named(registry, text, ("application", "display"))
    document = registry.document(subject.blob)
    application, own = document, []
    if subject.kind == "display":
        application = _application(registry, subject.rid, document["application"])
        own = document.get("demands", [])
    size = document.get("size")
    return Use(
        subject.kind,
        subject.rid,
        subject.title,
        subject.id,
        subject.number,
        document.get("application", subject.rid),
        document["lighting"],
        document["place"],
        document.get("lamp_distance_mm", application.get("lamp_distance_mm")),
        document.get("lamp", {}).get("pitch_mm", application.get("lamp", {}).get("pitch_mm")),
        (size["width_mm"], size["height_mm"]) if size else None,
        tuple(dict.fromkeys([*application.get("cautions", ()), *document.get("cautions", ())])),
        document.get("withdrawn", {}).get("reason", ""),
        (*application.get("demands", ()), *own),
    )


def demands(use: Use) -> list[Wanted]:
    """Return what a use demands, as requirements: what is unknown of a pair does not rule it out."""
    wanted = [lit(use.lighting, f"{use.title} is {use.lighting}")]
    if use.lamp_distance_mm is not None and use.lighting != "frontlit":
        if use.lamp_pitch_mm is None:
            hiding, most = known_of("substrate", "light.hiding_distance_mm"), float(use.lamp_distance_mm)
        else:  # how far lamps must stand behind depends on how far they stand apart
            hiding = known_of("mode", "light.hiding_ratio")
            most = round(use.lamp_distance_mm / use.lamp_pitch_mm, 3)
        assert hiding is not None  # noqa: S101  (of our own models)
        wanted.append(Wanted(hiding, (Bound("<=", most),), strict=False, why="no lamp may show"))
    return told_once(wanted + [_demand(demand) for demand in use.demands])


def _application(registry: Registry, display: str, rid: str) -> dict[str, Any]:
    found = registry.model.named(rid, "application")
    if not found:
        raise RegistryError(
            f"the display {display} names the application {rid!r}, which is not in the registry, so what it "
            "demands is unknown: name one that is there with litstock revise"
        )
    return registry.document(found[0].blob)


def _demand(demand: dict[str, Any]) -> Wanted:
    of, path = demand["of"], demand["setting"]
    known = known_of(of, path) or Known(of, path, path)
    bounds = []
    for member, op in (("at_least", ">="), ("at_most", "<="), ("grade", ">=")):
        if member in demand:
            value = demand[member]
            bounds.append(Bound(op, value if isinstance(value, str) else float(value)))
    if "one_of" in demand:
        bounds.append(Bound("in", tuple(demand["one_of"])))
    return Wanted(known, tuple(bounds), strict=known.safety, why=demand["why"])
