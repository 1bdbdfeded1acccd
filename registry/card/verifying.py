"""From what a card's code or a print's slug says to the verdict on it, as of what has landed since."""

from registry.card.code import CardCode, parse_code
from registry.card.current import Landed, Standing, Verdict, on_machine, verdict
from registry.card.own import own_values
from registry.index.readmodel import Subject, Written
from registry.model.kinds import path_of
from registry.question.advice import remarks
from registry.question.names import UnknownRecord, referred
from registry.question.registry import NotThen, Registry
from registry.question.revisions import came_words, known, merged_away, readable, with_digest
from registry.question.when import numbered_version, withdrawal_words
from registry.question.whereabouts import CUT_OFF, whereabouts

__all__ = ["revisions_of", "verify"]


def verify(registry: Registry, text: str) -> tuple[CardCode, Verdict]:
    """Return what a card's code or a print's slug says, and whether it is current."""
    code = parse_code(text)
    path = path_of("print-mode", code.mode_id)
    if registry.model.gone(code.mode_id, ("print-mode",)):  # taken away, or spoiled, which this says
        referred(registry, code.mode_id, "print-mode")
    found = verdict(code, revisions_of(registry, path))
    if found.standing in {Standing.FOREIGN, Standing.UNKNOWN_REVISION}:
        return code, _elsewhere(registry, code, path) or found
    if found.use is not None:
        mode = referred(registry, code.mode_id, "print-mode")
        found = _against(registry, mode) or found
    if found.use is not None and code.unit:
        found = _on_machine(registry, code, found)
    return code, found


def _elsewhere(registry: Registry, code: CardCode, path: str) -> Verdict | None:
    """Return the verdict on settings that never landed, where they are or were all the same."""
    came = [came_words(registry, each) for each in with_digest(registry, path, code.digest).values()]
    where = f"they were {came[-1]}" if came else whereabouts(registry, path, code.digest)
    if not where:
        return None
    standing = Standing.UNKNOWN_REVISION if where == CUT_OFF else Standing.NOT_LANDED
    return Verdict(standing, f"settings {code.digest} of r{code.revision}: {where}")


def revisions_of(registry: Registry, path: str) -> list[Landed]:
    """Return every revision of a mode that is known, known good only where its settings were confirmed."""
    return [
        Landed(
            each.revision or 0,
            each.digest or "",
            registry.model.standing(each),
            beside=isinstance(each, Written),
            merged_away=merged_away(registry.model, each),
        )
        for each in readable(known(registry.model, path))
    ]


def _against(registry: Registry, mode: Subject) -> Verdict | None:
    """Return why no revision is to be printed: a withdrawn substrate, or a rule that refuses the mode now."""
    film = registry.document(referred(registry, mode.substrate, "substrate").blob)
    if gone := withdrawal_words(mode.substrate, film):
        return Verdict(Standing.WITHDRAWN, f"the substrate {gone}; take the card down")
    offered = registry.model.last_known_good(mode) or mode
    for remark in remarks(registry.model, [offered.id], None)[offered.id]:
        if remark.refuses:
            return Verdict(Standing.REFUSED, f"guidance {remark.rule} refuses the mode now: {remark.text}")
    return None


def _on_machine(registry: Registry, code: CardCode, found: Verdict) -> Verdict:
    """Return the verdict with what is known of the named machine's own values for this one mode."""
    try:
        unit = referred(registry, code.unit, "unit")
        number = code.unit_revision
        then = None if number is None else numbered_version(registry, unit, number)
    except (UnknownRecord, NotThen) as error:
        return Verdict(Standing.UNKNOWN_REVISION, f"{error}; otherwise {found.words}", found.use)
    now = registry.document(unit.blob)
    if gone := withdrawal_words(code.unit, now):
        return Verdict(Standing.WITHDRAWN, f"the unit {gone}; take the card down")
    if then is None:
        return on_machine(code, found, unit.number, same=None)
    before, after = (
        {each.path: each.value for each in own_values(document, code.mode_id)}
        for document in (then.document, now)
    )
    return on_machine(code, found, unit.number, same=before == after)
