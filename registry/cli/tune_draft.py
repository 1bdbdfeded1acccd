"""A tuned load as a print mode on trial, with its ladder beside it."""

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
    told = {**start, "sources": {**start.get("sources", {}), **_sources(desk, answer, name)}}
    tuned = ("layers.colour.load_pct", "motion.passes")
    document = resourced("print-mode", start, told, tuned, desk.writer.date).document | {
        "title": f"{answer.substrate.document['title']}, {answer.printer.document['title']}, tuned",
        **kept.patch,
    }
    contribution = create(tree, path, document, writer=desk.writer, reason=given["reason"])
    desk.finish(combined(kept.contribution, contribution, message=contribution.message))


def _sources(desk: Desk, answer: TuneAnswer, ladder: str) -> dict[str, dict[str, Any]]:
    """Return where the load and the passes come from: the ladder, and why."""
    tuned = {
        "kind": "computed",
        "method": "litstock tune",
        "date": desk.writer.date,
        "note": f"{ladder}: {answer.choice.reason}"[:400],
    }
    return {"/layers": tuned, "/motion/passes": tuned}


def _document(desk: Desk, answer: TuneAnswer, rid: str, model: str | None) -> dict[str, Any]:
    start = starting_mode(answer.substrate.rid, answer.printer.rid, answer.choice, answer.resolution)
    if model is None:
        if not answer.resolution:
            raise RequestError(
                f"{answer.printer.rid} names no resolution: give the ladder's with --resolution"
            )
        return with_identity("print-mode", rid, start)
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
    layers = [
        {**layer, **start["layers"][0]} if layer["what"] == "colour" else layer
        for layer in document["layers"]
    ]
    return {
        **document,
        "printer": answer.printer.rid,
        "layers": layers,
        "motion": {**document["motion"], **start["motion"]},
    }
