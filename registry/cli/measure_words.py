"""How a measurement is worded for people, and keyed for programs."""

import hashlib
import shlex
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from registry.change.against import Against
from registry.cli.blocks import INDENT, labelled, paragraph, typed
from registry.cli.find_words import interval_words
from registry.cli.page import aligned, right
from registry.cli.values import in_decimals
from registry.cli.wording import counted, standing_words
from registry.measurement.comparing import Comparison, Match
from registry.measurement.loads import Loads
from registry.measurement.patches import Patches
from registry.measurement.reading import Form
from registry.measurement.report import Solid, TableReport

__all__ = ["columns", "json_of", "rows_of", "text_of"]

_COLOURS = {"lab": ("L", "a", "b"), "xyz": ("X", "Y", "Z")}
_RGB = ("R", "G", "B")
_WORST = 5
"""So many of the largest differences are told."""
_SHORT = {"D_VIS": "D visual", "D_RED": "D red", "D_GREEN": "D green", "D_BLUE": "D blue"}


def text_of(file: Path, form: Form, tables: Sequence[TableReport], found: Against | None) -> Iterator[str]:
    """Yield the answer as a person reads it."""
    several = f", {len(tables)} tables" if len(tables) > 1 else ""
    yield from paragraph(f"{file.name}: {form}{several}")
    for number, each in enumerate(tables, 1):
        if len(tables) > 1:
            yield ""
            yield f"table {number}{f', {each.name}' if each.name else ''}"
        yield from _table(each)
        if each.tunable:
            yield from typed("next", _for_a_ladder(file))
    if found is not None:
        yield ""
        yield from _against(found)


def _table(each: TableReport) -> Iterator[str]:
    patches = counted(len(each.patches.names) if each.patches else 0, "patch", "patches")
    yield from labelled("holds", [f"{patches}: {', '.join(each.holds)}" if each.holds else patches])
    if each.ladder:
        needs = (
            [] if each.tunable else ["litstock tune reads one without fault, in transmission, with spectra"]
        )
        yield from labelled("ladder", [*_ladder_words(each.ladder), *needs])
    for label, words in _how(each).items():
        yield from labelled(label, [words] if words else [])
    if each.how.simulated:
        yield from labelled("beware", ["simulated: nothing was measured"])
    if each.not_said:
        yield from labelled("not said", [", ".join(each.not_said)])
    if each.solids:
        yield ""
        yield from aligned(right(list(_solid_rows(each.solids)), 1), INDENT)
        yield ""
    yield from labelled("fault", [str(fault) for fault in each.faults])
    yield from labelled("doubtful", each.doubts or ["nothing else" if each.faults else "nothing"])


def _ladder_words(found: Loads) -> list[str]:
    loads = dict.fromkeys(f"{load:g}" for load in (*found.loads_pct[:1], *found.loads_pct[-1:]))
    passes = f"{', '.join(map(str, found.passes))} {'pass' if found.passes == (1,) else 'passes'}"
    printed = f"{counted(found.solids, 'solid')} of {', '.join(found.inks)}"
    unsaid = found.solids - found.dried - found.wet
    undried = f", of {unsaid} it is not said" if unsaid else ""
    untried = f", of {found.untried} it is not said" if found.untried else ""
    dried = f"{found.dried} came dry off the printer, {found.wet} did not{undried}"
    return [
        f"of loads, no chart of one print: {printed}; {' to '.join(loads)} % in {passes}",
        f"{dried}; {found.rewet} re-wet{untried}",
    ]


def _for_a_ladder(file: Path) -> list[list[str]]:
    """Return what to type next with a ladder: what load it calls for, and how it is kept."""
    name = shlex.quote(str(file))
    return [
        [f"litstock tune {name}", "--substrate MAKER/GRADE", "--printer PRINTER"],
        [f"litstock measure {name}", "--mode MAKER/GRADE/MODE", "--attach", "--as ladder", "--reason REASON"],
    ]


def _how(each: TableReport) -> dict[str, str]:
    """Return how it was read, by what that is about; empty where it is not said."""
    how = each.how
    hours = "" if how.hours_after_printing is None else f"{how.hours_after_printing:g} h after printing"
    backing = how.backing if "backing" in how.backing.lower() else how.backing and f"backing: {how.backing}"
    return {
        "read": _joined(
            how.geometry or how.kind.replace("unknown", ""),
            how.condition and f"ISO 13655 {how.condition}",
            backing,
        ),
        "density": ""
        if not (each.patches and each.patches.densities)
        else _joined(how.response, how.zero if "zero" in how.zero else how.zero and f"zero: {how.zero}"),
        "L*a*b*": (each.computed if each.solids else "") or how.light.removeprefix("LAB "),
        "instrument": how.instrument,
        "print": _joined(hours, how.finishing and f"finishing: {how.finishing}"),
    }


