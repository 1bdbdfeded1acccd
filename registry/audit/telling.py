"""What to tell of an audit first, and what to do next."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from registry.audit.answer import Clue, Explained, Guided, OtherRun, Shift, Unknown
from registry.audit.explained import none_read
from registry.audit.prints import Scene, complaints_of, is_backlit
from registry.audit.story import how_known
from registry.audit.usual import COLOUR_DEFECTS
from registry.audit.verdict import Verdict
from registry.errors import RegistryError
from registry.question.names import named

__all__ = ["Findings", "advice", "in_short"]

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

_BARE_PIECE = (
    "put an unprinted piece of an earlier roll of the film into the display: if it looks as wrong as the "
    "refused print's white, look at lamps and panel, else at the film"
)
"""How lamps and panel are told from the film; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Findings:
    """What was found, as far as it is told in short."""

    clues: Sequence[Clue]
    unknown: Sequence[Unknown] = ()
    guidance: Sequence[Guided] = ()
    shift: Shift | None = None
    explained: Explained | None = None
    verdict: Verdict | None = None

    @property
    def likely_cause(self) -> str:
        """What the one likely cause is called; empty where none may be called so."""
        return self.verdict.clue.label if self.verdict and self.verdict.sure else ""


def in_short(of: Scene, found: Findings) -> Iterator[str]:
    """Yield the answer in a few lines: guidance that refuses, settings, what is likely, what is unknown."""
    for rule in found.guidance:
        if rule.level == "refuse":
            yield f"guidance {'refuses' if rule.certain else 'may refuse'} this: {rule.words}"
    yield _settings(of)
    if found.clues:
        yield from _changes(of, found.clues)
    elif _is_unknown_time(of):
        yield "nothing can be compared: nothing is known of one of the times"
    else:
        yield _nothing_known(of, found)
    if found.clues and _is_unknown_time(of):
        yield "more may have changed: nothing is known of one of the times"
    yield from _first(of, found)
    if found.unknown:
        weighty = next((each.words for each in found.unknown if each.material), "")
        first = f"; first: {weighty}" if weighty and found.clues else ""
        yield f"{_counted(len(found.unknown), 'thing')} not known{first}"


def _nothing_known(of: Scene, found: Findings) -> str:
    """Return that nothing changed as far as is known, and the first thing in which a cause may hide."""
    if found.explained:
        return (
            f"no change is on record, but the readings are off by ΔE00 {found.explained.de00:.1f} on "
            "average: something changed that nobody wrote down"
        )
    doubt = next((each.words for each in found.unknown if each.material), "")
    if doubt:
        return f"no change is on record, but something is not known: {doubt}"
    same = none_read(of.request.defect, of.request.readings)
    return "nothing is known to have changed" + (", and the readings show no difference" if same else "")


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
    """Yield how many changes there are, how many of them are likely, how many work against the defect."""
    count = f"{_counted(len(clues), 'change')} between the two prints"
    likely = sum(clue.likely for clue in clues)
    against = sum(clue.works == "against" for clue in clues)
    if of.request.defect and len(clues) > 1:
        share = "all" if likely == len(clues) else likely or "none"
        count += f", {share} of them likely with this defect"
    if against:
        count += f"; {against} {'works' if against == 1 else 'work'} against it"
    yield count


