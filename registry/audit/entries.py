"""Who wrote an entry, when and why, and whether that was after the complaint came in."""

from registry.audit.answer import Origin
from registry.audit.request import AuditRequest
from registry.index.readmodel import Revision
from registry.question.cut import is_cut
from registry.question.dates import early
from registry.question.registry import Registry
from registry.question.revisions import Known, committed

__all__ = ["late", "origin_of"]


def origin_of(registry: Registry, revisions: list[Revision], which: Known, *, once: bool = False) -> Origin:
    """Return where a revision comes from; of what is written once, its first landing."""
    entry = revisions[0] if once else which
    landing = registry.model.landing(entry.n)
    return Origin(
        label="" if once else which.label,
        recorded=which.recorded or "",
        site=which.recorded_site or "",
        landed=landing.landed,
        writers=() if is_cut(registry, landing) else landing.writers,
        reason=which.reason or "",
        cut=is_cut(registry, landing),
        edited=once and len(revisions) > 1,
        early=early(registry, landing.landed, which.recorded),
        written=committed(registry.model, entry),
    )


def late(registry: Registry, request: AuditRequest, origin: Origin) -> str:
    """Return in words that an entry was written after the complaint came in; empty where it was not."""
    if request.received_on is None:
        return ""
    if origin.recorded > request.received:
        return f"recorded on {origin.recorded}, after the complaint came in on {request.received}"
    came = origin.landed if origin.written is None else origin.written
    if not origin.cut and came > registry.end_of(request.received_on):
        landed = f"{registry.time(origin.landed):%Y-%m-%d}"
        return f"landed on {landed}, after the complaint came in on {request.received}"
    return ""
