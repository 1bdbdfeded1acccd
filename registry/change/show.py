"""Everything that a person needs to know of one record, as of one time."""

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from registry.change.compare import BOOKKEEPING, COMPUTED
from registry.change.confirmed import Confirmed, confirmations
from registry.change.draft import DraftState, draft_state
from registry.change.notes import note
from registry.change.related import Related, related
from registry.change.sources import NamedSource, sources_of
from registry.derived import DERIVED, derive, from_copied
from registry.errors import RequestError
from registry.index.readmodel import Subject
from registry.model.shape import ANY, Found, Setting, Shape, shape_of
from registry.model.usual import usuals
from registry.question.advice import Remark, remarks
from registry.question.case import case_of
from registry.question.names import named
from registry.question.registry import Registry
from registry.question.standing import why_on_trial
from registry.question.when import Version, version

__all__ = ["Advice", "Shown", "ShownValue", "show"]

_TOLD_APART = ("title", "sources", "withdrawn", "status", *BOOKKEEPING)
"""What the answer says in places of its own."""

_ENTERED = ("print-mode",)
"""Kinds whose settings an operator enters: what acts on colour is missed even where its whole group is."""


@dataclass(frozen=True, slots=True)
class ShownValue:
    """One value, or one that is unknown."""

    path: str
    label: str
    """With the name of the list item that it belongs to."""
    item: str
    """That name alone; empty outside of lists."""
    group: str
    """Label of the part that it belongs to; empty for a setting that stands alone."""
    unit: str
    value: Any
    """None where it is unknown."""
    effect: str
    scope: str
    meaning: str
    aside: bool = False
    how: str = ""
    """How it was computed; empty where it stands in the record."""
    source: NamedSource | None = None
    needed: bool = True
    """Of an unknown value: whether a person who uses the record would miss it."""
    note: str = ""
    """What to know in reading it; empty where it speaks for itself."""
    doubt: float | None = None
    """Of a computed value: by what share of it, up or down, it may be off with a chance of 95 %."""


@dataclass(frozen=True, slots=True)
class Advice:
    """What guidance, and the material and the machine, say of a mode."""

    place: str
    """The application or display that it was judged for; empty for the mode alone."""
    judged: bool
    """Whether these settings were judged: guidance judges the newest and the last known-good revision."""
    remarks: tuple[Remark, ...]
    cautions: tuple[tuple[str, str], ...]
    """Of the substrate, the printer and the place: kind and text. The mode's own are among its values."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One record as of one time."""

    version: Version
    standing: str
    """Known good only while its own settings are confirmed; of a draft, what its file says."""
    on_trial_because: str
    """Why these settings are on trial; empty where they are not."""
    newest: int
    """Number of the newest landed revision; 0 where none has landed."""
    trial: int
    """Number of the newest revision where that is on trial and another one is known good; else 0."""
    known_good: int
    """Number of the last known-good revision where the newest is on trial; else 0."""
    values: tuple[ShownValue, ...]
    """In the model's order, then the computed ones, which rest on substrate and printer as they are now."""
    unknown: tuple[ShownValue, ...]
    unsourced: tuple[ShownValue, ...]
    """Numbers that act on colour and that no source covers, of a kind that keeps sources."""
    confirmations: tuple[Confirmed, ...]
    advice: Advice | None
    """Of a print mode."""
    related: tuple[Related, ...]
    draft: DraftState | None
    today: datetime.date
    commit: str

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups of settings that there is something to say of, in the model's order."""
        told = {value.group for value in self.values} | {each.group for each in self.unknown if each.needed}
        order = [setting.group for setting in shape_of(self.version.kind).settings.values()]
        return tuple(group for group in dict.fromkeys([*order, COMPUTED]) if group in told)


def show(registry: Registry, text: str, today: datetime.date, place: str = "") -> Shown:
    """Return everything that is known of the record that `RECORD[@WHEN]` means, with ages as of `today`.

    With a `place` (an application or a display) the advice on a mode is that for the mode in this place.
    """
    found = version(registry, text)
    if place and found.kind != "print-mode":
        raise RequestError(f"--for asks for the advice on a print mode, and {found.rid} is a {found.kind}")
    shape = shape_of(found.kind)
    subjects = registry.model.named(found.rid, found.kind)
    subject = subjects[0] if subjects else None
    earlier = registry.model.last_known_good(subject) if subject else None
    values = tuple(_values(registry, shape, found))
    return Shown(
        version=found,
        standing=_said(found) if found.draft else found.standing,
        on_trial_because=why_on_trial(registry, found),
        newest=subject.number if subject else 0,
        trial=subject.number if subject and earlier else 0,
        known_good=earlier.number if earlier else 0,
        values=tuple(each for each in values if each.value is not None),
        unknown=(*_unknown(shape, found.document), *(each for each in values if each.value is None)),
        unsourced=tuple(each for each in values if _lacks_source(shape, each)),
        confirmations=tuple(confirmations(registry, found)) if found.kind == "print-mode" else (),
        advice=_advice(registry, found, place) if found.kind == "print-mode" else None,
        related=tuple(related(registry, found)),
        draft=draft_state(registry, subject) if subject and not found.draft else None,
        today=today,
        commit=registry.commit,
    )


