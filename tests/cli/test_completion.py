"""What the shell is offered: ids, versions, settings and words; in bash as bash parts words."""

import json
import os
import subprocess
import sys
from pathlib import Path

import click
from click.shell_completion import CompletionItem, ShellComplete

from registry.cli.completion import (
    Completer,
    complete_assignments,
    complete_fields,
    complete_paths,
    complete_records,
)
from registry.cli.find import command
from registry.cli.main import main
from registry.nearest.kinship import MATTERS
from tests import small
from tests.find.shop import SITE, Shop
from tests.goldens import run


def offered(folder: Path, *typed: str) -> list[CompletionItem]:
    """Return what the shell is offered for the last word typed."""
    *before, incomplete = typed
    complete = ShellComplete(main, {}, "litstock", "_LITSTOCK_COMPLETE")
    return complete.get_completions(["-C", str(folder), *before], incomplete)


def completed(folder: Path, *typed: str) -> list[str]:
    return [item.value for item in offered(folder, *typed)]


def test_ids_are_completed_by_kind(counter: Path) -> None:
    assert completed(counter, "find", "--for", "") == ["ticket-counter", f"{SITE}/hall"]
    assert completed(counter, "find", "--for", "tick") == ["ticket-counter"]
    assert completed(counter, "find", "--site", "m") == ["mill-lane"]
    assert completed(counter, "find", "--printer", "") == ["wide"]
    assert completed(counter, "find", "--why", "lumenfold/be") == ["lumenfold/best/mode", "lumenfold/best"]


def test_where_no_id_begins_so_the_ends_that_only_one_id_has_are_completed(counter: Path) -> None:
    assert completed(counter, "card", "best/m") == ["best/mode"]
    assert completed(counter, "find", "--why", "be") == ["best/mode", "best"]
    assert completed(counter, "card", "mod") == []  # every mode there is called so
    assert completed(counter, "find", "--for", "count") == ["counter"]
    assert completed(counter, "find", "--for", "icket") == []
    assert completed(counter, "find", "--site", "lane") == ["lane"]
    assert json.loads(run(counter, "find", "--why", "best/mode", "--format", "json").stdout)["why"]


def test_a_condition_is_completed_path_operator_and_word(counter: Path) -> None:
    assert completed(counter, "find", "--where", "heat.cu") == ["heat.cure_c"]
    assert completed(counter, "find", "--where", "substrate:heat.max_w") == ["substrate:heat.max_web_c"]
    assert "heat.cure_c<=" in completed(counter, "find", "--where", "heat.cure_c")
    assert completed(counter, "find", "--where", "coating=a") == ["coating=aqueous"]
    assert completed(counter, "find", "--where", "print.scratch>=g") == ["print.scratch>=good"]
    assert "print.scratch" in completed(counter, "find", "--where", "print.")
    assert completed(counter, "find", "--where", "no.such=") == []


def test_options_and_choices_are_completed(counter: Path) -> None:
    assert "--construction" in completed(counter, "find", "--c")
    assert completed(counter, "find", "--coating", "u") == ["uv-curable"]
    assert completed(counter, "find", "--pencil", "h") == ["HB", "H"]


def test_completion_is_silent_where_there_is_no_registry(tmp_path: Path) -> None:
    assert completed(tmp_path, "find", "--for", "") == []


def test_the_shell_is_answered_through_the_environment(counter: Path) -> None:
    words = f"litstock -C {counter} find --for tick"
    environ = {**os.environ, "_LITSTOCK_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": "5"}
    program = "from registry.cli.main import main; main(prog_name='litstock')"
    ended = subprocess.run(
        [sys.executable, "-c", program], env=environ, capture_output=True, text=True, check=False
    )
    assert ended.stdout.splitlines() == ["plain,ticket-counter"]


def given(folder: Path, completer: Completer, incomplete: str, **params: str) -> list[str]:
    """Return what a completer offers to an option of some other command."""
    root = click.Context(main)
    root.params = {"folder": folder}
    context = click.Context(command, parent=root)
    context.params = dict(params)
    return [item.value for item in completer(context, command.params[0], incomplete)]


