"""A tuned load as a print mode on trial, with its ladder beside it."""

import math
from collections.abc import Mapping
from typing import Any

import click

from registry.cli.contributing import Desk, Manner
from registry.contribute.attaching import measured
from registry.contribute.drafting import like, with_identity
from registry.contribute.prepare import Overlay, combined, create
from registry.contribute.sourcing import resourced
from registry.errors import RequestError
from registry.model.kinds import path_of
from registry.question.when import version
from registry.tune.asking import TuneAnswer, starting_mode

__all__ = ["write_draft"]

_CHANNELS = {"C": "cyan", "M": "magenta", "Y": "yellow", "K": "black"}
"""What a printer's record calls the process inks."""


def write_draft(
    context: click.Context,
    manner: Manner,
    answer: TuneAnswer,
    ladder: tuple[str, bytes],
    given: Mapping[str, Any],
) -> None:
    """Write the load as a new print mode on trial, by the same way as `litstock new`."""
    if answer.against:
        raise RequestError(
            f"nothing of this is to be printed, so there is no draft of it: {answer.against[0]}"
        )
    desk = Desk(context, manner)
    rid: str = given["draft"]
    if rid.rpartition("/")[0] != answer.substrate.rid:
        raise RequestError(
            f"the draft's id begins with its substrate: {answer.substrate.rid}/NAME, not {rid!r}"
        )
    name, data = ladder
    path = path_of("print-mode", rid)
    kept = measured(desk.tree, path, name, data, "ladder")
    tree = Overlay(desk.tree, kept.contribution.files)
    start = _document(desk, answer, rid, given["like"])
    sources = _sources(desk, answer, name, start)
    told = {**start, "sources": {**start.get("sources", {}), **sources}}
    limits = ("ink.channels",) if "/ink/channels" in sources else ()
    tuned = ("layers.colour.load_pct", "motion.passes", *limits)
    document = resourced("print-mode", start, told, tuned, desk.writer.date).document | {
        "title": f"{answer.substrate.document['title']}, {answer.printer.document['title']}, tuned",
        **kept.patch,
    }
    contribution = create(tree, path, document, writer=desk.writer, reason=given["reason"])
    desk.finish(combined(kept.contribution, contribution, message=contribution.message))


def _sources(
    desk: Desk, answer: TuneAnswer, ladder: str, document: dict[str, Any]
) -> dict[str, dict[str, Any]]:
    """Return where the load, the passes and the limits come from: the ladder, and why."""
    load = _colour_pct(document)
    held = f"held at {load:g} % by the coverage limit; " if load < answer.choice.load_pct else ""
    tuned = {
        "kind": "computed",
        "method": "litstock tune",
        "date": desk.writer.date,
        "note": f"{ladder}: {held}{answer.choice.reason}"[:400],
    }
    limits = ("/ink/channels",) if _channels(answer, load) else ()
    return dict.fromkeys(("/layers", "/motion/passes", *limits), tuned)


def _document(desk: Desk, answer: TuneAnswer, rid: str, model: str | None) -> dict[str, Any]:
    start = starting_mode(answer.substrate.rid, answer.printer.rid, answer.choice, answer.resolution)
    if model is None:
        if not answer.resolution:
            raise RequestError(
                f"{answer.printer.rid} names no resolution: give the ladder's with --resolution"
            )
        channels = _channels(answer, _colour_pct(start))
        return with_identity("print-mode", rid, start | ({"ink": channels} if channels else {}))
    found = version(desk.registry, model, ("print-mode",), offered=True)
    if sum(layer["what"] == "colour" for layer in found.document["layers"]) > 1:
        raise RequestError(
            f"{found.rid} lays colour twice and a ladder tells the load of one layer: draft from another"
        )
    document = like(
        "print-mode",
        rid,
        found.document,
        f"{found.rid} {found.label}",
        desk.writer.date,
        printer=answer.printer.rid,
    )
    passes = start["motion"]["passes"]
    others = sum(layer["load_pct"] for layer in document["layers"] if layer["what"] != "colour")
    laid = start["layers"][0] | {"load_pct": _held(desk, document, start["layers"][0]["load_pct"], others)}
    layers = [
        {**layer, **laid} if layer["what"] == "colour" else layer
        for layer in (_in_passes(each, passes) for each in document["layers"])
    ]
    return {
        **document,
        "printer": answer.printer.rid,
        "layers": layers,
        "ink": {**document.get("ink", {}), **_channels(answer, laid["load_pct"])},
        "motion": {**document["motion"], **start["motion"]},
    }


def _held(desk: Desk, document: dict[str, Any], load_pct: float, others_pct: float) -> float:
    """Return a load under which all layers stay below the coverage limit that the draft copies."""
    ink = document.get("ink", {})
    if "coverage_limit_pct" not in ink or "profile_max_pct" not in ink:
        return load_pct
    most = math.floor(100 * (ink["coverage_limit_pct"] - others_pct) / ink["profile_max_pct"])
    if load_pct <= most:
        return load_pct
    desk.beware(
        f"the draft's load is held at {most} % instead of {load_pct:g} %: heavier, all layers together pass "
        f"the copied coverage limit of {ink['coverage_limit_pct']:g} %"
    )
    return float(most)


def _in_passes(layer: dict[str, Any], passes: int) -> dict[str, Any]:
    """Return a layer that takes no more passes than the mode."""
    return layer | {"passes": passes} if layer.get("passes", 0) > passes else layer


def _colour_pct(document: dict[str, Any]) -> float:
    """Return the load of the layer that is tuned."""
    return float(next(layer["load_pct"] for layer in document["layers"] if layer["what"] == "colour"))


def _channels(answer: TuneAnswer, load_pct: float) -> dict[str, Any]:
    """Return the limits of the inks that are to be held back at a load, by the printer's own names."""
    names = {each["name"] for each in answer.printer.document.get("channels", [])}
    known = {ink: name for ink, name in _CHANNELS.items() if name in names}
    held = {each.ink: round(each.held_back_pct(load_pct)) for each in answer.choice.inks if each.ink in known}
    limits = [
        {"channel": known[ink], "limit_pct": float(share)} for ink, share in held.items() if share < 100
    ]
    return {"channels": limits} if limits else {}
