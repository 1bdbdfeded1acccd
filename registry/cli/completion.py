"""Completions: ids of records and their versions, paths of settings, what these may say, what records say.

Whatever keeps the registry from being read, completion offers nothing and says nothing.
"""

import os
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from registry.errors import RegistryError
from registry.find.known import SIDES, Known, askable, known, spelled
from registry.model.kinds import KINDS
from registry.model.shape import ANY, Setting, shape_of
from registry.question.names import called, meant
from registry.question.registry import Registry

__all__ = [
    "Completer",
    "complete_assignments",
    "complete_conditions",
    "complete_draft",
    "complete_facts",
    "complete_fields",
    "complete_paths",
    "complete_records",
    "complete_resolutions",
    "complete_values",
]

Completer = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]

_OPERATORS = ("<=", ">=", "!=", "<", ">", "=", "~")


def complete_records(*kinds: str) -> Completer:
    """Return a completer of the ids of records of these kinds, of all if none is named.

    Where no id begins as typed, ends that only one id has are offered: they mean it too. A parameter whose
    metavar says that it takes @WHEN gets the versions of a record once the @ is typed.
    """

    def complete(context: click.Context, of: click.Parameter, incomplete: str) -> list[CompletionItem]:
        name, at, when = incomplete.partition("@")
        if at and "@WHEN" in (of.metavar or ""):
            return _versions(context, kinds, name, when)
        ids = [(kind, rid) for kind, rid in _ids(context) if not kinds or kind in kinds]
        whole = [(kind, rid) for kind, rid in ids if rid.startswith(incomplete)]
        return [
            CompletionItem(word, help=kind.replace("-", " "))
            for kind, word in whole or _ends(ids, incomplete)
        ]

    return complete


def _ends(ids: Iterable[tuple[str, str]], incomplete: str) -> Iterator[tuple[str, str]]:
    """Yield, with their kinds, ends of ids behind a slash or hyphen that begin so and one id alone has."""
    begins = re.compile(f"(?<=[/-]){re.escape(incomplete)}")
    ends = [(kind, rid[at.start() :]) for kind, rid in ids for at in begins.finditer(rid)]
    often = Counter(end for _, end in ends)
    yield from (each for each in ends if often[each[1]] == 1)