def test_assignments_are_completed_for_the_record_that_is_named(counter: Path) -> None:
    of_record = complete_assignments()
    film, mode = {"record": "lumenfold/best"}, {"record": "lumenfold/best/mode@r1"}
    assert given(counter, of_record, "coa", **film) == ["coating="]
    assert given(counter, of_record, "coating=s", **film) == ["coating=solvent"]
    assert given(counter, of_record, "coa", **mode) == []
    assert given(counter, of_record, "mirrored=", **mode) == ["mirrored=yes", "mirrored=no"]
    assert given(counter, of_record, "layers.white.lo", **mode) == ["layers.white.load_pct="]
    assert given(counter, complete_assignments("printer"), "ink_ch") == ["ink_chemistry="]


def test_paths_are_completed_by_kind(counter: Path) -> None:
    assert given(counter, complete_paths("print-mode"), "heat.cu") == ["heat.cure_c"]
    assert given(counter, complete_paths("substrate"), "fire.nfpa-701.") == [
        "fire.nfpa-701.standard",
        "fire.nfpa-701.rating",
        "fire.nfpa-701.tested",
        "fire.nfpa-701.certificate",
    ]


def test_of_a_material_what_decides_is_offered_first_and_no_name_at_all(counter: Path) -> None:
    found = completed(counter, "nearest", "")
    assert found[:9] == [*(f"{path}=" for path, _, _ in MATTERS), "heat.max_web_c="]
    assert {"title=", "maker=", "grade=", "notes=", "fire.*.rating="} & {*found} == set()
    assert found[9] == "product_code="
    assert completed(counter, "nearest", "coating=aqueous", "coa") == []
    assert completed(counter, "nearest", "coating=a") == ["coating=aqueous"]


def test_whoever_writes_is_offered_the_sites(counter: Path) -> None:
    sites = ["harbour-yard", "mill-lane"]
    for typed in (("tune", "x.txt"), ("measure", "x.txt"), ("revise", "lumenfold/best")):
        assert [each for each in completed(counter, *typed, "--site", "") if each in sites] == sites
    assert completed(counter, "measure", "x.txt", "--site", "m") == ["mill-lane"]


def test_tune_is_offered_modes_resolutions_and_the_beginning_of_a_draft(tmp_path: Path) -> None:
    shop = Shop(tmp_path / "registry")
    with shop.series:
        shop.put("printer", "fine", resolutions=["600x1200", "600x600"])
        shop.put("printer", "coarse", resolutions=["360x360", "600x600"])
        modes = [shop.film("maker/film"), shop.film("other/banner")]
        shop.registry()

    def tune(*typed: str) -> list[str]:
        return completed(tmp_path / "registry", "tune", "x.txt", *typed)

    assert tune("--like", "") == modes
    assert tune("--resolution", "") == ["360x360", "600x600", "600x1200"]
    assert tune("--printer", "fine", "--resolution", "") == ["600x600", "600x1200"]
    assert tune("--printer", "wide", "--resolution", "") == []
    assert tune("--draft", "") == ["maker/film/", "other/banner/"]
    assert tune("--substrate", "banner", "--draft", "") == ["other/banner/"]
    assert tune("--substrate", "maker/film", "--draft", "o") == []
    begun = offered(tmp_path / "registry", "tune", "x.txt", "--draft", "m")
    assert [(item.value, item.goes_on) for item in begun] == [("maker/film/", True)]


def test_ids_of_all_kinds_are_completed_where_none_is_named(counter: Path) -> None:
    assert given(counter, complete_records(), "lumenfold/be") == ["lumenfold/best/mode", "lumenfold/best"]
    assert given(counter, complete_records(), "mill-lane/o") == ["mill-lane/one"]


def test_versions_are_completed_behind_the_at_newest_first_with_day_and_standing(
    small_registry: Path,
) -> None:
    found = {item.value: item.help for item in offered(small_registry, "show", "backlit-16@")}
    assert found == {
        "backlit-16@r4": "landed 2025-11-03, on trial",
        "backlit-16@r3": "landed 2025-09-15, known-good",
        "backlit-16@r2": "landed 2025-09-11, on trial",
        "backlit-16@r1": "landed 2025-09-01, on trial",
        "backlit-16@site:": "in force at a site or on a unit",
    }
    assert next(iter(found)) == "backlit-16@r4"
    assert completed(small_registry, "diff", small.MODE, f"{small.MODE}@r2") == [f"{small.MODE}@r2"]
    assert completed(small_registry, "show", f"{small.FILM}@") == [f"{small.FILM}@r1"]
    assert completed(small_registry, "show", "nothing-such@") == []