def _joined(*parts: str) -> str:
    return "; ".join(filter(None, parts))


def _solid_rows(solids: Sequence[Solid]) -> Iterator[tuple[str, ...]]:
    columns = list(solids[0].densities)
    lab = solids[0].lab is not None
    yield ("", *(_SHORT.get(column, column) for column in columns), *(("L*", "a*", "b*") if lab else ()), "")
    for each in solids:
        yield (
            each.name,
            *(in_decimals(each.densities[column], 2) for column in columns),
            *(in_decimals(value, 1) for value in each.lab or ()),
            f"mean of {each.readings}" if each.readings > 1 else "",
        )


def _against(found: Against) -> Iterator[str]:
    mode = found.mode
    trial = f"; r{mode.on_trial} is on trial" if mode.on_trial else ""
    yield from paragraph(f"against {mode.rid} {mode.label}, {standing_words(mode.standing)}{trial}")
    if found.file:
        yield from labelled("reference", [found.file])
    if found.itself:
        yield from labelled("beware", ["this is the reference itself: nothing else was compared with it"])
    if found.comparison is None:
        yield from labelled("refused", found.why_not)
        return
    yield from _compared(found.comparison)
    if found.comparison.unsaid and not found.itself:
        yield from labelled("may differ", [", ".join(found.comparison.unsaid)])
    yield from _furthest(found.comparison)


def _compared(found: Comparison) -> Iterator[str]:
    said = found.summary
    largest = f"largest {interval_words(*found.largest[:3])}, {_called(found, found.matches[said.at])}"
    words = [f"mean {interval_words(*found.mean[:3])}, 95 of 100 within {said.p95:.1f}, {largest}"]
    words.append(_known(found))
    words += [f"the unprinted patch lies {each.de00:.2f} apart" for each in _unprinted(found)]
    yield from labelled("ΔE00", words)
    matched = f"{counted(len(found.matches), 'patch', 'patches')} by {found.matched_by}"
    sides = zip(found.left_out, ("this file", "the reference"), strict=True)
    left = " and ".join(f"{number} of {side}" for number, side in sides if number)
    yield from labelled("matched", [f"{matched}; {left} without a partner" if left else matched])
    yield from labelled("colours", [found.colours])


def _known(found: Comparison) -> str:
    """Return what the numbers in brackets rest on."""
    two = "" if found.one_instrument else ", and as two instruments agree"
    return f"in brackets: 95 % sure, as well as readings repeat{two}"


def _furthest(found: Comparison) -> Iterator[str]:
    apart = [match for match in found.matches if round(match.de00, 2) > 0]
    if apart:
        worst = sorted(apart, key=lambda match: -match.de00)[:_WORST]
        rows = [("", "ΔE00", *("L*", "a*", "b*") * 2), *(_match_row(found, match) for match in worst)]
        yield ""
        yield from paragraph("furthest apart: L* a* b* here, then in the reference", INDENT)
        yield from aligned(right(rows, 1), INDENT)


def _unprinted(found: Comparison) -> list[Match]:
    return [each for each in found.matches if each.device and not any(each.device)][:1]


def _called(found: Comparison, match: Match) -> str:
    """Return what to call a patch: its name, and where that is a number what was printed."""
    if not match.name.isdecimal() or not found.inks:
        return match.name
    inks = zip(found.inks, match.device, strict=True)
    return " ".join(f"{ink}{value:g}" for ink, value in inks if value) or "unprinted"


def _match_row(found: Comparison, match: Match) -> tuple[str, ...]:
    colours = (in_decimals(each, 1) for each in (*match.lab, *match.reference))
    return _called(found, match), in_decimals(match.de00, 2), *colours