def _first(of: Scene, found: Findings) -> Iterator[str]:
    """Yield where to look first, and before it why, where the readings say it."""
    if found.shift:
        yield _shift_words(found.shift, found.clues)
    if found.explained and found.clues:
        yield _explained_words(found.explained)
    if none_read(of.request.defect, of.request.readings):
        yield "the readings show no difference that anybody would see"
    likely = [clue for clue in found.clues if clue.likely]
    fitting = [clue for clue in likely if clue.fits is not False]
    names = _names(fitting or [clue for clue in found.clues if clue.fits and clue.works != "against"])
    then = _names(clue for clue in likely if clue.fits is False)
    cleared = any(clue.cleared_by for clue in likely)
    others = "; the other likely ones ran in a job since that nobody complained of" if cleared else ""
    if found.likely_cause and found.verdict:
        yield f"the likely cause is {found.likely_cause}: {found.verdict.why}"
        rest = _names(clue for clue in likely if clue is not found.verdict.clue)
        if rest:
            yield f"then look at: {rest}"
        return
    if names:
        doubt = f", but not surely: {found.verdict.why}" if found.verdict and ";" not in names else ""
        doubt = doubt if likely else ", but not surely: none of it is likely with this defect"
        yield f"look first at: {names}{doubt}" + ("" if then else others)
    if then:
        yield f"{'then at' if names else 'likely with this defect all the same'}: {then}{others}"
    if cleared and not (names or then):
        each = "the likely one" if len(likely) == 1 else "each of the likely ones"
        yield f"{each} ran in a job since that nobody complained of"


def _explained_words(explained: Explained) -> str:
    """Return how much of the readings is explained, and that the rest is not."""
    off = f"the readings are off by ΔE00 {explained.de00:.1f} on average"
    if not explained.computed:
        return f"{off}; what the changes on record do to them cannot be computed, so all of it is unexplained"
    share = 100 * explained.share
    return (
        f"{off}; {', '.join(explained.computed[:3])} can explain {share:.0f} % of it, the rest is unexplained"
    )


def _names(clues: Iterable[Clue]) -> str:
    """Return what clues are called, those that no good job had: so many of them, and how many more."""
    names = list(dict.fromkeys(clue.label for clue in clues if not clue.cleared_by))
    more = f"; and {len(names) - _MANY} more" if len(names) > _MANY else ""
    return f"{'; '.join(names[:_MANY])}{more}"


def _shift_words(shift: Shift, clues: Sequence[Clue]) -> str:
    """Return what the readings say, and that nothing on record fits it where nothing does."""
    off = f"ΔE00 {shift.white_de00:.1f}, the printed patches {shift.inks_de00:.1f} on average"
    if shift.moved == "inks":
        words = (
            f"the unprinted white stayed where the inks moved ({off}): look at ink, settings, profile and "
            "the job's own colour choices first"
        )
    else:
        words = (
            f"the unprinted white moved with the inks ({off}), and ink and settings do not act on it: look "
            "at lamps, panel and film first"
        )
    found = "" if any(clue.fits for clue in clues) else "; no change of these is on record, so ask for one"
    return f"{words}{found}; read from the readings, not proved"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def advice(of: Scene, others: Sequence[OtherRun], found: Findings) -> Iterator[str]:
    """Yield what to do next; neutral, for nothing here is proved."""
    is_out = bool(of.withdrawn) or any(each.level == "refuse" and each.certain for each in found.guidance)
    good, bad, request = of.good, of.bad, of.request
    lit = request.defect not in _JUDGED and is_backlit(of)
    yield f"compare the refused print with {_sample(of)}" + (f", {_lit(request.display)}" if lit else "")
    if lit and found.shift and found.shift.moved == "white":
        yield _BARE_PIECE
    if is_out and request.display:
        yield f"print nothing more with it: litstock find --for {request.display} says what is known to work"
    if not is_out and good.mode and bad.mode and good.mode.digest != bad.mode.digest:
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
    yield from _of_complaint(of)
    if lit:
        yield f"CAUTION: {'; '.join(_cautions(of))}"


def _of_complaint(of: Scene) -> Iterator[str]:
    """Yield what the complaint lacks, or that there is one that was not named."""
    request, job = of.request, str(of.bad.record.get("job"))
    if request.complaint and not request.readings and request.defect in COLOUR_DEFECTS:
        yield "read the same patches on the refused print and on the sample, and add them to the complaint"
    if not request.complaint and (known := complaints_of(of.registry, request.unit).get(job)):
        yield f"a complaint of job {job} is on record and knows more: litstock audit {known}"


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
