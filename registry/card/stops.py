"""When to stop: from the trials in the record, the material, and what trade practice looks for.

Common practice, no source: what re-wet, tack and scratch look like.
"""

from collections.abc import Iterator
from typing import Any

from registry.card.request import CardRequest
from registry.card.values import UNKNOWN, entry, quantity
from registry.derived import derive
from registry.model.scales import scratch_grade
from registry.model.shape import shape_of

__all__ = ["stops"]

Stop = dict[str, Any]

_STOPPING = frozenset({"cure", "re-wet", "pencil"})
_SOFT = frozenset({"low", "fair"})


def stops(request: CardRequest) -> list[Stop]:
    """Return when to stop: `sign`, `what` is seen; `trial`, what the record says; its `how` and `seen`.

    `failed` is whether that trial was not stood.
    """
    return [*_hot(request), _tack(request), _rewet(request), _scratch(request), *_other_trials(request)]


def _hot(request: CardRequest) -> Iterator[Stop]:
    limit = request.substrate.get("heat", {}).get("max_web_c")
    if limit is not None:
        unit = shape_of("substrate").settings["heat.max_web_c"].unit
        what = f"the web gets hotter than {quantity(limit, unit, request.units)}, the most it bears"
        yield {"sign": "too hot", "what": what, "trial": "", "how": "", "seen": "", "failed": False}


def _tack(request: CardRequest) -> Stop:
    what = "the heaviest solid, once cooled, is tacky at the centre or at an edge"
    return {"sign": "tack", "what": what, **_trial(request, "cure")}


def _rewet(request: CardRequest) -> Stop:
    wound = request.mode.get("web", {}).get("take_up", "off") != "off"
    where = "sticks to itself off the take-up" if wound else "sticks to the one above it in the stack"
    what = f"a print that was dry turns greasy, or {where}"
    return {"sign": "re-wet", "what": what, **_trial(request, "re-wet")}


def _scratch(request: CardRequest) -> Stop:
    bare = request.substrate.get("surface", {}).get("pencil")
    hardness = derive({"mode": request.mode}).get("print.pencil", bare)
    what = "a fingernail marks the print"
    if hardness is not None and scratch_grade(hardness) in _SOFT:
        what = "a fingernail marks the finished print; until finished the face is soft: touch edges only"
    tried = _trial(request, "pencil")
    label = shape_of("substrate").settings["surface.pencil"].label
    how = ", ".join(part for part in (tried["how"], f"{label}: {bare or UNKNOWN}") if part)
    return {"sign": "scratch", "what": what, **tried, "how": how}


def _other_trials(request: CardRequest) -> Iterator[Stop]:
    for what in dict.fromkeys(trial["what"] for trial in request.mode.get("trials", [])):
        if what not in _STOPPING:
            yield {"sign": what, "what": "", **_trial(request, what)}


def _trial(request: CardRequest, what: str) -> Stop:
    """Return what the record says of the latest trial of a kind."""
    trials = [trial for trial in request.mode.get("trials", []) if trial["what"] == what]
    if not trials:
        return {"trial": f"{what} trial {UNKNOWN}", "how": "", "seen": "", "failed": False}
    latest = {name: value for name, value in trials[-1].items() if name != "result"}
    found = shape_of("print-mode").flatten({"trials": [latest]}).values()
    parts = [
        f"{each.text} {each.unit}" if each.unit else f"{each.label}: {each.text}"
        for each in (entry(value, request.units) for value in found)
        if each.path.rpartition(".")[2] not in {"what", "passed", "date", "site"}
    ]
    outcome = "passed" if latest["passed"] else "FAILED"
    said = f"{what} trial {outcome} {latest['date']} at {latest['site']}"
    seen = trials[-1].get("result", "")
    return {"trial": said, "how": ", ".join(parts), "seen": seen, "failed": not latest["passed"]}
