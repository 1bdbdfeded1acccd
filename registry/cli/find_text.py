"""A find as a print operator reads it: one block a find, each line led by what it is about."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, TypeVar

from registry.cli.blocks import INDENT, labelled, paragraph
from registry.cli.find_words import (
    UNSOURCED,
    confirmed_words,
    failed_words,
    in_passing,
    in_the_way_words,
    judged_words,
    listed,
    mode_words,
    name,
    printed_words,
    remark_words,
    seam_words,
    unproven_words,
    untold,
    wanted_words,
    withdrawal_words,
)
from registry.cli.output import Bold
from registry.find.answer import FindAnswer, Offer
from registry.find.wanted import MET, Judged
from registry.question.advice import ADVISE, Remark

if TYPE_CHECKING:
    from registry.find.missed import Excluded

__all__ = ["text_of"]

_T = TypeVar("_T")


def text_of(answer: FindAnswer, units: str) -> Iterator[str]:
    """Yield the lines of an answer."""
    page = _Page(answer, units)
    if answer.request.why:
        yield from page.why()
    elif answer.offers:
        yield from page.finds()
    else:
        yield from page.nothing()
    yield ""
    if page.unsourced:
        yield f"Advice that names no source: {UNSOURCED}."
    yield f"answered from commit {answer.commit[:12]}"


class _Page:
    """An answer, being written."""

    def __init__(self, answer: FindAnswer, units: str) -> None:
        self.answer, self.units = answer, units
        offers = () if answer.request.why or len(answer.offers) < 2 else answer.offers
        told = answer.why if answer.request.why else answer.offers
        self.cautions = {offer.candidate.pair.mode.id: self._cautions(offer) for offer in told}
        self.common_remarks = _in_all([offer.candidate.remarks for offer in offers])
        self.common_cautions = _in_all(list(self.cautions.values())) if offers else []
        self.unsourced = False
        """Whether advice without a source was given."""

    def finds(self) -> Iterator[str]:
        answer, last = self.answer, self.answer.offers[-1]
        best = f"; {len(answer.offers)} shown" if answer.found > len(answer.offers) else ""
        yield from paragraph(f"{_count(answer.found, 'print mode')} found{self._for_use()}{best}.")
        yield from self._hints()
        for offer in answer.offers:
            yield from self._block(offer, self._find(offer))
        hidden = last.place + last.shared - len(answer.offers)
        if hidden > 0:
            yield ""
            share = "shares" if hidden == 1 else "share"
            yield f"{hidden} more {share} place {last.place}: a higher --limit shows more."
        yield from self._unproven()
        yield from self._for_all()
        if answer.offers[0].candidate.pair.mode.standing == "withdrawn":
            return
        whose = "its settings card" if answer.found == 1 else "settings card of place 1"
        yield ""
        yield f"{whose}: litstock card {answer.offers[0].candidate.pair.mode.rid} -o card.pdf"

    def nothing(self) -> Iterator[str]:
        from registry.cli.find_missed import groups, unheard, without  # noqa: PLC0415 (only for this)

        answer = self.answer
        yield from paragraph(f"Nothing found{self._for_use()} among {_count(answer.asked, 'print mode')}.")
        yield from self._hints()
        yield from unheard(answer)
        if not answer.asked:
            yield "There is none yet: litstock new print-mode MAKER/GRADE/MODE starts one."
        elif answer.excluded:
            none = f"{without(answer)}none comes near."
            yield from paragraph(f"{none[0].upper()}{none[1:]} What leaves out the most:")
            for each in answer.excluded:
                words = f"{self._excluded(each)}; that leaves out {each.left_out} of {answer.asked}"
                yield from paragraph(words, INDENT)
        yield from self._unproven()
        for number, group in enumerate(groups(answer)):
            yield from ("",) if number or answer.unproven else ()
            yield group.heading
            for offer in group.offers:
                yield from self._block(offer, self._near(offer, group.label))
        if answer.kept_out or answer.near or answer.named:
            yield ""
            on_trial = any(offer.candidate.pair.mode.standing == "trial" for offer in answer.kept_out)
            trial = "--status trial to find what is on trial, or " if on_trial else ""
            yield from paragraph(
                f"Add {trial}--why RECORD for everything that speaks for or against one of them."
            )

    def _unproven(self) -> Iterator[str]:
        """Yield what has all that is asked for but a safety that nobody can tell."""
        by_words: dict[str, list[Offer]] = {}
        for offer in self.answer.unproven_ones:
            by_words.setdefault(unproven_words(offer.candidate.in_the_way), []).append(offer)
        for words, offers in by_words.items():
            yield ""
            yield f"{words[0].upper()}{words[1:]}:"
            for offer in offers:
                yield from paragraph(f"{mode_words(offer)}: {'; '.join(self._in_the_way(offer))}", INDENT)
        if hidden := self.answer.unproven - len(self.answer.unproven_ones):
            yield f"{INDENT}and {hidden} more: a higher --limit shows them"

    def _hints(self) -> Iterator[str]:
        if self.answer.little_words or self.answer.named_place:
            from registry.cli.find_missed import hints  # noqa: PLC0415 (few words need it)

            yield from hints(self.answer)

    def why(self) -> Iterator[str]:
        answer = self.answer
        if not answer.why:
            yield f"{answer.request.why}: there is no print mode for it."
        for number, offer in enumerate(answer.why):
            if number:
                yield ""
            verdict = f"in: place {offer.place} of {answer.found}" if offer.place else "out"
            yield from paragraph(f"{verdict}{self._for_use()}: {mode_words(offer)}", then=INDENT)
            yield from self._lines(self._everything(offer))
        if answer.unheard:
            from registry.cli.find_missed import unheard  # noqa: PLC0415 (few words need it)

            yield ""
            yield from unheard(answer)

    def _for_use(self) -> str:
        use = self.answer.use
        if use is None:
            return ""
        withdrawn = f"; withdrawn: {use.withdrawn}" if use.withdrawn else ""
        return f" for {use.title} ({use.kind} {use.rid}: {use.lighting}, {use.place}{withdrawn})"

    def _excluded(self, each: "Excluded") -> str:
        if isinstance(each.by, Remark):
            return self._remark(each.by)
        wanted = "" if each.by.what == "word" else f": {wanted_words(each.by, self.units)} wanted"
        return f"{name(each.by)}{wanted}"

    def _block(self, offer: Offer, parts: Iterable[tuple[str, Sequence[str]]]) -> Iterator[str]:
        pair = offer.candidate.pair
        place = f"{offer.place:<2} " if offer.place else "–  "
        yield ""
        yield Bold(f"{place}{pair.substrate_title or pair.mode.substrate}")
        yield from self._lines(parts)

    def _lines(self, parts: Iterable[tuple[str, Sequence[str]]]) -> Iterator[str]:
        for label, texts in parts:
            yield from labelled(label, [text for text in texts if text])

    def _find(self, offer: Offer) -> Iterator[tuple[str, Sequence[str]]]:
        met = [each for each in offer.candidate.judged if each.answer == MET]
        plain = [in_passing(each) for each in met if not _in_full(each)]
        yield "mode", [mode_words(offer)]
        if offer.candidate.pair.mode.standing == "withdrawn":
            self._note(offer.candidate.refusals)
            refusals = [in_the_way_words(each, offer, self.units) for each in offer.candidate.refusals]
            yield "not to use", [withdrawal_words("mode", offer.mode), *refusals]
        yield "FAILED", failed_words(offer)
        yield "why here", [self._place(offer)]
        yield from self._print(offer)
        yield "not surely", [self._judged(each, offer) for each in offer.candidate.unsure]
        yield (
            "met",
            [*(self._judged(each, offer) for each in met if _in_full(each)), "; ".join(filter(None, plain))],
        )
        yield from self._said(offer, in_full=len(self.answer.offers) == 1)

    def _near(self, offer: Offer, label: str) -> Iterator[tuple[str, Sequence[str]]]:
        yield "mode", [mode_words(offer)]
        yield label, self._in_the_way(offer)
        yield "FAILED", failed_words(offer)
        if offer.candidate.pair.mode.standing != "withdrawn":
            yield from self._print(offer)

    def _everything(self, offer: Offer) -> Iterator[tuple[str, Sequence[str]]]:
        yield "in the way", self._in_the_way(offer)
        yield "FAILED", failed_words(offer)
        yield "why here", [self._place(offer)]
        yield from self._print(offer)
        met = [each for each in offer.candidate.judged if each.answer == MET]
        yield "not surely", [self._judged(each, offer) for each in offer.candidate.unsure]
        yield "met", [self._judged(each, offer) for each in met]
        yield from self._said(offer, in_full=True)

    def _in_the_way(self, offer: Offer) -> list[str]:
        ways = offer.candidate.in_the_way
        self._note(each for each in ways if isinstance(each, Remark))
        return [in_the_way_words(each, offer, self.units) for each in ways]

    def _print(self, offer: Offer) -> Iterator[tuple[str, Sequence[str]]]:
        """Yield how it is printed, who confirmed it, and what of it is not known."""
        candidate = offer.candidate
        yield "printer", [candidate.pair.printer_title or candidate.pair.mode.printer]
        yield "print", [printed_words(offer, self.units)]
        yield "finish", [listed(offer.mode.get("finishing", ()))]
        yield "confirmed", [confirmed_words(offer, self.answer.request.site)]
        yield "unknown", [self._judged(each, offer) for each in candidate.unknown]

    def _said(self, offer: Offer, *, in_full: bool) -> Iterator[tuple[str, Sequence[str]]]:
        remarks = [each for each in offer.candidate.remarks if each not in self.common_remarks]
        yield "warning", self._warnings(offer, remarks)
        yield "unsure", [self._remark(each) for each in remarks if each.is_open]
        own = [each for each in remarks if each.level == ADVISE]
        yield "advice", [self._remark(each) for each in own] if in_full else [_named(own)]
        cautions = self.cautions[offer.candidate.pair.mode.id]
        yield "caution", [each for each in cautions if each not in self.common_cautions]

    def _cautions(self, offer: Offer) -> list[str]:
        """Return what its records caution of and neither advice on it nor the use says in the same words."""
        held = (*offer.substrate.get("cautions", ()), *offer.mode.get("cautions", ()))
        use = () if self.answer.request.why or not self.answer.use else self.answer.use.cautions
        return untold((value.txt for value in held), (*_certain(offer.candidate.remarks), *use))

    def _warnings(self, offer: Offer, remarks: Sequence[Remark]) -> list[str]:
        seam = offer.candidate.seam
        warned = [self._remark(each) for each in remarks if each.warns]
        return [*([seam_words(seam, self.units)] if seam else []), *warned]

    def _for_all(self) -> Iterator[str]:
        offers = self.answer.offers
        told = _certain(_in_all([offer.candidate.remarks for offer in offers]))
        told += _in_all(list(self.cautions.values()))
        use = self.answer.use.cautions if self.answer.use else ()
        cautions = [*self.common_cautions, *untold(use, told)]
        several = len(offers) > 1
        warned = [self._remark(each) for each in self.common_remarks if each.warns]
        unsure = [self._remark(each) for each in self.common_remarks if each.is_open]
        advice = [self._remark(each) for each in self.common_remarks if each.level == ADVISE]
        if warned or unsure or advice or cautions:
            yield ""
            yield "for all of these" if several else "where it hangs"
            yield from self._lines(
                [("warning", warned), ("unsure", unsure), ("advice", advice), ("caution", cautions)]
            )
        others = dict.fromkeys(each for offer in offers for each in _advice(offer))
        if several and (texts := [self._remark(each) for each in others if each not in self.common_remarks]):
            yield ""
            yield "for those that name it"
            yield from self._lines([("advice", texts)])

    def _judged(self, judged: Judged, offer: Offer) -> str:
        return judged_words(judged, offer, self.units)

    def _remark(self, remark: Remark) -> str:
        self._note([remark])
        return remark_words(remark)

    def _note(self, given: Iterable[Remark]) -> None:
        self.unsourced = self.unsourced or any(remark.source == UNSOURCED for remark in given)

    def _place(self, offer: Offer) -> str:
        shared = f"; shares its place with {_count(offer.shared, 'other')}" if offer.shared else ""
        return f"{offer.reason}{shared}" if offer.place else ""


def _advice(offer: Offer) -> list[Remark]:
    return [remark for remark in offer.candidate.remarks if remark.level == ADVISE]


def _named(advice: Sequence[Remark]) -> str:
    """Return advice by its rules' ids; their words stand below, once."""
    unsure = {True: "", False: " (cannot tell)"}
    return ", ".join(f"{remark.rule}{unsure[remark.certain]}" for remark in advice)


def _certain(remarks: Iterable[Remark]) -> list[str]:
    return [remark.text for remark in remarks if remark.certain]


def _in_all(lists: Sequence[Sequence[_T]]) -> list[_T]:
    """Return what is in each of the lists: it is told once, below."""
    return [each for each in lists[0] if all(each in other for other in lists)] if lists else []


def _count(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun if number == 1 else noun + 's'}"


def _in_full(met: Judged) -> bool:
    """Whether more is to be said of what is met than what it is: by how much, or what was tested."""
    return bool(met.margin or met.wanted.known.fire)
