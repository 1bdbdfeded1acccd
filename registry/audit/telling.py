"""What to tell of an audit first, and what to do next."""

from collections.abc import Iterator, Sequence

from registry.audit.answer import Clue, OtherRun
from registry.audit.prints import Scene
from registry.audit.story import how_known
from registry.audit.usual import COLOUR_DEFECTS
from registry.errors import RegistryError
from registry.question.names import named

__all__ = ["advice", "in_short"]

_MANY = 6
"""So many likely things are named at once; more are counted."""

_JUDGED = {
    "sticking-on-the-roll": "try both for re-wetting: face to back, weighted and warm, for a day",
    "scratching": "scratch both, finished as the refused print was",
}
"""How strips are judged of a defect that light does not show; common practice, no source."""

_BOX = (
    "isolate a box before it is opened",
    "lamps and wiring are work for a licensed electrician under the local code",
)


def in_short(of: Scene, clues: Sequence[Clue], unknown: Sequence[str]) -> Iterator[str]:
    """Yield the answer in a few lines: the settings, how much changed, what is likely, what is not known."""
    yield _settings(of)
    if clues:
        yield from _changes(of, clues)
    elif _is_unknown_time(of):
        yield "nothing can be compared: nothing is known of one of the times"
    else:
        yield "nothing is known to have changed"
    if clues and _is_unknown_time(of):
        yield "more may have changed: nothing is known of one of the times"
    if unknown:
        yield f"{_counted(len(unknown), 'thing')} not known"


def _is_unknown_time(of: Scene) -> bool:
    return of.good.landing is None or of.bad.landing is None


def _settings(of: Scene) -> str:
    good, bad = of.good, of.bad
    if good.mode is None or bad.mode is None:
        which = "good print" if bad.mode else "bad print" if good.mode else "two prints"
        return f"the mode's settings are not known for the {which}"
    proof, proof_of_bad = how_known(of, good), how_known(of, bad)
    alike = "both proved by their runs" if good.run and bad.run else f"both {proof}"
    known = alike if proof == proof_of_bad else f"good print {proof}, bad print {proof_of_bad}"
    if good.mode.digest == bad.mode.digest:
        return f"the mode's settings were the same for both prints, those of {bad.mode.label} ({known})"
    return (
        f"the mode's settings changed: {good.mode.label} at the good print, {bad.mode.label} at the bad one "
        f"({known})"
    )


def _changes(of: Scene, clues: Sequence[Clue]) -> Iterator[str]:
    likely = [clue for clue in clues if clue.likely]
    count = f"{_counted(len(clues), 'change')} between the two prints"
    if not of.request.defect:
        yield count
        return
    share = "all" if len(likely) == len(clues) else len(likely) or "none"
    yield f"{count}, {share} of them likely with this defect" if len(clues) > 1 else count
    names = list(dict.fromkeys(clue.label for clue in likely if not clue.cleared_by))
    cleared = any(clue.cleared_by for clue in likely)
    if names:
        more = f"; and {len(names) - _MANY} more" if len(names) > _MANY else ""
        others = "; the other likely ones ran in a job since that nobody complained of" if cleared else ""
        yield f"look first at: {'; '.join(names[:_MANY])}{more}{others}"
    elif cleared:
        each = "the likely one" if len(likely) == 1 else "each of the likely ones"
        yield f"{each} ran in a job since that nobody complained of"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def advice(of: Scene, others: Sequence[OtherRun]) -> Iterator[str]:
    """Yield what to do next; neutral, for nothing here is proved."""
    good, bad, request = of.good, of.bad, of.request
    lit = request.defect not in _JUDGED and _is_backlit(of)
    yield f"compare the refused print with {_sample(of)}" + (f", {_lit(request.display)}" if lit else "")
    if of.withdrawn and request.display:
        yield f"print nothing more with it: litstock find --for {request.display} says what is known to work"
    if not of.withdrawn and good.mode and bad.mode and good.mode.digest != bad.mode.digest:
        dry = f"judge them side by side, dried down{' and lit' if lit else ''}"
        judged = _JUDGED.get(request.defect, dry)
        yield (
            f"print a short strip on {request.unit} with the settings of {good.mode.label} and one with "
            f"those of {bad.mode.label}, from the same roll, and {judged}"
        )
    if calm := [other for other in others if not other.complaint]:
        last = calm[-1]
        when = f"{of.registry.time(last.at):%Y-%m-%dT%H:%M}"
        yield (
            f"look at job {last.job}: if that print is good too, ask again with --good {when}, "
            "which leaves less to explain"
        )
    if request.complaint and not request.readings and request.defect in COLOUR_DEFECTS:
        yield "read the same patches on the refused print and on the sample, and add them to the complaint"
    if lit:
        yield f"CAUTION: {'; '.join(_cautions(of))}"


def _is_backlit(of: Scene) -> bool:
    """Whether the prints are seen lit from behind; where that is not known they may be."""
    modes = [each.mode for each in (of.bad, of.good) if each.mode]
    return not modes or modes[0].document.get("lighting") != "frontlit"


def _sample(of: Scene) -> str:
    modes = [each.mode for each in (of.bad, of.good) if each.mode]
    sample = next((mode.document.get("evidence", {}).get("sample") for mode in modes), None)
    return f"the approved sample kept at {sample}" if sample else "the last good one (no sample is on record)"


def _lit(display: str) -> str:
    return f"lit, in {display}" if display else "lit, in its display"


def _cautions(of: Scene) -> Sequence[str]:
    """Return what can hurt someone at the display, as its record has it; else what holds for every box."""
    if not of.request.display:
        return _BOX
    try:
        display = of.registry.document(named(of.registry, of.request.display, ("display",)).blob)
    except RegistryError:
        return _BOX
    return display.get("cautions") or _BOX
