"""From a question to the registry: the request for a card."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, cast

from registry.card.request import CardRequest, Paper, Units
from registry.errors import RequestError
from registry.index.readmodel import Subject
from registry.measurement import Measurement, read_cgats
from registry.question.advice import remarks
from registry.question.attached import attached, measurement_of
from registry.question.names import named, referred
from registry.question.registry import Registry
from registry.question.standing import confirmed_by, failed_trial, why_on_trial
from registry.question.when import Version, newest_version, version

__all__ = ["Asked", "ask", "machine"]

_VERIFY_MONTHS = 6
"""Where neither site nor registry says how long a card may hang."""
_TRIAL = datetime.timedelta(days=7)
"""How long the card of a trial, or of what failed one, may hang: whoever runs it reports within days."""

_Advice = tuple[tuple[str, str], ...]
_Printed = Literal["known-good", "trial", "withdrawn", "draft"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What the person who wants a card says."""

    mode: str
    """`MODE[@WHEN]`."""
    date: datetime.date
    unit: str = ""
    place: str = ""
    """Application or display, for its cautions and the advice that depends on it."""
    paper: Paper = "a4"
    units: Units = "metric"


def ask(registry: Registry, asked: Asked) -> CardRequest:
    """Return the request for a card: the revision to work with, its case, and the advice that applies."""
    found = version(registry, asked.mode, ("print-mode",), offered=True)
    unit = machine(registry, asked.unit, found)
    place = named(registry, asked.place, ("application", "display")) if asked.place else None
    substrate, printer = _other(registry, "substrate", found), _other(registry, "printer", found)
    places = _places(registry, place)
    printing, fitting = _guidance(
        registry,
        found,
        place,
        {"mode": found.document, "substrate": substrate, "printer": printer, **dict(places)},
    )
    return CardRequest(
        mode_id=found.rid,
        mode=found.document,
        substrate=substrate,
        printer=printer,
        revision=found.number,
        standing="draft" if found.draft else cast("_Printed", found.standing),
        digest=found.digest,
        date=asked.date,
        verify_by=_verify_by(registry, asked.date, found, unit),
        draft_on=(found.number or None) if found.draft else None,
        on_trial=found.on_trial,
        trial_why=why_on_trial(registry, found),
        known_good=_known_good(registry, found),
        replaced_by=_replaced_by(registry, found),
        unit=registry.document(unit.blob) if unit else None,
        unit_id=unit.rid if unit else "",
        unit_revision=unit.number if unit else None,
        readings=_readings(registry, found),
        places=places,
        place_id=place.rid if place else "",
        guidance=printing,
        fitting=fitting,
        confirmed=confirmed_by(registry, found),
        commit=registry.commit,
        paper=asked.paper,
        units=asked.units,
    )


def machine(registry: Registry, name: str, mode: Version) -> Subject | None:
    """Return the machine that is to print a mode, which must be one of the mode's printer."""
    if not name:
        return None
    unit = named(registry, name, ("unit",))
    printer = registry.document(unit.blob)["printer"]
    if printer != mode.document["printer"]:
        raise RequestError(
            f"{mode.rid} is for the printer {mode.document['printer']}, "
            f"and {name} is a {printer}: choose a mode of that printer"
        )
    return unit


def _other(registry: Registry, kind: str, mode: Version) -> dict[str, Any]:
    """Return the mode's substrate or printer, as it landed last."""
    return newest_version(registry, referred(registry, mode.document[kind], kind)).document


def _known_good(registry: Registry, found: Version) -> int | None:
    """Return the last known-good revision besides the one found."""
    if found.standing == "known-good" or found.seq == 0:
        return None
    good = registry.model.last_known_good(referred(registry, found.rid, "print-mode"))
    return good.number if good else None


def _replaced_by(registry: Registry, found: Version) -> int | None:
    """Return the known-good revision that has taken the place of an older one, with other settings."""
    if found.draft or found.standing != "known-good":
        return None
    newest = referred(registry, found.rid, "print-mode")
    good = registry.model.last_known_good(newest) or newest
    later = good.standing == "known-good" and good.seq > found.seq and good.digest != found.digest
    return good.number if later else None


def _verify_by(
    registry: Registry, date: datetime.date, found: Version, unit: Subject | None
) -> datetime.date:
    """Return until when the card may hang: of a trial, or of what failed one, days and not months."""
    if found.draft or found.standing != "known-good" or failed_trial(found.document):
        return date + _TRIAL
    return _after_months(date, _months(registry, unit.rid.partition("/")[0] if unit else ""))


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
    wanted = measurement_of(found.document)
    if wanted is None or not wanted.sha256:
        return None
    data = attached(registry, [wanted]).get(wanted)
    return read_cgats(data) if data else None


def _places(
    registry: Registry, place: Subject | None
) -> tuple[tuple[Literal["display", "application"], dict[str, Any]], ...]:
    """Return a display with its application, or an application, each as it landed last."""
    if place is None:
        return ()
    document = registry.document(place.blob)
    if place.kind == "application":
        return (("application", document),)
    use = referred(registry, document["application"], "application")
    return (("display", document), ("application", registry.document(use.blob)))


def _guidance(
    registry: Registry, found: Version, place: Subject | None, case: Mapping[str, dict[str, Any]]
) -> tuple[_Advice, _Advice]:
    """Return the advice that applies to the mode, in a place or without one: the printer's and the fitter's.

    A rule says itself whose it is (`stage`); what refuses the mode is the printer's in any case.

    The read model holds verdicts on what is offered and on what is newest; a draft or an older revision is
    judged here, on its own settings.
    """
    subject = next((each for each in registry.model.versions(found.path) if each.seq == found.seq), None)
    if subject is None or found.draft:
        from registry.question.hypothetical import judged  # noqa: PLC0415 (a dear judge, seldom needed)

        said = judged(registry, case)
    else:
        said = remarks(registry.model, [subject.id], place.id if place else None)[subject.id]
    certain = [remark for remark in said if remark.certain]
    rules = {each.rid: each.blob for each in registry.model.subjects("guidance")}
    documents = registry.documents(rules[each.rule] for each in certain)
    sheets: dict[bool, list[tuple[str, str]]] = {False: [], True: []}
    for each in certain:
        fitting = documents[rules[each.rule]].get("stage") == "fitting" and not each.refuses
        sheets[fitting].append((each.level, each.text))
    return tuple(sheets[False]), tuple(sheets[True])
