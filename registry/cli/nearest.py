"""`litstock nearest`: what to start from for a material that the registry does not have."""

import shlex
import sys
from collections.abc import Iterator, Mapping
from typing import Any

import click

from registry.cli.blocks import labelled, paragraph, typed
from registry.cli.completion import complete_facts, complete_records
from registry.cli.numbers import Whole
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import figures, say, tell, write_json, write_table
from registry.cli.values import said as worded
from registry.cli.wording import remark_json
from registry.contribute.described import described
from registry.model.shape import shape_of
from registry.model.units import plain_number
from registry.nearest.asking import Asked, NearestAnswer, Relative, nearest

__all__ = ["command"]

_COLUMNS = {
    "place": "place",
    "mode": "mode",
    "revision": "revision",
    "substrate": "substrate",
    "load_pct": "load to start from, %",
    "same": "same",
    "near": "near",
    "differs": "differs",
    "unknown": "unknown",
}


@click.command()
@click.argument(
    "facts",
    metavar="PATH=VALUE...",
    nargs=-1,
    required=True,
    shell_complete=complete_facts,
)
@click.option(
    "--printer",
    metavar="PRINTER",
    default="",
    shell_complete=complete_records("printer"),
    help="Who prints it.",
)
@click.option(
    "--lighting",
    type=click.Choice(shape_of("print-mode").settings["lighting"].words),
    default="backlit",
    show_default=True,
    help="How it will be seen.",
)
@click.option("--limit", type=Whole(min=1), default=3, show_default=True, help="How many to show.")
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(
    context: click.Context,
    /,
    facts: tuple[str, ...],
    printer: str,
    lighting: str,
    limit: int,
    units: str,
    form: str,
) -> None:
    """For a material that is not in the registry: known-good modes of its nearest relatives.

    Say what its data sheet says, as a substrate's settings: coating=aqueous base=polyester
    light.transmittance_pct=42 thickness_um=190 finish=matte. Relatives are ranked by coating and inks
    first, then construction, base, transmittance, thickness and finish; another coating is no relative.
    The load is scaled so that the darkest solid is no less dense, neither over the film nor absolutely. What
    is found is a start for a trial, never a known-good setting: the re-wet trial comes first. The answer ends
    with the commands that record the material and a first trial like the nearest.

    Exit code: 0 where there is a relative, 1 where guidance refuses the material or it has none, 2 where no
    material could be so.

    JSON keys: commit, facts, lighting, printer, why_not, refused (rule, level, applies, text, source),
    looked_at, apart (why, modes), relatives (place, mode, revision, substrate, title, printer, load_pct,
    recorded_load_pct, steps, doubts, likenesses (path, label, answer, asked, found, unit), guidance, watch,
    next (commands to type), held (why the load set there is not load_pct)).
    """
    document = described("substrate", facts, "coating=aqueous")
    registry = open_registry(context)
    answer = nearest(registry, Asked(document, lighting, printer, limit))
    if form == "json":
        write_json(figures(_json(answer)))
    elif form == "text":
        for line in _text(answer, units):
            say(line)
    else:
        write_table([_row(place, each) for place, each in enumerate(answer.relatives, 1)], _COLUMNS, form)
        for reason in (*(each.text for each in answer.refused), answer.why_not):
            if reason:
                tell(f"refused: {reason}")
    sys.exit(0 if answer.relatives else 1)


def _text(answer: NearestAnswer, units: str) -> Iterator[str]:
    if answer.refused:
        yield "Refused: no setting here makes this material known to work."
        for remark in answer.refused:
            yield from labelled("", [f"{remark.text} ({remark.source})"])
    if answer.why_not:
        yield from paragraph(f"Nothing to start from: {answer.why_not}.")
    elif not answer.relatives and not answer.refused:
        yield f"No relative among {answer.looked_at} known-good modes for {answer.asked.lighting} printing."
    elif answer.relatives:
        yield from paragraph(
            "A start for a trial, no known-good setting: nobody here has printed this material. "
            "Nearest first."
        )
    for place, each in enumerate(answer.relatives, 1):
        yield ""
        yield from _block(place, each, units)
    if answer.apart and not (answer.refused or answer.why_not):
        yield ""
        yield from labelled("apart", [f"{modes} known-good: {why}" for why, modes in answer.apart])
    if answer.relatives:
        yield ""
        yield from _next(answer)
    yield ""
    yield f"answered from commit {answer.commit[:12]}"