def columns(tables: Sequence[TableReport], found: Against | None) -> dict[str, str]:
    """Return the columns of csv and markdown, of what the tables hold: key and heading."""
    held = [each.patches for each in tables if each.patches]
    inks = dict.fromkeys(ink for each in held for ink in each.inks)
    densities = dict.fromkeys(name for each in held for name in each.densities)
    colours = [
        name
        for kind, names in _COLOURS.items()
        if any(getattr(each, kind) is not None for each in held)
        for name in names
    ]
    against = (
        [*(f"reference_{name}" for name in _COLOURS["lab"]), "de00"] if found and found.comparison else []
    )
    return (
        {"table": "table", "patch": "patch"}
        | {_channel(ink): f"{ink}, %" if ink not in _RGB else ink for ink in inks}
        | {name: _SHORT.get(name, name) for name in densities}
        | {name: f"{name}*" if name in _COLOURS["lab"] else name for name in colours}
        | {name: name.replace("reference_", "reference ").replace("de00", "ΔE00") for name in against}
    )


def rows_of(tables: Sequence[TableReport], found: Against | None) -> Iterator[dict[str, Any]]:
    """Yield one row a patch, with its difference from the reference where it has a partner there."""
    compared = found.comparison.matches if found and found.comparison else ()
    matches = {key: match for match in compared for key in (_rounded(match.device), match.name) if key}
    for number, each in enumerate(tables, 1):
        if each.patches is not None:
            for row in range(len(each.patches.names)):
                yield {"table": each.name or number} | _patch_row(each.patches, row, matches)


def _channel(ink: str) -> str:
    """Return the key of a device channel; those of RGB are in no percent."""
    return ink if ink in _RGB else f"{ink}_pct"


def _patch_row(held: Patches, row: int, matches: Mapping[tuple[float, ...] | str, Match]) -> dict[str, Any]:
    device = tuple(held.device[row].tolist())
    answer: dict[str, Any] = {"patch": held.names[row]}
    answer |= {_channel(ink): value for ink, value in zip(held.inks, device, strict=True)}
    answer |= {name: float(values[row]) for name, values in held.densities.items()}
    for kind, names in _COLOURS.items():
        if (values := getattr(held, kind)) is not None:
            answer |= dict(zip(names, map(_decimals, values[row].tolist()), strict=True))
    match = matches.get(_rounded(device)) if device else matches.get(held.names[row])
    if match is not None:
        reference = (f"reference_{name}" for name in _COLOURS["lab"])
        answer |= dict(zip(reference, map(_decimals, match.reference), strict=True))
        answer["de00"] = _decimals(match.de00)
    return answer


def _decimals(value: float) -> float:
    return round(value, 4) + 0.0  # + 0.0 takes the sign off a zero


def _rounded(device: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(round(value, 1) for value in device)


def json_of(
    file: Path, data: bytes, form: Form, tables: Sequence[TableReport], found: Against | None
) -> dict[str, Any]:
    """Return the answer under its documented keys."""
    return {
        "file": file.name,
        "form": str(form),
        "sha256": hashlib.sha256(data).hexdigest(),
        "tables": [
            {
                "name": each.name or None,
                "patches": len(each.patches.names) if each.patches else 0,
                "inks": list(each.patches.inks) if each.patches else [],
                "columns": list(each.holds),
                "conditions": asdict(each.how),
                "not_said": list(each.not_said),
                "ladder": each.ladder and asdict(each.ladder),
                "solids": [asdict(solid) for solid in each.solids],
                "faults": [asdict(fault) for fault in each.faults],
                "doubts": list(each.doubts),
            }
            for each in tables
        ],
        "against": found and _against_json(found),
    }


def _against_json(found: Against) -> dict[str, Any]:
    comparison = found.comparison
    answer: dict[str, Any] = {
        "mode": found.mode.rid,
        "revision": found.mode.label,
        "standing": found.mode.standing,
        "file": found.file or None,
        "itself": found.itself,
        "why_not": list(found.why_not),
    }
    if comparison is None:
        return answer
    said, bare = comparison.summary, _unprinted(comparison)
    return answer | {
        "matched_by": comparison.matched_by,
        "colours": comparison.colours,
        "matched": len(comparison.matches),
        "left_out": list(comparison.left_out),
        "mean": said.mean,
        "p95": said.p95,
        "largest": said.largest,
        "mean_known": comparison.mean._asdict(),
        "largest_known": comparison.largest._asdict(),
        "one_instrument": comparison.one_instrument,
        "at": _called(comparison, comparison.matches[said.at]),
        "unprinted": bare[0].de00 if bare else None,
        "unsaid": list(comparison.unsaid),
    }
