"""How values, changes, times and versions are worded for people, and keyed for programs."""

import re
from collections.abc import Iterable
from typing import Any

from registry.change.compare import SettingChange, in_units
from registry.change.draft import DraftState
from registry.index.readmodel import Landed
from registry.model.kinds import KINDS
from registry.model.units import shown
from registry.question.advice import Remark
from registry.question.cut import is_cut
from registry.question.registry import Registry
from registry.question.when import Version

__all__ = [
    "after_words",
    "before_words",
    "change_json",
    "change_words",
    "clock",
    "counted",
    "draft_json",
    "draft_words",
    "kind_words",
    "landed_json",
    "landed_words",
    "number",
    "people",
    "plain",
    "remark_json",
    "said",
    "standing_words",
    "version_json",
    "version_words",
]

_INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(Z|[+-][0-9]{2}:[0-9]{2})")
_CHECK_SUM = re.compile(r"[0-9a-f]{64}")
_RECORDED, _CONVERTED = 9, 5
"""Figures of a number as it was recorded, and of one that was converted."""


def said(value: Any, unit: str = "", system: str = "metric") -> str:
    """Return a value with its unit, as people read it; an unknown one is said to be unknown.

    >>> said(104, "°C"), said(104, "°C", "us"), said(True), said(["film-laminate", "none"])
    ('104 °C', '219.2 °F', 'yes', 'film-laminate, none')
    >>> said(None, "°C")
    'unknown'
    """
    if value is None:
        return "unknown"
    shown_so, shown_unit = in_system(value, unit, system)
    return f"{plain(shown_so, converted=shown_unit != unit)} {shown_unit}".strip()


def in_system(value: Any, unit: str, system: str) -> tuple[Any, str]:
    """Return a value, or each of a list, and its unit in `system`."""
    if isinstance(value, list):
        return [in_system(each, unit, system)[0] for each in value], shown(0, unit, system)[1]
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value, shown(0, unit, system)[1]
    return shown(value, unit, system)


def plain(value: Any, *, converted: bool = False) -> str:
    """Return a value without its unit; a moment to the minute, of a check sum its beginning."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return number(value, _CONVERTED if converted else _RECORDED)
    if isinstance(value, (list, tuple)):
        words = [plain(each, converted=converted) for each in value]
        return ("; " if any("," in word for word in words) else ", ").join(words) or "none"
    text = str(value)
    if _INSTANT.fullmatch(text):
        return f"{text[:10]} {text[11:16]} {text[19:]}".replace(" Z", " UTC")
    return f"{text[:12]}…" if _CHECK_SUM.fullmatch(text) else text


def number(value: float, figures: int = _RECORDED) -> str:
    """Return a number as people write it, to so many figures.

    >>> number(98.0), number(0.1 + 0.2), number(219.2), number(1e7)
    ('98', '0.3', '219.2', '10000000')
    """
    digits = f"{value:.{figures}g}"
    return digits if "e" not in digits else f"{value:.9f}".rstrip("0").rstrip(".")


def before_words(change: SettingChange, system: str = "metric") -> str:
    """Return what a value was; of a list item that was added, that there was none."""
    return "not there" if change.item == "added" else said(change.before, change.unit, system)


def after_words(change: SettingChange, system: str = "metric") -> str:
    """Return what a value is; of a list item that was removed, that there is none."""
    return "not there" if change.item == "removed" else said(change.after, change.unit, system)


def change_words(change: SettingChange, system: str = "metric") -> str:
    """Return by how much a value changed, in its unit and in percent, or what a list gained and lost."""
    if change.item:
        return change.item
    if change.reordered:
        return "order"
    if isinstance(change.before, list) and isinstance(change.after, list):
        if not (change.before and change.after):
            return ""
        gained = f"added {plain(change.added)}" if change.added else ""
        lost = f"removed {plain(change.removed)}" if change.removed else ""
        return "; ".join(filter(None, (gained, lost)))
    if change.change is None:
        return ""
    difference, unit = shown(change.change, change.unit, system, difference=True)
    figures = _CONVERTED if unit != change.unit else _RECORDED
    if change.unit == "%":
        unit = "point" if abs(difference) == 1 else "points"
    percent = "" if change.change_pct is None else f", {_signed(round(change.change_pct, 1))} %"
    return f"{_signed(difference, figures)} {unit}".strip() + percent


def _signed(value: float, figures: int = _RECORDED) -> str:
    return f"{'+' if value > 0 else ''}{number(value, figures)}"


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


def landed_words(registry: Registry, landed: Landed) -> str:
    """Return when something landed and who wrote it, as far as this clone knows."""
    if is_cut(registry, landed):
        return f"by {clock(registry, landed.landed)}: this clone is cut off there and knows no more"
    return f"{clock(registry, landed.landed)}, written by {people(landed.writers)}"


def people(names: Iterable[str]) -> str:
    r"""Return names as git has them, without what could play tricks on a terminal.

    >>> people(["specialist, mill-lane", "oper\x1b[2Jator"])
    'specialist, mill-lane and oper�[2Jator'
    """
    said_so = " and ".join(names)
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in said_so)


def landed_json(registry: Registry, landed: Landed | None) -> dict[str, Any] | None:
    """Return a landing under its documented keys."""
    if landed is None:
        return None
    return {
        "commit": landed.commit,
        "at": registry.time(landed.landed).isoformat(),
        "by": landed.committer,
        "writers": [] if is_cut(registry, landed) else list(landed.writers),
        "cut_off": is_cut(registry, landed),
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
        "number": version.seq,
        "draft": version.draft,
        "standing": version.standing,
        "settings_digest": version.digest,
        "reason": version.document.get("reason"),
        "recorded": version.document.get("recorded"),
        "landed": landed_json(registry, version.landed),
        "in_force": evidence
        and {"how": evidence.how, "words": evidence.words, "mismatch": evidence.mismatch},
    }


def version_words(registry: Registry, version: Version) -> str:
    """Return in one line which version it is, when it was written and landed, and who wrote it."""
    recorded = version.document.get("recorded", {})
    parts = [version.label]
    if version.standing != "current":
        parts.append(standing_words(version.standing))
    if recorded:
        parts.append(f"recorded {recorded.get('date')} at {recorded.get('site')}")
    if version.landed:
        parts.append(f"landed {landed_words(registry, version.landed)}")
    return "; ".join(parts)


def remark_json(remark: Remark) -> dict[str, Any]:
    """Return a piece of advice under its keys."""
    return {
        "rule": remark.rule,
        "level": remark.level,
        "applies": "yes" if remark.certain else "cannot tell",
        "text": remark.text,
        "source": remark.source,
    }
