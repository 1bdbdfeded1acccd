"""How changes, times and versions are worded for people, and keyed for programs."""

from collections.abc import Iterable
from typing import Any

from registry.change.compare import SettingChange, in_units
from registry.change.draft import DraftState
from registry.cli.values import in_figures, said
from registry.index.readmodel import Landed
from registry.model.kinds import KINDS
from registry.model.units import plain_number, written
from registry.question.advice import Remark
from registry.question.cut import is_cut
from registry.question.dates import early
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = [
    "after_words",
    "before_words",
    "change_json",
    "change_row",
    "change_words",
    "clock",
    "counted",
    "draft_json",
    "draft_words",
    "kind_words",
    "landed_json",
    "landed_words",
    "people",
    "remark_json",
    "standing_words",
    "version_json",
    "version_words",
]


def before_words(change: SettingChange, system: str = "metric") -> str:
    """Return what a value was; of a list item that was added, that there was none."""
    if change.item == "added":
        return "not there"
    return said(change.before, change.unit, system, [change.after])


def after_words(change: SettingChange, system: str = "metric") -> str:
    """Return what a value is; of a list item that was removed, that there is none."""
    if change.item == "removed":
        return "not there"
    return said(change.after, change.unit, system, [change.before])


def change_words(change: SettingChange, system: str = "metric") -> str:
    """Return by how much a value changed, in its unit and in percent, or what a list gained and lost."""
    if change.item:
        return change.item
    if change.reordered:
        return "order"
    if isinstance(change.before, list) and isinstance(change.after, list):
        if len(change.removed) == len(change.before):
            return ""  # nothing of it stayed, so before and after say it all
        gained = f"added {_some(change.added, change, system)}" if change.added else ""
        lost = f"removed {_some(change.removed, change, system)}" if change.removed else ""
        return "; ".join(filter(None, (gained, lost)))
    if change.change is None:
        return ""
    difference, unit = _difference(change, system)
    if change.unit == "%":
        unit = "point" if abs(change.change) == 1 else "points"
    percent = "" if change.change_pct is None else f", {_signed(round(change.change_pct, 1))} %"
    return f"{difference} {unit}".strip() + percent


def _some(members: Iterable[Any], change: SettingChange, system: str) -> str:
    return in_figures(list(members), change.unit, system, [change.before, change.after])[0]


def _difference(change: SettingChange, system: str) -> tuple[str, str]:
    """Return by how much a number changed, with its sign, and the unit."""
    assert change.change is not None  # noqa: S101 (asked for where there is one)
    both = [change.before, change.after]
    text, unit = written(change.change, change.unit, system, difference=True, beside=both)
    return f"{'+' if change.change > 0 else ''}{text}", unit


def _signed(value: float) -> str:
    return f"{'+' if value > 0 else ''}{plain_number(value)}"


def change_row(change: SettingChange, system: str = "metric") -> dict[str, Any]:
    """Return one change as a row of a table: the keys of its JSON, with the figures that people read."""
    row = change_json(change, system)
    for side, beside in (("before", change.after), ("after", change.before)):
        value = getattr(change, side)
        row[side] = None if value is None else in_figures(value, change.unit, system, [beside])[0]
    if change.change is not None:
        row["change"] = _difference(change, system)[0].removeprefix("+")
    return row


def change_json(change: SettingChange, system: str = "metric") -> dict[str, Any]:
    """Return one change under its documented keys."""
    shown_so = in_units(change, system)
    return {
        "path": change.path,
        "label": change.label,
        "group": change.group,
        "unit": shown_so.unit,
        "before": shown_so.before,
        "after": shown_so.after,
        "change": shown_so.change,
        "change_pct": change.change_pct,
        "added": list(shown_so.added),
        "removed": list(shown_so.removed),
        "effect": change.effect,
        "scope": change.scope,
        "is_setting": change.is_setting,
        "computed": change.how or None,
        "item": change.item or None,
    }


def draft_words(draft: DraftState) -> str:
    """Return how a draft differs from what has landed."""
    if draft.missing:
        return f"{draft.label} ({draft.where}): the record is taken away"
    if draft.fault:
        return f"{draft.label} ({draft.where}): {draft.fault}"
    labels = [change.label for change in draft.changes if change.is_setting]
    if not labels:
        aside = "only what is said of the record" if draft.changes else "only the record's form"
        return f"{draft.label} ({draft.where}): {aside} differs from what has landed"
    differ = "differs" if len(labels) == 1 else "differ"
    return (
        f"{draft.label} ({draft.where}): {counted(len(labels), 'setting')} {differ} from what has landed: "
        + "; ".join(labels)
    )


