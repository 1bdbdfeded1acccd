"""How requirements, margins and what was found are worded; light enough for a question asked all day long."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from registry.find.answer import Offer
from registry.find.candidate import Seam
from registry.find.evidence import SiteWord
from registry.find.known import Known
from registry.find.wanted import IN_USE, MET, STATUS, UNKNOWN, UNMET, UNSURE, Bound, Judged, Margin, Wanted
from registry.index.readmodel import Value
from registry.lit.quantities import is_lit
from registry.model.fire import not_asked
from registry.model.units import decimals_deserved, plain_number, shown, written
from registry.question.advice import Remark
from registry.question.withdrawal import withdrawn_words

__all__ = [
    "UNSOURCED",
    "bound_words",
    "chance_words",
    "confirmed_words",
    "failed_words",
    "in_passing",
    "in_the_way_words",
    "interval_words",
    "judged_words",
    "layers",
    "listed",
    "mode_words",
    "name",
    "percent_of",
    "printed_words",
    "quantity",
    "remark_words",
    "seam_words",
    "site_words",
    "times",
    "unproven_words",
    "untold",
    "wanted_words",
    "withdrawal_words",
]

UNSOURCED = "common practice, no source"
"""The source of most trade advice; told once, below, and not with each piece."""

_OPS = {">=": "at least", "<=": "at most", ">": "above", "<": "below", "=": "exactly", "!=": "anything but"}


def quantity(
    value: float, unit: str, units: str, *, difference: bool = False, beside: Iterable[float] = ()
) -> str:
    """Return a number with its unit, in the units asked for."""
    return " ".join(written(value, unit, units, difference=difference, beside=beside)).strip()


def name(wanted: Wanted) -> str:
    """Return what a requirement is about."""
    if wanted.what == "word":
        return f"the word {wanted.bounds[0].wanted!r}"
    return wanted.known.label


def wanted_words(wanted: Wanted, units: str, beside: Sequence[float] = ()) -> str:
    """Return what a requirement asks for: `at least 30 %`."""
    return " and ".join(_bound(wanted.known, bound, units, beside) for bound in wanted.bounds) or "on record"


def _bound(known: Known, bound: Bound, units: str, beside: Sequence[float]) -> str:
    if isinstance(bound.wanted, tuple):
        return " or ".join(bound.wanted) or "none"
    if bound.op == "~":
        return f"with {bound.wanted!r} in it"
    if isinstance(bound.wanted, str):
        return f"{_OPS[bound.op]} {bound.wanted}"
    return f"{_OPS[bound.op]} {quantity(bound.wanted, known.unit, units, beside=beside)}"


def _found_words(known: Known, found: Sequence[Value], units: str, beside: Sequence[float]) -> str:
    """Return what was found: `38 %`, `1067, 1524 mm`, or that nothing is recorded."""
    if not found:
        return "cannot be told from what is recorded" if is_lit(known.path) else "not recorded"
    if known.sort != "number" or any(value.num is None for value in found):
        return ", ".join(value.txt for value in found)
    texts = [written(value.num, known.unit, units, beside=beside) for value in found if value.num is not None]
    return f"{', '.join(number for number, _ in texts)} {texts[0][1]}".strip()


def judged_words(judged: Judged, offer: Offer, units: str) -> str:
    """Return a requirement beside what was found, and by what margin it is met or missed."""
    wanted = judged.wanted
    if wanted.what == "word":
        return name(wanted) if judged.answer == MET else f"{name(wanted)} is nowhere in it"
    if wanted.known is IN_USE and judged.answer != UNMET:
        there = "in use" if judged.answer == MET else "not in the registry"
        return f"substrate {offer.candidate.pair.mode.substrate}: {there}"
    if withdrawal := _withdrawal(judged, offer):
        return withdrawal
    told = ", ".join(filter(None, (bound_words(judged, units), tested_words(judged, offer))))
    return f"{told} (copied)" if offer.is_copied(judged) else told


def bound_words(judged: Judged, units: str, *, brief: bool = False) -> str:
    """Return a requirement of a setting beside what was found, and by what margin it is met or missed.

    In brief, without the reason for it and without the margin.
    """
    wanted = judged.wanted
    numbers = [value.num for value in judged.found if value.num is not None]
    numbers += [bound.wanted for bound in wanted.bounds if isinstance(bound.wanted, float)]
    found = told_words(judged, units) or _found_words(wanted.known, judged.found, units, numbers)
    because = f" because {wanted.why}" if wanted.why and judged.answer != MET and not brief else ""
    asked = f"{wanted_words(wanted, units, numbers)} wanted{_not_asked(wanted)}"
    text = f"{name(wanted)}: {found}; {asked}{because}"
    missed = judged.answer == UNMET and judged.margin and judged.margin.amount < 0
    if judged.answer == UNSURE or (judged.worth and judged.answer == UNMET and not missed):
        text += f"; {chance_words(judged)}"
    elif not brief and judged.margin and judged.answer != UNKNOWN:
        left = _margin_words(wanted.known, judged.margin, units, numbers, met=judged.answer == MET)
        text += f"{';' if because else ','} {left}"
    return text


def told_words(judged: Judged, units: str) -> str:
    """Return a computed number with its 95 % interval, to the digits that it deserves."""
    worth, unit = judged.worth, judged.wanted.known.unit
    if worth is None:
        return ""
    value, low, high = (shown(each, unit, units)[0] for each in (worth.value, worth.low, worth.high))
    return f"{interval_words(value, low, high)} {shown(0, unit, units)[1]}".strip()


def interval_words(value: float, low: float, high: float) -> str:
    """Return a number with its interval, each to the digits that it deserves.

    >>> interval_words(693.6, 571.0, 860.0), interval_words(28.97, 23.8, 35.6)
    ('690 (570 to 860)', '29.0 (23.8 to 35.6)')
    """
    places = decimals_deserved(low, high)
    value, low, high = (round(each, places) + 0.0 for each in (value, low, high))
    told = [f"{each:,.{max(places, 0)}f}".replace("-", "−") for each in (value, low, high)]
    return told[0] if low == high else f"{told[0]} ({told[1]} to {told[2]})"


def chance_words(judged: Judged) -> str:
    """Return how sure it is that a demand is met, and what nobody measured.

    Numbers that an instrument nobody read decides on are never a matter of course, whatever the chance.
    """
    chance = judged.worth.chance if judged.worth else None
    told = "" if chance is None else f"chance {_percent(chance)}"
    first, *others = judged.unmeasured if judged.answer == UNSURE else ("",)
    more = f", nor {'was one more input' if len(others) == 1 else f'were {len(others)} more inputs'}"
    never = f"{first} was never measured{more if others else ''}" if first else ""
    return "; ".join(filter(None, (told, never)))


def _percent(chance: float) -> str:
    """Return a chance in whole percent, of which none is sure.

    >>> _percent(0.9999), _percent(0.543), _percent(0.001)
    ('over 99 %', '54 %', 'under 1 %')
    """
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def _not_asked(wanted: Wanted) -> str:
    """Return what a demanded fire class leaves out; empty where it leaves out nothing."""
    classes = [bound.wanted for bound in wanted.bounds if isinstance(bound.wanted, str)]
    left_out = [not_asked(wanted.known.fire, each) for each in classes] if wanted.known.fire else []
    return "".join(f" ({each})" for each in left_out if each)


def tested_words(judged: Judged, offer: Offer) -> str:
    """Return what was tested where a fire class is met; empty of anything else."""
    standard = judged.wanted.known.fire
    if not standard or judged.answer != MET:
        return ""
    tested = offer.substrate.get(f"fire.{standard}.tested")
    return f"tested {listed(tested)}" if tested else "what was tested is not recorded"


def unproven_words(ways: Iterable[Judged | Remark]) -> str:
    """Return until what is known something is not offered."""
    known = [way.wanted.known for way in ways if isinstance(way, Judged)]
    lacking = dict.fromkeys("fire class" if each.fire else each.label for each in known)
    return f"not offered until its {' and its '.join(lacking)} is known"


def _withdrawal(judged: Judged, offer: Offer) -> str:
    """Return why a withdrawn mode or substrate is not to be used; nothing where it is not withdrawn."""
    known = judged.wanted.known
    if not any(value.txt == "withdrawn" for value in judged.found) or judged.answer == MET:
        return ""
    if known is not IN_USE and known.path != STATUS:
        return ""
    held = offer.substrate if known is IN_USE else offer.mode
    return withdrawal_words("substrate" if known is IN_USE else "mode", held)


def withdrawal_words(what: str, held: Mapping[str, tuple[Value, ...]]) -> str:
    """Return that something is withdrawn, since when, why, and what to use instead, as far as it is said."""
    begin = "withdrawn."
    said = {path.removeprefix(begin): held[path][0].txt for path in held if path.startswith(begin)}
    return f"the {what} is {withdrawn_words(said)}"


def _margin_words(known: Known, margin: Margin, units: str, beside: Sequence[float], *, met: bool) -> str:
    if margin.amount == 0:
        return "just met" if met else "only just misses it"
    size = abs(margin.amount)
    if margin.steps:
        amount = f"{size:.0f} {'step' if size == 1 else 'steps'}"
    elif known.unit == "%":
        amount = f"{plain_number(size)} {'point' if size == 1 else 'points'}"
    else:
        amount = quantity(size, known.unit, units, difference=True, beside=beside)
    percent = percent_of(known, margin)
    if percent is not None and not margin.steps:
        amount += f" ({abs(percent):.0f} %)"
    return f"{amount} to spare" if margin.amount > 0 else f"misses it by {amount}"


def percent_of(known: Known, margin: Margin) -> float | None:
    """Return a margin in percent of what is allowed; of temperatures there is no meaningful percentage."""
    return None if margin.share is None or known.unit == "°C" else margin.share * 100


def site_words(words: Iterable[SiteWord]) -> str:
    """Return who said so, how often, how lately: `mill-lane twice, last on 2026-02-01`."""
    return "; ".join(
        f"{each.site}, {times(each.times)}, {'last ' if each.times > 1 else ''}on {each.last}"
        + (f" (“{each.note}”)" if each.note else "")
        for each in words
    )


def seam_words(seam: Seam, units: str) -> str:
    """Return why a face is to be put together from pieces, or that this cannot be told."""
    face = f"the face's shorter side is {quantity(seam.needed_mm, 'mm', units)}"
    if seam.widest_mm is None:
        return f"cannot tell whether it needs a seam: {face}, widths are not recorded"
    if not seam.widest_mm:
        return f"needs a seam: {face}, and the printer takes none of the widths delivered"
    return f"needs a seam: {face}, the widest that the printer takes {quantity(seam.widest_mm, 'mm', units)}"


def remark_words(remark: Remark) -> str:
    """Return a piece of advice with its rule and source, and whether it is known to apply."""
    unsure = "cannot tell" if remark.of_mode else "the record of the place does not say"
    unsure = "" if remark.certain else f"{unsure} whether this applies: "
    source = "" if remark.source == UNSOURCED else f"; {remark.source}"
    return f"{unsure}{remark.text} [{remark.rule}{source}]"


def untold(cautions: Iterable[str], told: Collection[str]) -> list[str]:
    """Return each caution once, without those that are told already in the very same words.

    Whether two texts mean the same is for people: one that says never is easily taken for one that does not.

    >>> untold(["Wear gloves.", "Never wear gloves.", "Wear gloves."], ["Earth it."])
    ['Wear gloves.', 'Never wear gloves.']
    """
    return [text for text in dict.fromkeys(cautions) if text not in told]


def in_the_way_words(each: Judged | Remark, offer: Offer, units: str) -> str:
    """Return what keeps a candidate from being a find."""
    if isinstance(each, Judged):
        return judged_words(each, offer, units)
    return f"refused: {remark_words(each)}"


def layers(offer: Offer) -> str:
    """Return what is laid down, in the order of laying: `white 100 %, then colour 200 %`."""
    if "print.laid" in offer.mode:
        return listed(offer.mode["print.laid"])
    loads = (
        (path.split(".")[1], values[0].num)
        for path, values in offer.mode.items()
        if path.startswith("layers.") and path.endswith(".load_pct")
    )
    return ", ".join(f"{what} {load:g} %" for what, load in loads if load is not None)


def mode_words(offer: Offer) -> str:
    """Return which mode it is, at which revision, and how that stands."""
    mode = offer.candidate.pair.mode
    standing = {"trial": "on trial", "known-good": "known good"}.get(mode.standing, mode.standing)
    trial = f"; r{offer.trial} is on trial" if offer.trial else ""
    return f"{mode.rid} r{mode.number}, {standing}{trial}"


def printed_words(offer: Offer, units: str) -> str:
    """Return how it is printed: lighting and side, layers and ink, passes and speed."""
    held = offer.mode
    mirrored = "mirrored" if listed(held.get("mirrored", ())) == "yes" else ""
    passes = f"{listed(held['motion.passes'])} passes" if "motion.passes" in held else ""
    ink = _ink(held, units)
    speed = _quantity(held, "motion.speed_m2_h", "m²/h", units)
    parts = (
        (listed(held.get("lighting", ())), listed(held.get("print_side", ())), mirrored),
        (layers(offer), f"ink up to about {ink}" if ink else "ink volume unknown"),
        (passes, speed or "speed unknown"),
    )
    return "; ".join(", ".join(filter(None, part)) for part in parts)


def _ink(held: dict[str, tuple[Value, ...]], units: str) -> str:
    """Return the ink laid in two figures: the drop volume, to which it is proportional, deserves no more."""
    number = held["ink.volume_ml_m2"][0].num if "ink.volume_ml_m2" in held else None
    if number is None:
        return ""
    text, unit = written(number, "mL/m²", units)
    return f"{float(f'{float(text):.2g}'):g} {unit}"


def _quantity(held: dict[str, tuple[Value, ...]], path: str, unit: str, units: str) -> str:
    number = held[path][0].num if path in held else None
    return "" if number is None else quantity(number, unit, units)


def failed_words(offer: Offer) -> list[str]:
    """Return where these very settings failed: nobody should have to look for it."""
    failed = offer.candidate.confirmed.failed
    return [f"with these very settings at {site_words([word])}" for word in failed]


def confirmed_words(offer: Offer, site: str) -> str:
    """Return who confirmed these very settings, the site that is asked for first."""
    said = offer.candidate.confirmed
    own = said.by(site) if site else None
    itself = site_words([own]) if own else f"not by {site} itself" if site else ""
    others = site_words(word for word in said.good if word is not own)
    return "; ".join(filter(None, (itself, others))) or "by no site"


def in_passing(judged: Judged) -> str:
    """Return a met requirement without a margin in few words; nothing where it is taken for granted."""
    if judged.wanted.what == "word":
        return name(judged.wanted)
    return f"{name(judged.wanted)}: {listed(judged.found)}" if judged.wanted.known.path else ""


def listed(values: Iterable[Value]) -> str:
    """Return values one behind the other."""
    return ", ".join(value.txt for value in values)


def times(number: int) -> str:
    """Return how often, in words."""
    return {1: "once", 2: "twice"}.get(number, f"{number} times")