def _advice(registry: Registry, found: Version, place: str) -> Advice:
    """Return the advice that applies to a mode, gravest first, and the cautions of what is used."""
    model = registry.model
    where = named(registry, place, ("application", "display")) if place else None
    subjects: list[Subject] = [] if found.draft else model.versions(found.path)
    subject = next((each for each in subjects if each.seq == found.seq), None)
    told = remarks(model, [subject.id], where.id if where else None)[subject.id] if subject else ()
    case = case_of(registry, found.document)
    held: list[tuple[str, dict[str, Any]]] = [
        (kind, case[kind]) for kind in ("substrate", "printer") if kind in case
    ]
    if where:
        held.append((where.kind, registry.document(where.blob)))
    return Advice(
        place=where.rid if where else "",
        judged=subject is not None,
        remarks=tuple(sorted(told, key=_gravest_first)),
        cautions=tuple((kind, text) for kind, document in held for text in document.get("cautions", ())),
    )


def _said(found: Version) -> str:
    """Return how a draft stands by its own word."""
    return str(found.document.get("status", "withdrawn" if "withdrawn" in found.document else "current"))


def _gravest_first(remark: Remark) -> tuple[bool, bool, bool]:
    return not remark.refuses, not remark.warns, not remark.is_open


def _values(registry: Registry, shape: Shape, found: Version) -> Iterator[ShownValue]:
    """Yield every value, each with the most particular source that covers it; then the computed ones."""
    sources = sources_of(shape, found.document)
    for each in shape.flatten(found.document).values():
        if not _told_apart(each.path):
            source = next((source for source in sources if source.covers(each.path)), None)
            told = _shown(each.setting, each.path, each.label, value=each.value, source=source)
            yield replace(told, note=note(shape.kind, each.path, each.value))
    if shape.kind == "print-mode":
        case = case_of(registry, found.document)
        computed, defaults, copied = derive(case), usuals(registry.settings), from_copied(case)
        for derived in DERIVED:
            value = computed.get(derived.path)
            default = defaults.get(derived.proportional_to)
            drop = case.get("printer", {}).get("drop_volume_pl")
            doubt = 1.96 * default.of(drop, 1) / drop if default and drop and value is not None else None
            yield ShownValue(
                path=derived.path,
                label=derived.label,
                item="",
                group=COMPUTED,
                unit=derived.unit,
                value=value,
                effect=derived.effect,
                scope="model",
                meaning="",
                how=derived.how,
                note="; ".join(
                    filter(
                        None,
                        (
                            f"±{100 * doubt:.2g} %, by {default.words}" if default and doubt else "",
                            "from copied values" if derived.path in copied and value is not None else "",
                        ),
                    )
                ),
                doubt=doubt,
            )


def _lacks_source(shape: Shape, value: ShownValue) -> bool:
    keeps = shape.setting_at(f"sources.{ANY}.kind") is not None
    in_record = value.value is not None and not value.how and not value.aside
    first = value.value[0] if isinstance(value.value, list) and value.value else value.value
    is_number = isinstance(first, (int, float)) and not isinstance(first, bool)
    return keeps and in_record and is_number and value.effect != "none" and value.source is None


def _unknown(shape: Shape, document: dict[str, Any]) -> Iterator[ShownValue]:
    """Yield every setting that the schema has and the record lacks, list item by list item."""
    found = shape.flatten(document).values()
    held = {each.path for each in found}
    groups = {each.setting.group for each in found}
    items = _list_items(found)
    for setting in shape.written.values():
        if _told_apart(setting.path):
            continue
        head, star, tail = setting.path.partition(f".{ANY}")
        for item, named_so in items.get(head, {setting.path: ""}).items() if star else ((setting.path, ""),):
            path = item + tail if item != setting.path else item
            if path not in held:
                needed = _needed(shape.kind, setting, in_list=bool(star), known=setting.group in groups)
                yield _shown(setting, path, setting.label + named_so, needed=needed)


def _list_items(found: Iterable[Found]) -> dict[str, dict[str, str]]:
    """Return for each keyed list its items: path, and what a label says of it after the setting's own."""
    items: dict[str, dict[str, str]] = {}
    for each in found:
        head, star, tail = each.setting.path.partition(f".{ANY}")
        if star:
            item = each.path[: len(each.path) - len(tail)]
            items.setdefault(head, {})[item] = each.label.removeprefix(each.setting.label)
    return items


def _needed(kind: str, setting: Setting, *, in_list: bool, known: bool) -> bool:
    """Whether a person would miss an unknown setting; `known` where others of its group are known."""
    if setting.aside or setting.optional:
        return False
    if setting.effect == "none":
        return known and bool(setting.group) and not in_list
    return known or not setting.group or kind in _ENTERED


def _told_apart(path: str) -> bool:
    return path in _TOLD_APART or path.partition(".")[0] in _TOLD_APART


def _shown(
    setting: Setting,
    path: str,
    label: str,
    *,
    value: Any = None,
    source: NamedSource | None = None,
    needed: bool = True,
) -> ShownValue:
    return ShownValue(
        path=path,
        label=label,
        item=label.removeprefix(setting.label).removeprefix(", "),
        group=setting.group,
        unit=setting.unit,
        value=value,
        effect=setting.effect,
        scope=setting.scope,
        meaning=setting.meaning,
        aside=setting.aside,
        source=source,
        needed=needed,
    )
