"""What is said of the words that were typed, and above what is listed where nothing was found."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from registry.cli.blocks import INDENT, paragraph
from registry.find.answer import FindAnswer, Offer
from registry.model.kinds import a_kind

__all__ = ["Group", "groups", "hints", "unheard", "without"]


class Group(NamedTuple):
    """Modes that are no finds, and why they are listed."""

    heading: str
    label: str
    """What leads the lines that tell why one is no find."""
    offers: Sequence[Offer]


def hints(answer: FindAnswer) -> Iterator[str]:
    """Yield that no word is left to look for, and which place the words name."""
    little, place = answer.little_words, answer.named_place
    if little and not answer.request.words:
        say = "says" if len(little) == 1 else "say"
        yield from paragraph(f"No word was looked for: {_quoted(little)} {say} nothing of a print mode.")
    if place:
        name = "names" if len(place.words) == 1 else "name"
        words = f"{_quoted(place.words)} {name} the {place.kind} “{place.title}”: "
        yield from paragraph(f"{words}--for {place.rid} judges what it demands.", then=INDENT)


def unheard(answer: FindAnswer) -> Iterator[str]:
    """Yield the words that nothing says, what may be meant, and what is found without them."""
    of_place = answer.named_place.words if answer.named_place else ()
    for each in answer.unheard:
        meant = each.near and each.word not in of_place
        hint = f"; did you mean {' or '.join(each.near)}?" if meant else "."
        hint = f": it is the id of {a_kind(each.use)}, ask with --for {each.word}." if each.use else hint
        no_one = f"No print mode says {each.word!r}, nor does its substrate or printer"
        yield from paragraph(f"{no_one}{hint}", then=INDENT)
    if found := answer.found_without:
        modes = "print mode is" if found == 1 else "print modes are"
        yield f"{without(answer)}{found} {modes} found."


def without(answer: FindAnswer) -> str:
    """Return `Without it, ` where words were left out that nothing says."""
    return {0: "", 1: "Without it, "}.get(len(answer.unheard), "Without them, ")


def groups(answer: FindAnswer) -> Iterator[Group]:
    """Yield what is kept out, what comes near, and what was called by its name."""
    more = "more " if answer.kept_out else ""
    silent = {each.word for each in answer.unheard}
    said = _quoted([word for word in answer.request.words if word not in silent])
    for number, offers, label, one, many in (
        (
            answer.withheld,
            answer.kept_out,
            "kept out",
            "has all that is asked for, and is kept out",
            "have all that is asked for, and are kept out",
        ),
        (
            answer.missed,
            answer.near,
            "in the way",
            f"{more}fails by one requirement only",
            f"{more}fail by one requirement only",
        ),
        (
            len(answer.named),
            answer.named,
            "in the way",
            f"that says {said} has more than one thing in its way",
            f"that say {said} have more than one thing in their way",
        ),
    ):
        if offers:
            shown = f"; {len(offers)} shown" if number > len(offers) else ""
            yield Group(f"{without(answer)}{number} {one if number == 1 else many}{shown}:", label, offers)


def _quoted(words: Sequence[str]) -> str:
    return " and ".join(map(repr, words))
