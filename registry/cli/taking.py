"""Which revision of a mode a command takes, and why: always said, so that nobody vouches for another."""

from typing import Any, Literal

from registry.card.code import parse_code
from registry.cli.contributing import Desk
from registry.cli.output import tell
from registry.cli.wording import clock
from registry.errors import RequestError
from registry.index.readmodel import Subject
from registry.question.inforce import InForce, in_force
from registry.question.names import named
from registry.question.registry import NotThen
from registry.question.standing import why_on_trial
from registry.question.when import Version, version, version_used

__all__ = ["Doing", "machine", "members", "not_before", "offered_words", "take"]

Doing = Literal["adopt", "run", "confirm"]


def machine(desk: Desk, text: str, given: str | None) -> str:
    """Return the machine that is `given`, else the one that the code in `text` names; empty for none."""
    on_card = parse_code(text).unit if _is_code(text) else ""
    unit = desk.subject("unit", given or on_card)
    if on_card not in ("", unit):
        desk.beware(
            f"the code names {on_card}, whose own values its card gives; {unit} is recorded, as --unit says"
        )
    return unit


def take(desk: Desk, doing: Doing, text: str, unit: str) -> Version:
    """Return the version of a mode that is meant on a machine (empty: on none), and say which, and why.

    `text` is `MODE[@WHEN]`, what a card's code holds, or the line in a print's bleed. Of a mode without WHEN
    what is confirmed is what the machine last ran or adopted; else it is the version that is offered. What is
    withdrawn is not adopted any more, and otherwise said to be so.
    """
    found, why = _taken(desk, doing, text, unit)
    if gone := desk.gone("print-mode", found.rid) or desk.gone("substrate", found.document["substrate"]):
        if doing == "adopt":
            raise RequestError(f"it is not to be taken into use: {gone}")
        desk.beware(gone)
    desk.taken = {"mode": found.rid, "revision": found.label, "why": why}
    tell(f"takes {found.rid} {found.label}: {why}")
    if doing != "confirm" and (trial := why_on_trial(desk.registry, found)):
        desk.beware(f"{found.label} is on trial: {trial}")
    return found


def members(mode: Version) -> dict[str, Any]:
    """Return the members by which a record of what happened names a mode's settings.

    The revision is the record's own number: where a merge repeated one, landings count on without it.
    """
    revision = mode.document.get("revision", mode.number)
    return {"mode": mode.rid, "mode_revision": revision, "settings_digest": mode.digest}


def not_before(desk: Desk, mode: Version, day: str) -> None:
    """Refuse a day on which nobody could have used the mode's settings: they were not written yet."""
    revisions = desk.registry.model.revisions(mode.path)
    written = [each.recorded for each in revisions if each.digest == mode.digest and each.recorded]
    if written and day[:10] < min(written):
        raise RequestError(
            f"{day[:10]} lies before {min(written)}, when the settings of {mode.rid} {mode.label} were "
            "written: correct the day, or name the revision that was in use then"
        )


def _taken(desk: Desk, doing: Doing, text: str, unit: str) -> tuple[Version, str]:
    """Return the version that is meant, and why it is this one."""
    if _is_code(text):
        return _coded(desk, text), "the code names it"
    offered = version(desk.registry, text, ("print-mode",), offered=True)
    if "@" in text:
        shown_by = f"; {offered.evidence.words}" if offered.evidence else ""
        return offered, f"you named {offered.asked}{shown_by}"
    mode = named(desk.registry, offered.rid, ("print-mode",))
    used = None if doing == "adopt" else _used(desk, mode, unit)
    if used is None:
        unsaid = f"; no run or adoption on record says what {unit} printed" if unit else ""
        return offered, offered_words(offered) + (unsaid if doing == "confirm" else "")
    found = version_used(desk.registry, used, f"r{used.number}")
    did = f"{unit} last {'ran' if used.how == 'run' else 'adopted'} r{found.number}, on"
    when = clock(desk.registry, used.since)
    if doing == "run":
        if found.digest != offered.digest:
            desk.beware(f"{did} {when}: if it printed this job with that too, name @r{found.number} instead")
        return offered, offered_words(offered)
    _refuse_unknown(desk, used, found)
    mismatch = f" ({used.mismatch})" if used.mismatch else ""
    which = "the last known-good" if offered.on_trial else "the newest"
    other = f"; {which} is {offered.label}, name @{offered.label} if that was judged"
    other = "" if found.digest == offered.digest else other
    return found, f"{did} {when}{mismatch}{other}"


def offered_words(found: Version) -> str:
    """Return why a version is the one that is offered."""
    if found.on_trial:
        return f"the last known-good; r{found.on_trial} is on trial, name @r{found.on_trial} to take that"
    return "the newest"


def _used(desk: Desk, mode: Subject, unit: str) -> InForce | None:
    """Return what a machine ran or adopted last of a mode; None where nothing that has landed says so."""
    if not desk.registry.model.named(unit, "unit"):
        return None
    used = in_force(desk.registry, mode, unit, float("inf"))
    return used if used.record else None


def _refuse_unknown(desk: Desk, used: InForce, found: Version) -> None:
    """Refuse to confirm upon a run or an adoption whose settings never landed: nobody knows what it was."""
    (proof,) = desk.registry.model.named(used.record, "run" if used.how == "run" else "event")
    if desk.registry.document(proof.blob).get("settings_digest") != found.digest:
        raise RequestError(f"{used.mismatch}: name the revision that was printed, such as @r{found.number}")


def _is_code(text: str) -> bool:
    return "#" in text or " " in text.strip()


def _coded(desk: Desk, text: str) -> Version:
    code = parse_code(text)
    try:
        return version(desk.registry, f"{code.mode_id}@{code.digest}", ("print-mode",))
    except NotThen as error:
        raise RequestError(
            f"{error}: read the code again, or it is a card of another registry or of a draft"
        ) from error
