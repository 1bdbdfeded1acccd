"""What is asked for on the command line, as requirements; each option is a condition on a setting."""

import datetime
import re

from registry.errors import RequestError
from registry.find.known import Known, known, known_of
from registry.find.request import Request
from registry.find.wanted import IN_USE, STATUS, Bound, Wanted
from registry.lit.quantities import is_lit
from registry.model.fire import STANDARDS, is_demand, written_so
from registry.model.scales import rank
from registry.model.typed import NoNumber, typed_number
from registry.question.names import named
from registry.question.registry import Registry

__all__ = ["BadCondition", "condition", "filters", "lit"]

_CONDITION = re.compile(r"\s*((?:[a-z-]+:)?[\w.*#$-]+)\s*([<>!]=|[<>](?!=)|=|~)\s*(.*\S)\s*", re.ASCII)
_EXAMPLE = "PATH, one of <= >= < > = != ~, and a value, such as heat.cure_c<=100"


_MOST = 100
"""Words and conditions of one question: more than anyone types, fewer than the read model can be asked."""


class BadCondition(RequestError):
    """A condition on a setting that cannot be read."""


def filters(registry: Registry, request: Request) -> list[Wanted]:
    """Return every requirement of a request but those of the use it is for."""
    _refuse_too_many(len(request.words) + len(request.where))
    wanted = [_setting("mode", STATUS, Bound("in", request.status))]
    if "withdrawn" not in request.status:
        wanted.append(Wanted(IN_USE, (Bound("in", ("current",)),)))
    wanted += [_word(word) for word in request.words]
    for path in ("construction", "base", "coating", "finish"):
        if words := getattr(request, path):
            wanted.append(_setting("substrate", path, Bound("in", words)))
    for path, word in (("print.scratch", request.scratch), ("print.pencil", request.pencil)):
        if word:
            wanted.append(_setting("mode", path, Bound(">=", word)))
    if request.lighting:
        wanted.append(lit(request.lighting))
    if request.printer:
        printer = named(registry, request.printer, ("printer",)).rid
        wanted.append(_setting("mode", "printer", Bound("in", (printer,))))
    if request.site:
        wanted.append(_standing_at(registry, request.site))
    if request.min_width_mm is not None:
        bound = Bound(">=", float(request.min_width_mm))
        wanted.append(_setting("substrate", "widths_mm", bound)._replace(what="width"))
    return [*wanted, *(_condition(each, request) for each in request.where)]


def _refuse_too_many(asked: int) -> None:
    if asked > _MOST:
        raise RequestError(f"{asked:,} words and conditions are too many: ask for at most {_MOST} at once")


def lit(lighting: str, why: str = "") -> Wanted:
    """Return the requirement that a mode suits a lighting; what is dual suits day and night alike."""
    words = tuple(dict.fromkeys((lighting, "dual")))
    return _setting("mode", "lighting", Bound("in", words))._replace(why=why)


def _condition(text: str, request: Request) -> Wanted:
    """Return a condition; one on how a print looks lit needs the place where it hangs."""
    wanted = condition(text)
    if is_lit(wanted.known.path) and not request.use:
        raise BadCondition(f"{wanted.known.path} is computed for a place: name it with --for")
    return wanted


def condition(text: str) -> Wanted:
    """Return the requirement that an expression such as `substrate:thickness_um>=200` states.

    >>> condition("heat.cure_c <= 100").bounds
    (Bound(op='<=', wanted=100.0),)
    """
    parts = _CONDITION.fullmatch(text)
    if not parts:
        raise BadCondition(f"{text!r} is no condition: write {_EXAMPLE}")
    setting, op, value = known(parts[1]), parts[2], parts[3]
    if op == "~" and setting.sort == "number":
        raise BadCondition(f"{setting.path} is a number: ask with <=, >=, <, >, = or !=, not with ~")
    return Wanted(setting, (Bound(op, value if op == "~" else _value(setting, op, value)),))


def _value(setting: Known, op: str, text: str) -> float | str:
    match setting.sort:
        case "number":
            return _number(setting, text)
        case "scale":
            return _on_scale(setting, text)
        case "day":
            return _day(setting, text)
    if op not in {"=", "!="}:
        raise BadCondition(f"{setting.path} has no order: ask with =, != or ~, not with {op}")
    return _word_of(setting, text) if setting.sort == "word" else text


def _number(setting: Known, text: str) -> float:
    try:
        return float(typed_number(text))
    except NoNumber as error:
        raise BadCondition(error.words(setting.path, setting.unit)) from None


def _on_scale(setting: Known, text: str) -> str:
    word = {each.casefold(): each for each in setting.words}.get(text.casefold(), text)
    if setting.fire:
        return _fire_class(setting, text)
    if rank(setting.scale, word) is None:
        raise BadCondition(
            f"{text!r} is not on the scale of {setting.path}: it has {', '.join(setting.words)}"
        )
    return word


def _fire_class(setting: Known, text: str) -> str:
    folded = {each.casefold(): each for each in setting.words}.get(text.casefold(), text)
    for written in (text, text[:1].upper() + text[1:], folded):
        if is_demand(setting.fire, written):
            return written
    allowed = written_so(setting.fire)
    raise BadCondition(f"{text!r} is no class of {STANDARDS[setting.fire]}: it writes {allowed}")


def _word_of(setting: Known, text: str) -> str:
    words = {each.casefold(): each for each in setting.words}
    if text.casefold() in words:
        return words[text.casefold()]
    import difflib  # noqa: PLC0415 (only who has mistyped something pays for it)

    near = difflib.get_close_matches(text.casefold(), words, n=1)
    hint = f"; did you mean {words[near[0]]}" if near else ""
    raise BadCondition(f"{setting.path} is never {text!r}: it is one of {', '.join(setting.words)}{hint}")


def _day(setting: Known, text: str) -> str:
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise BadCondition(f"{setting.path} is a day: write it as 2026-03-01, not {text!r}") from error


def _setting(of: str, path: str, bound: Bound) -> Wanted:
    found = known_of(of, path)
    assert found is not None, path  # noqa: S101  (a setting of our own models)
    return Wanted(found, (bound,))


def _word(word: str) -> Wanted:
    return Wanted(Known("mode", "", "word"), (Bound("~", word),), what="word")


def _standing_at(registry: Registry, site: str) -> Wanted:
    """Return the requirement that a mode is for a printer of which a unit stands at the site."""
    rid = named(registry, site, ("site",)).rid
    sites, printers = registry.model.values("site", "unit"), registry.model.values("printer", "unit")
    units = [unit.id for unit in registry.model.subjects("unit") if unit.standing != "withdrawn"]
    here = {printers[unit][0].txt for unit in units if unit in printers and sites[unit][0].txt == rid}
    found = Known("mode", "printer", f"printer at {rid}", sort="word")
    return Wanted(found, (Bound("in", tuple(sorted(here))),))