def draft_json(draft: DraftState | None, system: str = "metric") -> dict[str, Any] | None:
    """Return a draft under its documented keys."""
    if draft is None:
        return None
    return {
        "label": draft.label,
        "where": draft.where,
        "missing": draft.missing,
        "fault": draft.fault or None,
        "changes": [change_json(change, system) for change in draft.changes],
    }


def clock(registry: Registry, epoch: float) -> str:
    """Return a moment on the registry's clock, to the minute."""
    return f"{registry.time(epoch):%Y-%m-%d %H:%M}"


def counted(number_of: int, one: str, many: str = "") -> str:
    """Return a count with its noun.

    >>> counted(1, "setting"), counted(2, "setting"), counted(0, "entry", "entries")
    ('1 setting', '2 settings', 'no entries')
    """
    return f"{number_of or 'no'} {one if number_of == 1 else many or one + 's'}"


def kind_words(kind: str, number_of: int = 1) -> str:
    """Return a record kind's word, for one or for many."""
    return KINDS[kind].plural if number_of != 1 and kind in KINDS else kind.replace("-", " ")


def standing_words(standing: str) -> str:
    """Return how a record stands, as people say it."""
    return "on trial" if standing == "trial" else standing


def landed_words(registry: Registry, landed: Landed, recorded: str | None) -> str:
    """Return when that landed which was recorded on a day, and who wrote it, as far as this clone knows."""
    odd = early(registry, landed.landed, recorded)
    also = f"; {odd}" if odd else ""
    if is_cut(registry, landed):
        return f"by {clock(registry, landed.landed)}: this clone is cut off there and knows no more{also}"
    return f"{clock(registry, landed.landed)}, written by {people(landed.writers)}{also}"


def people(names: Iterable[str]) -> str:
    r"""Return names as git has them, without what could play tricks on a terminal.

    >>> people(["specialist, mill-lane", "oper\x1b[2Jator"])
    'specialist, mill-lane and oper�[2Jator'
    """
    said_so = " and ".join(names)
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in said_so)


def landed_json(
    registry: Registry, landed: Landed | None, recorded: str | None = None
) -> dict[str, Any] | None:
    """Return the landing of something that was recorded on a day under its documented keys."""
    if landed is None:
        return None
    return {
        "commit": landed.commit,
        "at": registry.time(landed.landed).isoformat(),
        "by": landed.committer,
        "writers": [] if is_cut(registry, landed) else list(landed.writers),
        "cut_off": is_cut(registry, landed),
        "early": bool(early(registry, landed.landed, recorded)),
    }


def version_json(registry: Registry, version: Version) -> dict[str, Any]:
    """Return a version of a record under its documented keys."""
    evidence = version.evidence
    return {
        "kind": version.kind,
        "record": version.rid,
        "title": version.document.get("title"),
        "asked": version.asked,
        "revision": version.label,
        "number": version.number,
        "draft": version.draft,
        "standing": version.standing,
        "settings_digest": version.digest,
        "reason": version.document.get("reason"),
        "recorded": version.document.get("recorded"),
        "landed": landed_json(registry, version.landed, _recorded_on(version)),
        "in_force": evidence
        and {"how": evidence.how, "words": evidence.words, "mismatch": evidence.mismatch},
    }


def version_words(registry: Registry, version: Version) -> str:
    """Return in one line which version it is, when it was written and landed, and who wrote it."""
    recorded = version.document.get("recorded")
    parts = [version.label]
    if version.standing != "current":
        parts.append(standing_words(version.standing))
    if recorded:
        parts.append(f"recorded {recorded.get('date')} at {recorded.get('site')}")
    if version.landed:
        parts.append(f"landed {landed_words(registry, version.landed, _recorded_on(version))}")
    return "; ".join(parts)


def _recorded_on(version: Version) -> str | None:
    day: str | None = version.document.get("recorded", {}).get("date")
    return day


def remark_json(remark: Remark) -> dict[str, Any]:
    """Return a piece of advice under its keys."""
    return {
        "rule": remark.rule,
        "level": remark.level,
        "applies": "yes" if remark.certain else "cannot tell",
        "text": remark.text,
        "source": remark.source,
    }
