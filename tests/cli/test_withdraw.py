"""Withdrawing what others still need, or what is in use somewhere."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests import small
from tests.cli.conftest import Litstock
from tests.cli.test_writing import git

SITE = "records/sites/harbour-yard"
GONE = ("--reason", "Sold")


def document(registry: Path, path: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((registry / path).read_bytes())
    return found


def test_a_site_with_machines_is_not_withdrawn_and_they_are_named(litstock: Litstock, registry: Path) -> None:
    said = litstock("withdraw", "harbour-yard", *GONE, code=1)
    assert said.stderr == (
        "litstock: nothing was written, because the site harbour-yard is still used:\n"
        "  unit: harbour-yard/left\n"
        "  display: harbour-yard/concourse-a\n"
        "these cannot be without it: withdraw them first, or all at once with --with-all\n"
    )
    assert git(registry, "status", "--porcelain") == ""


def test_a_site_is_withdrawn_with_all_that_cannot_be_without_it(litstock: Litstock, registry: Path) -> None:
    said = litstock("withdraw", "harbour-yard", *GONE, "--with-all")
    paths = [f"{SITE}/{name}.json" for name in ("site", "displays/concourse-a", "units/left")]
    assert sorted(said.stdout.splitlines()) == sorted(paths)
    reasons = [document(registry, path)["withdrawn"]["reason"] for path in paths]
    assert reasons == ["Sold", "its site is withdrawn: Sold", "its site is withdrawn: Sold"]
    assert f"beware: harbour-yard/left last used {small.MODE} r4: a run on 2025-11-12 10:00" in said.stderr
    assert "beware: complaint harbour-yard/reddish-concourse is still open" in said.stderr
    assert said.stderr.count("is still open") == 1


def test_a_printer_is_withdrawn_with_its_modes_and_machines(litstock: Litstock, registry: Path) -> None:
    refused = litstock("withdraw", "broadreach-64", *GONE, code=1).stderr
    assert f"  print modes: {small.MODE}, {small.FRONT}\n" in refused
    assert "  units: harbour-yard/left, mill-lane/one\n" in refused
    litstock("withdraw", "broadreach-64", *GONE, "--with-all")
    mode = document(registry, small.mode_path(small.MODE))
    assert (mode["status"], mode["withdrawn"]["reason"]) == ("withdrawn", "its printer is withdrawn: Sold")


def test_what_can_name_another_is_told_how(litstock: Litstock) -> None:
    said = litstock("withdraw", "concourse-light-box", *GONE, "--with-all", code=1).stderr
    assert f"  substrate: {small.FILM}\n" in said
    assert "these can name another: litstock revise ID --set applications=… or --set application=…" in said


def test_a_refusal_as_json_names_what_still_needs_it(litstock: Litstock) -> None:
    told = json.loads(litstock("withdraw", "harbour-yard", *GONE, "--format", "json", code=1).stdout)
    assert "harbour-yard/left" in told["refused"]
    needing = [(each["code"], each["path"], each["pointer"]) for each in told["findings"]]
    assert needing == [
        ("withdrawn-reference", f"{SITE}/units/left.json", "/site"),
        ("withdrawn-reference", f"{SITE}/displays/concourse-a.json", "/site"),
    ]


def test_where_a_withdrawn_mode_is_in_use_is_said_as_json_too(litstock: Litstock) -> None:
    told = json.loads(litstock("withdraw", small.MODE, *GONE, "--dry-run", "--format", "json").stdout)
    assert told["beware"] == [
        f"harbour-yard/left last used {small.MODE} r4: a run on 2025-11-12 10:00 proves it",
        "complaint harbour-yard/reddish-concourse is still open",
    ]


def test_the_registrys_own_record_is_not_withdrawn(litstock: Litstock) -> None:
    assert "everything else rests on it" in litstock("withdraw", "registry", *GONE, code=2).stderr


def test_a_draft_is_withdrawn_at_the_revision_that_it_has(litstock: Litstock, clone: Path) -> None:
    litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
    litstock("withdraw", small.MODE, "--reason", "It re-wets")
    assert document(clone, small.mode_path(small.MODE))["revision"] == 5


def test_nothing_is_written_for_a_withdrawn_shop_nor_taken_into_use_there(litstock: Litstock) -> None:
    litstock("withdraw", "harbour-yard", *GONE, "--with-all")
    adopt = ("adopt", f"{small.MODE}@r3", "--unit", "harbour-yard/left", "--site", "mill-lane")
    refused = litstock(*adopt, code=2).stderr
    assert "nothing is taken into use there: harbour-yard/left is withdrawn" in refused
    note = ("log-event", "alignment", "--unit", "left", "--what", "Dusted")
    assert "harbour-yard is withdrawn since" in litstock(*note, "--site", "harbour-yard", code=2).stderr


def test_a_machine_may_be_named_by_the_end_of_its_id_and_its_shop_writes(
    litstock: Litstock, registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("LITSTOCK_SITE")
    path = litstock("log-event", "alignment", "--unit", "left", "--what", "Dusted").stdout.strip()
    assert (document(registry, path)["unit"], path.split("/")[2]) == ("harbour-yard/left", "harbour-yard")
    confirmed = litstock(
        "confirm",
        f"{small.MODE}@r4",
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--unit",
        "one",
    ).stdout.strip()
    assert document(registry, confirmed)["unit"] == "mill-lane/one"
    run = litstock("run", f"{small.MODE}@r4", "--job", "J7", "--unit", "one", "--display", "concourse-a")
    assert document(registry, run.stdout.strip())["display"] == "harbour-yard/concourse-a"
