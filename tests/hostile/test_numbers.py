"""Numbers that are none, or beyond all measure, wherever a number is typed."""

import json
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import click
import pytest
from click.testing import CliRunner, Result

from registry.cli.main import COMMANDS, main
from registry.cli.numbers import Number, Whole
from registry.find.known import SIDES, spelled
from registry.lit.quantities import QUANTITIES
from registry.model.kinds import KINDS
from registry.model.shape import ANY, Setting, shape_of
from tests.hostile.conftest import Tried
from tests.lit.lighted import LightedShop, flat_reading, reading
from tests.tune.ladders import ladder_text

NO_NUMBERS = (
    *("nan", "NaN", "-nan", "inf", "-inf", "Infinity", "1e308", "-1e308", "1e-308", "-1e-308", "1e400"),
    *("1e-400", "1_000", "٣", "0x10", "5e", "1,5", "1.5.5", "--5", "+-5", "1e", ".", "5 5", "½", "²", "１"),
    *("9" * 5000, "1e" + "9" * 5000, "0." + "0" * 5000 + "1", "9007199254740993", "1e16", "5\x00", "5\n6"),
)
"""What nobody who means a number writes: refused, whatever it is for."""
EXTREMES = ("0", "-0", "-0.0", "0.0", "1e-9", "9e15", "-9e15", "1e15", " 5 ", "+5", "5.", ".5", "5E0", "1e5")
"""Numbers that are read as such; each is taken or refused by its range."""
_BOX, _MODE = "harbour-yard/box", "maker/film/mode"
_ODD = re.compile(r"(?<![\w'\"-])[+-]?(?:nan|inf|infinity)(?![\w'\"-])", re.IGNORECASE)
"""A number that is none in an answer, not in a word, and not what was typed, which stands quoted."""

ASKED: dict[str, tuple[str, ...]] = {
    "find": (),
    "confirm": (_MODE, "--outcome", "good", "--seen", "on-light-table", "--dry-run"),
    "light": (_BOX, _MODE, "maker/black/mode"),
    "tune": ("LADDER", "--substrate", "maker/film", "--printer", "wide"),
    "nearest": ("coating=aqueous", "light.transmittance_pct=40"),
    "plan": (_MODE, "--piece", "500x500"),
    "run": (_MODE, "--job", "J1", "--unit", "harbour-yard/left", "--dry-run"),
}
"""What each command that has an option for a number is asked besides it."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry with a lit box, two films with readings, one of them with a black that is none."""
    folder = tmp_path_factory.mktemp("numbers") / "registry"
    made = LightedShop(folder)
    black = flat_reading({"p": ((0, 0, 0, 0), 0.4), "k": ((0, 0, 0, 100), 0.0), "g": ((0, 0, 0, 50), 0.1)})
    with made.series:
        made.lit_film("maker/film", reading())
        made.lit_film("maker/black", black)
        made.registry()
    (folder / "LADDER").write_text(ladder_text(), encoding="utf-8")
    return folder


def _refused(word: str) -> NoReturn:
    raise AssertionError(word)


def asked(shop: Path, *args: str) -> Result:
    """Run a command, and hold its answer to what holds of every answer."""
    result = CliRunner().invoke(main, ["-C", str(shop), *args])
    told = f"{[arg[:60] for arg in args]}: {result.exit_code}\n{result.output[-2000:]}"
    assert result.exit_code in {0, 1, 2, 3}, told
    assert result.exit_code in {2, 3} or not _ODD.search(result.stdout), (
        told
    )  # a refusal repeats what it found
    if "json" in args and result.stdout:
        json.loads(result.stdout, parse_constant=_refused)
    return result


def _refuses(shop: Path, *args: str) -> None:
    result = asked(shop, *args)
    assert result.exit_code == 2, (args, result.output)


def _options() -> Iterator[tuple[str, click.Parameter]]:
    for name in COMMANDS:
        command = main.get_command(click.Context(main), name)
        assert command is not None
        for each in command.params:
            number = isinstance(each.type, click.types.FloatParamType | click.types.IntParamType)
            if number and isinstance(each, click.Option) and not each.is_flag:
                yield name, each


def _given(name: str, shop: Path) -> list[str]:
    return [str(shop / word) if word == "LADDER" else word for word in ASKED[name]]


OPTIONS = [pytest.param(name, each, id=f"{name} {each.opts[0]}") for name, each in _options()]


def test_the_options_for_numbers_are_found() -> None:
    assert {name for name, _ in _options()} == set(ASKED)
    assert len(OPTIONS) >= 19


@pytest.mark.parametrize(("name", "option"), OPTIONS)
def test_an_option_takes_numbers_alone(shop: Path, tried: Tried, name: str, option: click.Parameter) -> None:
    assert isinstance(option.type, Number | Whole)
    given = _given(name, shop)
    for text in NO_NUMBERS:
        _refuses(shop, name, *given, f"{option.opts[0]}={text}", "--format", "json")
    tried("options for numbers with what is no number", len(NO_NUMBERS))