def complete_conditions(_: click.Context, __: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Complete a condition of find: a path, then an operator, then a word that the setting may say."""
    path, operator, value = _parted(incomplete)
    try:
        setting = known(path)
    except RegistryError:
        return [] if operator else list(_askable(path))
    if operator:
        return [CompletionItem(f"{path}{operator}{word}") for word in setting.words if word.startswith(value)]
    return [CompletionItem(f"{path}{each}", help=_words(setting)) for each in _fitting(setting)]


def complete_paths(*kinds: str) -> Completer:
    """Return a completer of the paths of settings of these kinds, of all if none is named."""

    def complete(_: click.Context, __: click.Parameter, incomplete: str) -> list[CompletionItem]:
        return list(_settings(kinds or KINDS, incomplete))

    return complete


def complete_fields(record: str = "record") -> Completer:
    """Return a completer of what history can be asked of: paths of settings, and groups of them.

    They are those of the record that the command's argument `record` names.
    """

    def complete(context: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
        found = list(_settings(_kinds_of(context, record) or KINDS, ""))
        groups = Counter(item.value.partition(".")[0] for item in found if "." in item.value)
        whole = (CompletionItem(group, help=f"all of {group}") for group, many in groups.items() if many > 1)
        return [item for item in (*whole, *found) if item.value.startswith(incomplete)]

    return complete


def complete_assignments(*kinds: str, record: str = "record") -> Completer:
    """Return a completer of `PATH=VALUE` for the record that the command's argument `record` names."""

    def complete(context: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
        of = _kinds_of(context, record) or kinds or tuple(KINDS)
        path, equals, value = incomplete.partition("=")
        if not equals:
            return [CompletionItem(f"{item.value}=", help=item.help) for item in _settings(of, path)]
        words = (word for kind in of for word in _allowed(shape_of(kind).setting_at(path)))
        return [CompletionItem(f"{path}={word}") for word in dict.fromkeys(words) if word.startswith(value)]

    return complete


def complete_facts(context: click.Context, of: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Complete what is known of a material, first what decides which others are its relatives."""
    from registry.nearest.kinship import DECIDES  # noqa: PLC0415 (every command loads this module)

    path, equals, _ = incomplete.partition("=")
    if equals:
        return complete_assignments("substrate")(context, of, incomplete)
    shape = shape_of("substrate")
    told = {each.partition("=")[0].strip() for each in context.params.get(of.name or "") or ()}
    rest = (each for each, setting in shape.settings.items() if setting.descriptive)
    return [
        CompletionItem(f"{each}=", help=_words(shape.settings[each]))
        for each in dict.fromkeys((*DECIDES, *rest))
        if each.startswith(path) and each not in told
    ]


def complete_resolutions(context: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Complete a resolution: one that the printer named offers, or any printer where none is named."""
    wanted: str = context.params.get("printer") or ""
    try:
        model = _chosen(context).model
        printers = {each.id: each.rid for each in model.subjects("printer") if wanted in {"", each.rid}}
        offered = model.values("resolutions", "printer")
    except RegistryError:
        return []
    found: dict[str, list[str]] = {}
    for subject, rid in printers.items():
        for value in offered.get(subject, ()):
            found.setdefault(value.txt, []).append(rid)
    return [
        CompletionItem(each, help=f"of {', '.join(rids)}")
        for each, rids in sorted(found.items(), key=lambda held: (len(held[0]), held[0]))
        if each.startswith(incomplete)
    ]


def complete_draft(context: click.Context, of: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Complete the id of a mode that is to be: it begins with its substrate, the one named if any is."""
    named: str = context.params.get("substrate") or ""
    films = [each.value for each in complete_records("substrate")(context, of, "")]
    meant = [f"{each}/" for each in films if named in {"", each, each.partition("/")[2]}]
    return [CompletionItem(each, goes_on=True) for each in meant if each.startswith(incomplete)]


def complete_values(*settings: tuple[str, str]) -> Completer:
    """Return a completer of what records say already at these settings: record kind and path."""

    def complete(context: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
        words = {word: kind for kind, path in settings for word in _held(context, kind, path)}
        return [
            CompletionItem(word, help=f"in a record of {kind}")
            for word, kind in sorted(words.items())
            if word.startswith(incomplete)
        ]

    return complete


def _ids(context: click.Context) -> list[tuple[str, str]]:
    """Return kind and id of every record of the registry that the command line chooses."""
    try:
        return _chosen(context).model.ids()
    except RegistryError:
        return []


def _versions(context: click.Context, kinds: Sequence[str], name: str, when: str) -> list[CompletionItem]:
    from registry.cli.versions import versions  # noqa: PLC0415 (every command loads this module, few shells ask)

    try:
        return list(versions(_chosen(context), kinds, name, when))
    except RegistryError:
        return []


def _held(context: click.Context, kind: str, path: str) -> list[str]:
    """Return each text that records of a kind hold at a path."""
    try:
        found = _chosen(context).model.values(path, kind)
    except RegistryError:
        return []
    return [value.txt for values in found.values() for value in values if value.txt]


def _chosen(context: click.Context) -> Registry:
    """Return the registry that the command line chooses."""
    folder: Path | None = context.find_root().params.get("folder")
    return Registry(folder, os.environ)


def _kinds_of(context: click.Context, argument: str) -> tuple[str, ...]:
    """Return the kinds of the records that the command's first argument names, or the kind that it is.

    Where an option still lacks its value, click leaves the arguments lying.
    """
    record: str = context.params.get(argument) or next(iter(context.args), "")
    if record in KINDS:
        return (record,)
    try:
        kinds, rid = meant(record.partition("@")[0])
        found = called(_chosen(context), rid, kinds)
    except RegistryError:
        return ()
    return tuple(dict.fromkeys(each.kind for each in found))


def _settings(kinds: Iterable[str], incomplete: str) -> Iterator[CompletionItem]:
    paths = {path: kind for kind in kinds for path in spelled(kind)}
    for path, kind in paths.items():
        setting = shape_of(kind).setting_at(path)
        if setting and not setting.retired and path.startswith(incomplete) and not path.startswith("$"):
            yield CompletionItem(path, help=_words(setting))


def _allowed(setting: Setting | None) -> tuple[str, ...]:
    if setting is None:
        return ()
    return ("yes", "no") if setting.type == "boolean" else setting.words


def _askable(incomplete: str) -> Iterator[CompletionItem]:
    side, colon, path = incomplete.partition(":")
    sides = (side,) if colon and side in SIDES else () if colon else SIDES
    seen: set[str] = set()
    for of in sides:
        for each in askable(of):
            if each.startswith(path if colon else incomplete) and each not in seen:
                seen.add(each)
                setting = None if ANY in each and each.endswith("rating") else known(f"{of}:{each}")
                yield CompletionItem(
                    f"{side}:{each}" if colon else each,
                    help=_words(setting) if setting else None,
                    goes_on=True,
                )


def _parted(condition: str) -> tuple[str, str, str]:
    """Return path, operator and value of a condition, as far as it is typed."""
    at = min((condition.find(mark) for mark in "<>=!~" if mark in condition), default=len(condition))
    path, rest = condition[:at].strip(), condition[at:]
    operator = next((each for each in _OPERATORS if rest.startswith(each)), "")
    return path, operator, rest[len(operator) :].strip()


def _fitting(setting: Known) -> tuple[str, ...]:
    ordered = ("<=", ">=") if setting.sort in {"number", "scale", "day"} else ()
    return (*ordered, "=", "!=", *(("~",) if setting.sort == "text" else ()))


def _words(setting: Known | Setting) -> str:
    return f"{setting.label} {setting.unit}".strip()
