"""A change that is written down in several places is told once, with every place as evidence."""

import datetime
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePosixPath

from registry.audit.answer import Clue
from registry.audit.lots import LOT_OF_EVENT, LOTS
from registry.audit.prints import Scene
from registry.audit.usual import effect_rank

__all__ = ["told_once"]

_Topic = tuple[str, str]
_NAME = re.compile(r"[\w.-]*\w")
_LINEARISED = "own.*.linearised"
_NOTED = {
    "alignment": "own.*.head_alignment_um",
    "lamp-some-replaced": "lamp",
    "lamp-all-replaced": "lamp",
    "diffuser-or-panel": "panel",
}
"""By kind of event: the setting of the unit or the display in which the same is noted."""

_NOTED_WITHIN_DAYS = 7
"""So soon after it happened, or else on the day that the event itself was written down."""


def told_once(of: Scene, clues: Sequence[Clue]) -> list[Clue]:
    """Return the clues, those that are about one and the same change joined.

    Of a lot and a profile what the prints themselves show is told, and the event stands beside it. Of what
    happened to a machine or a display the event is told, for it knows the hour.
    """
    led: list[Clue] = []
    beside: dict[int, list[Clue]] = {}
    for clue in sorted(clues, key=_precedence):
        topics = _topics(of, clue)
        leader = next((each for each in led if topics & _topics(of, each)), None)
        if leader is None or (clue.event and leader.event):  # two events are two things
            led.append(clue)
        else:
            beside.setdefault(id(leader), []).append(clue)
    return [_with(clue, beside.get(id(clue), ())) for clue in _without_adoptions(led, beside)]


def _without_adoptions(led: list[Clue], beside: dict[int, list[Clue]]) -> list[Clue]:
    """Return what leads, adoptions beside the first setting of the mode: no changes of their own."""
    brought = next((each for each in led if each.place == "mode" and each.change), None)
    if brought is None:
        return led
    beside.setdefault(id(brought), []).extend(each for each in led if each.event == "adopted")
    return [each for each in led if each.event != "adopted"]


def _precedence(clue: Clue) -> tuple[int, float]:
    """Return the order in which clues are told first: of two events that could be meant the later one."""
    if clue.event:
        return 1, -clue.at
    return (0 if clue.place in {"job", "mode", "profile"} else 2), 0


def _with(clue: Clue, also: Sequence[Clue]) -> Clue:
    """Return the clue with others beside it: what is likely of one of them is likely of all."""
    every = (clue, *also)
    effect = min((each.effect for each in every), key=effect_rank)
    return replace(clue, also=tuple(also), likely=any(each.likely for each in every), effect=effect)


def _topics(of: Scene, clue: Clue) -> set[_Topic]:
    """Return what a clue is about; two that have a topic in common tell of one change."""
    if clue.change is not None:
        return _topics_of_setting(clue)
    happened = of.registry.time(clue.at).date()
    if clue.event in LOT_OF_EVENT:
        return {(LOT_OF_EVENT[clue.event], clue.lot)}
    if clue.event == "profile-change":
        return {("profile", "")} if _names_profile(of, clue) else set()
    if clue.event == "linearisation":
        return {(_LINEARISED, f"{happened}")}
    if clue.event in _NOTED:
        days = {f"{happened + datetime.timedelta(days)}" for days in range(_NOTED_WITHIN_DAYS + 1)}
        return {(_NOTED[clue.event], day) for day in days | {clue.origin.recorded}}
    return set()


def _topics_of_setting(clue: Clue) -> set[_Topic]:
    assert clue.change is not None  # noqa: S101 (only what has one is asked)
    setting, after = clue.change.setting, str(clue.change.after)
    if clue.place == "job":
        return {(setting, after)} if setting in LOTS else set()
    if clue.place == "profile" or (clue.place == "mode" and setting.startswith("colour.profile.")):
        return {("profile", "")}
    if setting == _LINEARISED:
        return {(_LINEARISED, after)}
    if clue.place in {"unit", "display"}:
        noted = (each for each in _NOTED.values() if setting == each or setting.startswith(f"{each}."))
        return {(each, clue.origin.recorded) for each in noted}
    return set()


def _names_profile(of: Scene, event: Clue) -> bool:
    """Whether an event names the profile that the bad print had."""
    mode = of.bad.mode.document if of.bad.mode else {}
    file = PurePosixPath(mode.get("colour", {}).get("profile", {}).get("file", ""))
    names = set(_NAME.findall(event.after or event.what))
    return bool(file.name) and bool(names & {file.name, file.stem})
