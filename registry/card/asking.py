"""From a question to the registry: the request for a card, and the verdict on a card that hangs somewhere."""

import datetime
import hashlib
from dataclasses import dataclass
from typing import Any, Literal, cast

from registry.card.code import CardCode, parse_code
from registry.card.current import Landed, Standing, Verdict, verdict
from registry.card.request import CardRequest, Paper, Units
from registry.errors import RequestError
from registry.index.readmodel import Subject
from registry.measurement import Measurement, read_cgats
from registry.model.kinds import path_of
from registry.question.advice import remarks
from registry.question.names import UnknownRecord, named
from registry.question.registry import Registry
from registry.question.when import Version, newest_version, version, withdrawal_words

__all__ = ["Asked", "ask", "revisions_of", "verify"]

_VERIFY_MONTHS = 6
"""Where neither site nor registry says how long a card may hang."""

_Printed = Literal["known-good", "trial", "withdrawn", "draft"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What the person who wants a card says."""

    mode: str
    """`MODE[@WHEN]`."""
    date: datetime.date
    unit: str = ""
    place: str = ""
    """Application or display, for the advice that depends on it."""
    paper: Paper = "a4"
    units: Units = "metric"


def ask(registry: Registry, asked: Asked) -> CardRequest:
    """Return the request for a card: the revision to work with, its case, and the advice that applies."""
    found = version(registry, asked.mode, ("print-mode",), offered=True)
    unit = named(registry, asked.unit, ("unit",)) if asked.unit else None
    unit_document = registry.document(unit.blob) if unit else None
    if unit_document and unit_document["printer"] != found.document["printer"]:
        raise RequestError(
            f"{found.rid} is for the printer {found.document['printer']}, "
            f"and {asked.unit} is a {unit_document['printer']}: choose a mode of that printer"
        )
    return CardRequest(
        mode_id=found.rid,
        mode=found.document,
        substrate=_other(registry, "substrate", found),
        printer=_other(registry, "printer", found),
        revision=found.seq,
        standing="draft" if found.draft else cast("_Printed", found.standing),
        digest=found.digest,
        date=asked.date,
        verify_by=_after_months(asked.date, _months(registry, unit.rid.partition("/")[0] if unit else "")),
        draft_on=(found.seq or None) if found.draft else None,
        on_trial=found.on_trial,
        known_good=_known_good(registry, found),
        unit=unit_document,
        unit_id=unit.rid if unit else "",
        readings=_readings(registry, found),
        guidance=_guidance(registry, found, asked.place),
        commit=registry.commit,
        paper=asked.paper,
        units=asked.units,
    )


def verify(registry: Registry, text: str) -> tuple[CardCode, Verdict]:
    """Return what a card's code or a print's slug says, and whether it is current."""
    code = parse_code(text)
    try:
        mode = named(registry, code.mode_id, ("print-mode",))
    except UnknownRecord:
        return code, verdict(code, ())
    found = verdict(code, revisions_of(registry, mode))
    return code, (_against(registry, mode) if found.use is not None else None) or found


def _against(registry: Registry, mode: Subject) -> Verdict | None:
    """Return why no revision is to be printed: a withdrawn substrate, or a rule that refuses the mode now."""
    film = registry.document(named(registry, mode.substrate, ("substrate",)).blob)
    if gone := withdrawal_words(mode.substrate, film):
        return Verdict(Standing.WITHDRAWN, f"the substrate {gone}; take the card down")
    offered = registry.model.last_known_good(mode) or mode
    for remark in remarks(registry.model, [offered.id], None)[offered.id]:
        if remark.refuses:
            return Verdict(Standing.REFUSED, f"guidance {remark.rule} refuses the mode now: {remark.text}")
    return None


def revisions_of(registry: Registry, mode: Subject) -> list[Landed]:
    """Return every landed revision of a mode, known good only where its settings were confirmed."""
    return [
        Landed(each.seq, each.digest or "", registry.model.standing(each))
        for each in registry.model.revisions(mode.path)
        if each.fault is None and each.blob
    ]


def _other(registry: Registry, kind: str, mode: Version) -> dict[str, Any]:
    """Return the mode's substrate or printer, as it landed last."""
    return newest_version(registry, named(registry, mode.document[kind], (kind,))).document


def _known_good(registry: Registry, found: Version) -> int | None:
    """Return the last known-good revision besides the one found."""
    if found.standing == "known-good" or found.seq == 0:
        return None
    good = registry.model.last_known_good(named(registry, found.rid, ("print-mode",)))
    return good.seq if good else None


def _months(registry: Registry, site: str) -> int:
    sites = registry.model.named(site, "site") if site else []
    policy = registry.document(sites[0].blob).get("policy", {}) if sites else {}
    months = policy.get("verify_months") or registry.settings.get("verify_months") or _VERIFY_MONTHS
    return int(months)


def _after_months(day: datetime.date, months: int) -> datetime.date:
    """Return the same day some months later, or that month's last day.

    >>> _after_months(datetime.date(2026, 8, 31), 6)
    datetime.date(2027, 2, 28)
    """
    year, month = divmod(day.month - 1 + months, 12)
    first = datetime.date(day.year + year, month + 1, 1)
    following = (first + datetime.timedelta(days=31)).replace(day=1)
    return min(first + datetime.timedelta(days=day.day - 1), following - datetime.timedelta(days=1))


def _readings(registry: Registry, found: Version) -> Measurement | None:
    """Return the reference measurement if it is the very file that the mode names."""
    named_file = found.document.get("evidence", {}).get("measurement")
    if not named_file:
        return None
    stem = named_file["file"].removesuffix(".txt")
    path = path_of("measurement", f"{found.document['substrate']}/{stem}")
    for revision in reversed(registry.model.revisions(path)):
        if revision.blob:
            data = registry.repository.blob(revision.blob)
            if hashlib.sha256(data).hexdigest() == named_file.get("sha256"):
                return read_cgats(data)
    return None


def _guidance(registry: Registry, found: Version, place: str) -> tuple[tuple[str, str], ...]:
    """Return the advice that applies to the mode, and with a place to the mode in that place."""
    place_subject = named(registry, place, ("application", "display")) if place else None
    subject = next((each for each in registry.model.versions(found.path) if each.seq == found.seq), None)
    if subject is None:  # a draft or an old revision: what is judged now need not hold for it
        return ()
    there = place_subject.id if place_subject else None
    said = remarks(registry.model, [subject.id], there)[subject.id]
    return tuple((remark.level, remark.text) for remark in said if remark.certain)