def _next(answer: NearestAnswer) -> Iterator[str]:
    first = answer.relatives[0]
    yield from paragraph("To begin with the nearest, with names of your own for what is in capitals:")
    yield from typed("next", _commands(answer.asked.facts, first))
    if first.start.held:
        yield from paragraph(f"{first.start.held[0].upper()}{first.start.held[1:]}.")


def _commands(facts: Mapping[str, Any], each: Relative) -> list[list[str]]:
    """Return the commands that record the material and its first trial, by parts that belong together."""
    shape = shape_of("substrate")
    known = shape.flatten(dict(facts))
    lacking = [
        path
        for path, setting in shape.settings.items()
        if setting.descriptive and path in shape.schema["required"] and path not in known
    ]
    given = {path: _assigned(found.value) for path, found in known.items()}
    substrate = given | {path: path.upper() for path in lacking}
    mode = each.start.settings
    return [
        ["litstock new substrate MAKER/GRADE", *_set(substrate), "--reason REASON"],
        [
            "litstock new print-mode MAKER/GRADE/MODE",
            f"--like {each.mode.rid}@{each.mode.label}",
            *_set(mode),
            "--reason REASON",
        ],
    ]


def _set(values: Mapping[str, Any]) -> list[str]:
    return [f"--set {shlex.quote(f'{path}={value}')}" for path, value in values.items()]


def _assigned(value: Any) -> str:
    """Return a value as it is typed."""
    if isinstance(value, list):
        return ",".join(map(_assigned, value))
    return plain_number(value) if isinstance(value, (int, float)) else str(value)


def _block(place: int, each: Relative, units: str) -> Iterator[str]:
    yield from paragraph(f"{place}  {each.mode.rid} {each.mode.label}: {each.substrate_title}", then="   ")
    for answer in ("same", "near", "differs", "unknown"):
        told = [
            likeness.label
            if answer in {"same", "unknown"}
            else f"{likeness.label} {worded(likeness.found, likeness.unit, units)}, "
            f"asked {worded(likeness.asked, likeness.unit, units)}"
            for likeness in each.kinship.likenesses
            if likeness.answer == answer
        ]
        if told:
            yield from labelled(answer, ["; ".join(told)])
    yield from labelled("load", [f"start at {each.load.load_pct:.0f} %", *each.load.steps, *each.load.doubts])
    yield from labelled("watch", list(each.watch))
    told = [remark.text for remark in each.remarks if remark.level == "warn" and remark.certain]
    if told:
        yield from labelled("guidance", told)
    yield from labelled("settings", [f"litstock show {each.mode.rid}@{each.mode.label}"])


def _row(place: int, each: Relative) -> dict[str, Any]:
    by_answer: dict[str, list[str]] = {}
    for likeness in each.kinship.likenesses:
        by_answer.setdefault(likeness.answer, []).append(likeness.label)
    return {
        "place": place,
        "mode": each.mode.rid,
        "revision": each.mode.label,
        "substrate": each.substrate,
        "load_pct": each.load.load_pct,
        **by_answer,
    }


def _json(answer: NearestAnswer) -> dict[str, Any]:
    facts = answer.asked.facts
    return {
        "commit": answer.commit,
        "facts": dict(facts),
        "lighting": answer.asked.lighting,
        "printer": answer.asked.printer or None,
        "why_not": answer.why_not or None,
        "refused": [remark_json(each) for each in answer.refused],
        "looked_at": answer.looked_at,
        "apart": [{"why": why, "modes": modes} for why, modes in answer.apart],
        "relatives": [
            _relative_json(place, each, answer.asked.facts) for place, each in enumerate(answer.relatives, 1)
        ],
    }


def _relative_json(place: int, each: Relative, facts: Mapping[str, Any]) -> dict[str, Any]:
    layers = each.mode.document["layers"]
    return {
        "place": place,
        "mode": each.mode.rid,
        "revision": each.mode.label,
        "substrate": each.substrate,
        "title": each.substrate_title,
        "printer": each.mode.document["printer"],
        "load_pct": each.load.load_pct,
        "recorded_load_pct": max(layer["load_pct"] for layer in layers if layer["what"] == "colour"),
        "steps": list(each.load.steps),
        "doubts": list(each.load.doubts),
        "likenesses": [
            {name: getattr(likeness, name) for name in ("path", "label", "answer", "asked", "found", "unit")}
            for likeness in each.kinship.likenesses
        ],
        "guidance": [remark_json(remark) for remark in each.remarks],
        "watch": list(each.watch),
        "next": [" ".join(parts) for parts in _commands(facts, each)],
        "held": each.start.held or None,
    }
