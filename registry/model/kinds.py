"""The record kinds: where each lives, how its id is read from its path, and how it may change."""

import re
from dataclasses import dataclass
from functools import cache

from registry.errors import RequestError

__all__ = [
    "ATTACHMENTS",
    "KINDS",
    "ROOT",
    "Kind",
    "Place",
    "a_kind",
    "kind_at",
    "parts_of",
    "path_of",
    "place_at",
]


@dataclass(frozen=True, slots=True)
class Kind:
    """One record kind."""

    name: str
    """Its word, also the stem of its schema's file name."""
    path: str
    """Its path below `records/`; each `<…>` is one part of its id."""
    model: str
    """Module and class of its model, imported only where a record is written or checked."""
    once: bool = False
    """Written once and never edited."""
    plural: str = ""
    """Its word for many, in headings."""


KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("registry", "registry.json", "registry.model.site:RegistrySettings", plural="registries"),
        Kind(
            "substrate",
            "substrates/<maker>/<grade>/substrate.json",
            "registry.model.substrate:Substrate",
            plural="substrates",
        ),
        Kind(
            "print-mode",
            "substrates/<maker>/<grade>/modes/<mode>.json",
            "registry.model.mode:PrintMode",
            plural="print modes",
        ),
        Kind("printer", "printers/<printer>.json", "registry.model.printer:Printer", plural="printers"),
        Kind(
            "application",
            "applications/<application>.json",
            "registry.model.place:Application",
            plural="applications",
        ),
        Kind(
            "guidance",
            "guidance/<guidance>.json",
            "registry.model.guidance:Guidance",
            plural="guidance rules",
        ),
        Kind("site", "sites/<site>/site.json", "registry.model.site:Site", plural="sites"),
        Kind("unit", "sites/<site>/units/<unit>.json", "registry.model.site:Unit", plural="units"),
        Kind(
            "display",
            "sites/<site>/displays/<display>.json",
            "registry.model.place:Display",
            plural="displays",
        ),
        Kind(
            "complaint",
            "sites/<site>/complaints/<complaint>.json",
            "registry.model.complaint:Complaint",
            plural="complaints",
        ),
        Kind("event", "sites/<site>/events/<event>.json", "registry.model.happened:Event", True, "events"),
        Kind("run", "sites/<site>/runs/<run>.json", "registry.model.happened:Run", True, "runs"),
        Kind(
            "confirmation",
            "sites/<site>/confirmations/<confirmation>.json",
            "registry.model.happened:Confirmation",
            True,
            "confirmations",
        ),
    )
}

ATTACHMENTS: dict[str, str] = {
    "measurement": "substrates/<maker>/<grade>/measurements/<file>.txt",
    "profile": "substrates/<maker>/<grade>/profiles/<file>.icc",
    "spectrum": "sites/<site>/spectra/<file>.txt",
}
"""Files beside the records, by what they are."""

ROOT = "records/"


@dataclass(frozen=True, slots=True)
class Place:
    """What a path below `records/` is: a record of a kind, or an attachment, and its id."""

    kind: str
    id: str
    attachment: bool = False


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], str, bool], ...]:
    def compiled(template: str) -> re.Pattern[str]:
        parts = re.split(r"(<[a-z]+>)", template)
        body = "".join("([a-z0-9][a-z0-9-]*)" if p.startswith("<") else re.escape(p) for p in parts)
        return re.compile(ROOT + body)

    kinds = [(compiled(kind.path), kind.name, False) for kind in KINDS.values()]
    return tuple(kinds + [(compiled(path), name, True) for name, path in ATTACHMENTS.items()])


@cache
def place_at(path: str) -> Place | None:
    """Return what lives at `path` (from the top of the repository), or None where nothing may."""
    for pattern, kind, attachment in _patterns():
        if match := pattern.fullmatch(path):
            return Place(kind, "/".join(match.groups()) or kind, attachment)
    return None


def a_kind(kind: str) -> str:
    """Return a record kind's word with its article.

    >>> a_kind("application"), a_kind("unit")
    ('an application', 'a unit')
    """
    return f"{'an' if kind[0] in 'aeio' else 'a'} {kind}"


def kind_at(path: str) -> str | None:
    """Return the record kind that lives at `path`, or None for attachments and foreign paths."""
    place = place_at(path)
    return place.kind if place and not place.attachment else None


def parts_of(kind: str) -> tuple[str, ...]:
    """Return what the parts of a record's or an attachment's id are.

    >>> parts_of("print-mode")
    ('maker', 'grade', 'mode')
    """
    template = KINDS[kind].path if kind in KINDS else ATTACHMENTS[kind]
    return tuple(re.findall(r"<([a-z]+)>", template))


def path_of(kind: str, identifier: str) -> str:
    """Return the path of a record or an attachment, from the top of the repository.

    >>> path_of("print-mode", "lumenfold/dayfilm-210/backlit-16")
    'records/substrates/lumenfold/dayfilm-210/modes/backlit-16.json'
    """
    template = KINDS[kind].path if kind in KINDS else ATTACHMENTS[kind]
    wanted, given = parts_of(kind), identifier.split("/")
    if len(wanted) != len(given) if wanted else identifier != kind:
        form = "/".join(wanted).upper() or kind
        raise RequestError(f"the id of {a_kind(kind)} is {form}, not {identifier!r}")
    parts = iter(given)
    return ROOT + re.sub(r"<[a-z]+>", lambda _: next(parts), template)