@pytest.mark.parametrize(("name", "option"), OPTIONS)
def test_the_extremes_of_an_option_are_answered_or_refused(
    shop: Path, tried: Tried, name: str, option: click.Parameter
) -> None:
    given, chance = _given(name, shop), random.Random(f"extremes {name} {option.opts[0]}")
    low, high = option.type.min, option.type.max  # type: ignore[attr-defined]
    ends = [f"{end:g}" for end in (low, high) if end is not None]
    beyond = [f"{high * 1.01:g}"] if high is not None else []
    for text in (*EXTREMES, *ends, *beyond):
        form = chance.choice(("text", "json"))
        more = ["--for", _BOX] if option.opts[0] == "--contrast" else []
        result = asked(shop, name, *given, *more, f"{option.opts[0]}={text}", "--format", form)
        assert result.exit_code == 2 or text not in beyond, result.output
    tried("options for numbers with extremes", len(EXTREMES))


def _numeric(kind: str) -> Iterator[Setting]:
    for setting in shape_of(kind).settings.values():
        if setting.numeric or setting.item_type in {"number", "integer"}:
            yield setting


def _path(setting: Setting) -> str:
    return setting.path.replace(ANY, "colour")


@pytest.mark.parametrize(
    "kind", [kind for kind, each in KINDS.items() if not each.once and kind != "registry"]
)
def test_a_setting_is_given_a_number_or_refused(shop: Path, tried: Tried, times: int, kind: str) -> None:
    chance, count = random.Random(f"set {kind}"), 0
    rid = {"substrate": "maker/new", "print-mode": "maker/film/new"}.get(kind, "harbour-yard/new")
    rid = rid if kind in {"substrate", "print-mode", "unit", "display", "complaint"} else "new"
    for setting in _numeric(kind):
        group, _, member = setting.path.partition(f".{ANY}.")
        for text in chance.sample((*NO_NUMBERS, *EXTREMES), min(2 * times, len(NO_NUMBERS + EXTREMES))):
            typed = ("--add", f"{group}:{member}={text}") if member else ("--set", f"{setting.path}={text}")
            args = ("new", kind, rid, *typed, "--reason", "why", "--dry-run", "--format", "json")
            result = asked(shop, *args)
            if text in NO_NUMBERS:
                assert result.exit_code == 2, (args, result.output)
            count += 1
    tried("--set and --add of numbers", count)


def test_a_condition_takes_numbers_alone(shop: Path, tried: Tried, times: int) -> None:
    chance, count = random.Random("where"), 0
    sides = {of: set(spelled(kind)) for of, kind in SIDES.items()}
    paths = [
        f"{of}:{setting.path}"
        for of, kind in SIDES.items()
        for setting in _numeric(kind)
        if setting.path in sides[of] and not setting.path.startswith("sources.")
    ]
    paths += [f"mode:{each.path}" for each in QUANTITIES if each.unit]
    for path in paths:
        for text in chance.sample((*NO_NUMBERS, *EXTREMES), min(2 * times, len(NO_NUMBERS + EXTREMES))):
            op = chance.choice(("<=", ">=", "=", "!=", "<", ">"))
            more = ("--for", _BOX) if "lit." in path else ()
            result = asked(shop, "find", *more, "--where", f"{path}{op}{text}", "--format", "json")
            if text in NO_NUMBERS:
                assert result.exit_code == 2, (path, text, result.output)
            count += 1
    tried("conditions on numbers", count)


def test_a_fact_of_a_new_material_is_a_number_or_refused(shop: Path, tried: Tried, times: int) -> None:
    chance, count = random.Random("facts"), 0
    for setting in _numeric("substrate"):
        if not setting.descriptive:
            continue
        for text in chance.sample((*NO_NUMBERS, *EXTREMES), min(4 * times, len(NO_NUMBERS + EXTREMES))):
            form = chance.choice(("text", "json", "csv", "markdown"))
            args = ("nearest", "coating=aqueous", f"{setting.path}={text}", "--format", form)
            result = asked(shop, *args)
            if text in NO_NUMBERS:
                assert result.exit_code == 2, (args, result.output)
            count += 1
    tried("facts of a material that are numbers", count)


_WITHIN: dict[str, tuple[str, ...]] = {
    "panel": ("light", _BOX, _MODE, "--panel=front:{}"),
    "panel behind": ("light", _BOX, _MODE, "--panel=behind:{}:10"),
    "panel throws back": ("light", _BOX, _MODE, "--panel=behind:10:{}"),
    "piece": ("plan", _MODE, "--piece={}x500"),
    "piece's count": ("plan", _MODE, "--piece=500x500x{}"),
    "set": ("plan", _MODE, "--set=wall=500x{}+500x500"),
    "coverage": ("plan", _MODE, "--piece=500x500", "--coverage={}"),
    "channel": ("plan", _MODE, "--piece=500x500", "--coverage=C={}"),
    "revision": ("show", _MODE + "@r{}"),
}


@pytest.mark.parametrize("where", _WITHIN)
def test_a_number_within_a_text_is_one_or_refused(shop: Path, tried: Tried, where: str) -> None:
    for text in NO_NUMBERS:
        args = [part.replace("{}", text) for part in _WITHIN[where]]
        _refuses(shop, *args, "--format", "json")
    for text in EXTREMES:
        asked(shop, *(part.replace("{}", text) for part in _WITHIN[where]), "--format", "json")
    tried("numbers within a text", len(NO_NUMBERS) + len(EXTREMES))
