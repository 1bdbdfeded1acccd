"""What litstock advises can be typed: every option that its words name exists."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import click

from registry.cli.main import main

_ROOT = Path(__file__).parents[2]
_OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]+")


def offered(command: click.Command, context: click.Context) -> Iterator[str]:
    for each in command.get_params(context):
        yield from (name for name in (*each.opts, *each.secondary_opts) if name.startswith("--"))
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            inner = command.get_command(context, name)
            assert inner is not None
            yield from offered(inner, click.Context(inner, parent=context, info_name=name))


def said(path: Path) -> Iterator[tuple[str, str]]:
    """Yield each option that a text of the program names, and that text; git's own are not litstock's."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.JoinedStr):
            text = "".join(str(each.value) for each in node.values if isinstance(each, ast.Constant))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        if "git " not in text:
            yield from ((option, text) for option in _OPTION.findall(text))


def test_every_option_that_a_text_names_exists() -> None:
    exist = set(offered(main, click.Context(main, info_name="litstock")))
    named = [
        (str(path.relative_to(_ROOT)), option, text[:60])
        for path in sorted((_ROOT / "registry").rglob("*.py"))
        if "store" not in path.parts
        for option, text in said(path)
    ]
    assert len(named) > 100
    assert [each for each in named if each[1] not in exist] == []
