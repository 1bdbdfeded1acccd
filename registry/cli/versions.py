"""What may stand behind the @ of RECORD@WHEN, for completion: revisions, a draft, sites and units."""

from collections.abc import Iterator, Sequence

from click.shell_completion import CompletionItem

from registry.errors import RegistryError
from registry.index.readmodel import Subject
from registry.question.names import once_named
from registry.question.registry import Registry

__all__ = ["versions"]

_SITE = "site:"


def versions(registry: Registry, kinds: Sequence[str], name: str, when: str) -> Iterator[CompletionItem]:
    """Yield `NAME@WHEN` for everything that `when` may become; the newest revision first."""
    try:
        subject = once_named(registry, name, kinds)
    except RegistryError:
        return
    is_mode = subject.kind == "print-mode"
    told = _places(registry, subject) if is_mode and when.startswith(_SITE) else _times(registry, subject)
    for word, words in told:
        if word.startswith(when):
            yield CompletionItem(f"{name}@{word}", help=words, worth_reading=True)


def _times(registry: Registry, subject: Subject) -> Iterator[tuple[str, str]]:
    revisions = registry.model.revisions(subject.path)
    for revision in reversed(revisions):
        if revision.status != "D" and not revision.fault:
            landed = registry.time(registry.model.landing(revision.n).landed)
            standing = registry.model.standing(revision)
            words = {"current": "", "trial": ", on trial"}.get(standing, f", {standing}")
            yield revision.label, f"landed {landed:%Y-%m-%d}{words}"
    if any(draft.path == subject.path for draft in registry.repository.drafts()):
        yield "draft", "as it lies in the working tree"
    if subject.kind == "print-mode":
        yield _SITE, "in force at a site or on a unit"


def _places(registry: Registry, mode: Subject) -> Iterator[tuple[str, str]]:
    """Yield the sites with a unit of the mode's printer, and these units; where none is known, every site."""
    sites, printers = registry.model.values("site", "unit"), registry.model.values("printer", "unit")
    units = {
        unit.rid: (sites[unit.id][0].txt, unit.title)
        for unit in registry.model.subjects("unit")
        if unit.id in sites and any(each.txt == mode.printer for each in printers.get(unit.id, ()))
    }
    here = {site for site, _ in units.values()}
    for site in registry.model.subjects("site"):
        if site.rid in here or not here:
            yield f"{_SITE}{site.rid}", f"in force at {site.title}"
    for unit, (_, title) in units.items():
        yield f"{_SITE}{unit}", f"in force on {title}"