def test_a_draft_is_completed_where_there_is_one(own_registry: Path) -> None:
    assert completed(own_registry, "show", "backlit-16@d") == []
    file = own_registry / small.mode_path(small.MODE)
    file.write_bytes(file.read_bytes() + b" ")
    assert completed(own_registry, "show", "backlit-16@d") == ["backlit-16@draft"]


def test_sites_and_units_with_the_modes_printer_are_completed(small_registry: Path) -> None:
    assert completed(small_registry, "show", "backlit-16@site:") == [
        "backlit-16@site:harbour-yard",
        "backlit-16@site:mill-lane",
        "backlit-16@site:harbour-yard/left",
        "backlit-16@site:mill-lane/one",
    ]
    assert completed(small_registry, "show", "backlit-16@site:m")[0] == "backlit-16@site:mill-lane"
    assert completed(small_registry, "show", f"{small.FILM}@site:") == []


def test_where_no_version_may_be_named_none_is_offered(small_registry: Path) -> None:
    assert completed(small_registry, "find", "--for", "concourse-light-box@") == []


def test_fields_are_those_of_the_record_also_by_a_shortened_id(small_registry: Path) -> None:
    assert completed(small_registry, "history", "backlit-16", "--field", "heat.cu") == ["heat.cure_c"]
    assert completed(small_registry, "history", "backlit-16", "--field", "hea")[0] == "heat"
    assert completed(small_registry, "history", "dayfilm-210", "--field", "heat.cu") == []
    assert "heat.max_web_c" in completed(small_registry, "history", "dayfilm-210", "--field", "heat.")
    assert given(small_registry, complete_fields(), "heat.cu", record="nothing-such") == ["heat.cure_c"]
    assert given(small_registry, complete_assignments(), "coat", record="dayfilm-210") == ["coating="]


BREAKS = " \t\n\"'@><=;|&(:"
"""What parts words in bash, unless somebody changes it."""


def in_bash(tmp_path: Path, folder: Path, line: str) -> list[str]:
    """Return what bash itself is told to offer for a line, by the function that it is given to source."""
    program = "from registry.cli.main import main; main(prog_name='litstock')"
    command = tmp_path / "litstock"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -c "{program}" "$@"\n')
    command.chmod(0o755)
    script = """
        eval "$(_LITSTOCK_COMPLETE=bash_source litstock)"
        compopt() { echo "compopt $1 $2"; }
        COMP_LINE=$1 COMP_POINT=${#1} COMP_WORDBREAKS=$2
        _litstock_completion litstock
        printf '%s\\n' "${COMPREPLY[@]}"
    """
    environ = {**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}", "LITSTOCK_REGISTRY": str(folder)}
    asked = ["bash", "-c", script, "bash", line, BREAKS]
    ended = subprocess.run(asked, capture_output=True, text=True, env=environ, check=True)
    assert ended.stderr == ""
    return ended.stdout.splitlines()


def test_bash_is_told_only_what_stands_behind_the_at(tmp_path: Path, small_registry: Path) -> None:
    assert in_bash(tmp_path, small_registry, "litstock show backlit-16@r") == [
        "r4  (landed 2025-11-03, on trial)",
        "r3  (landed 2025-09-15, known-good)",
        "r2  (landed 2025-09-11, on trial)",
        "r1  (landed 2025-09-01, on trial)",
    ]
    assert in_bash(tmp_path, small_registry, "litstock show backlit-16@r3") == ["r3"]
    assert in_bash(tmp_path, small_registry, "litstock show backlit-16@s") == ["compopt -o nospace", "site:"]
    assert in_bash(tmp_path, small_registry, "litstock show backlit-16@site:mill-lane/") == ["mill-lane/one"]


def test_bash_puts_no_space_behind_what_is_to_go_on(tmp_path: Path, small_registry: Path) -> None:
    line = "litstock revise backlit-16 --set "
    assert in_bash(tmp_path, small_registry, f"{line}mirr") == ["compopt -o nospace", "mirrored="]
    assert in_bash(tmp_path, small_registry, f"{line}mirrored=") == ["yes", "no"]
    assert in_bash(tmp_path, small_registry, f"{line}mirrored=y") == ["yes"]


def test_bash_keeps_nothing_of_a_word_in_open_quotes(tmp_path: Path, small_registry: Path) -> None:
    line = "litstock find --where 'coating=a"
    assert in_bash(tmp_path, small_registry, line) == ["coating=aqueous"]
    assert in_bash(tmp_path, small_registry, "litstock show ")[0] == "concourse-light-box"
