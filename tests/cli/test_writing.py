"""The commands that write: each changes files, checks them, and commits with the user's identity."""

import json
import os
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests import small
from tests.check.small import icc_profile
from tests.cli.conftest import Litstock

MODE_PATH = small.mode_path(small.MODE)


def git(folder: Path, *arguments: str) -> str:
    done = subprocess.run(["git", "-C", str(folder), *arguments], capture_output=True, text=True, check=True)
    return done.stdout.strip()


def document(folder: Path, path: str = MODE_PATH) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / path).read_bytes())
    return found


def test_a_revision_is_written_checked_and_committed(litstock: Litstock, registry: Path) -> None:
    before = document(registry)
    result = litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
    after = document(registry)
    assert result.stdout == f"{MODE_PATH}\n"
    assert after["heat"]["cure_c"] == 99
    assert (after["revision"], after["reason"]) == (before["revision"] + 1, "Cooler")
    assert git(registry, "log", "-1", "--format=%an %s") == (
        f"colour specialist, mill-lane Revise {small.MODE}: Cooler"
    )
    assert git(registry, "show", "--name-only", "--format=") == MODE_PATH
    assert git(registry, "status", "--porcelain") == ""


def test_a_value_that_is_changed_without_a_source_is_told_before_it_is_committed(litstock: Litstock) -> None:
    probed = ("kind=measured", "date=2025-11-01", "instrument=web-probe")
    measured = (*(f"sources./heat.{each}" for each in probed), "heat.cure_c=99")
    first = litstock(
        "revise", small.MODE, *(word for each in measured for word in ("--set", each)), "--reason", "Read"
    )
    assert "beware" not in first.stderr
    again = litstock("revise", small.MODE, "--set", "heat.cure_c=97", "--reason", "Cooler")
    beware, committed = again.stderr.split("committed")
    assert "beware: no source was given for heat.cure_c (which was measured 2025-11-01)" in beware
    assert "--set sources./heat/cure_c.kind=data-sheet" in beware
    assert committed
    told = ("--set", "heat.cure_c=96", "--set", "sources./heat.date=2025-11-20")
    assert "beware" not in litstock("revise", small.MODE, *told, "--reason", "Read again").stderr


def test_a_refused_change_leaves_disk_and_history_as_they_were(litstock: Litstock, registry: Path) -> None:
    head, data = git(registry, "rev-parse", "HEAD"), (registry / MODE_PATH).read_bytes()
    result = litstock("revise", small.MODE, "--set", "heat.cure_c=500", "--reason", "Hot", code=1)
    assert "nothing was written" in result.stderr
    assert "found 500 °C, allowed from 20 to 180 °C" in result.stderr
    assert (git(registry, "rev-parse", "HEAD"), (registry / MODE_PATH).read_bytes()) == (head, data)
    assert git(registry, "status", "--porcelain") == ""


REFUSED: dict[str, tuple[tuple[str, ...], int, list[str]]] = {
    "a rule": (("revise", small.MODE, "--set", "heat.cure_c=500", "--reason", "Hot"), 1, ["schema"]),
    "no such setting": (("revise", small.MODE, "--set", "heat.cure=5", "--reason", "Hot"), 2, []),
    "no such record": (("withdraw", "nobody/nothing", "--reason", "Gone"), 2, []),
    "a patch with faults": (
        ("revise", small.MODE, "--patch", "-", "--reason", "Hot"),
        3,
        ["unreadable", "unreadable"],
    ),
}


@pytest.mark.parametrize(("arguments", "code", "codes"), REFUSED.values(), ids=REFUSED)
def test_a_refusal_is_told_as_json_too(
    litstock: Litstock, arguments: tuple[str, ...], code: int, codes: list[str]
) -> None:
    given = '{\n "heat": {"cure_c": NaN, "dry_c": null},\n "heat": {}}'
    result = litstock(*arguments, "--format", "json", code=code, given=given)
    told = json.loads(result.stdout)
    assert told["refused"] in result.stderr
    assert [each["code"] for each in told["findings"]] == codes
    assert (told["exit_code"], told["commit"]) == (code, None)
    assert litstock(*arguments, code=code, given=given).stdout == ""


def test_the_findings_of_a_refusal_are_those_of_check(litstock: Litstock) -> None:
    arguments = ("revise", small.MODE, "--set", "heat.cure_c=500", "--reason", "Hot", "--format", "json")
    (found,) = json.loads(litstock(*arguments, code=1).stdout)["findings"]
    expected = {
        "code": "schema",
        "path": MODE_PATH,
        "pointer": "/heat/cure_c",
        "found": "500 °C",
        "allowed": "from 20 to 180 °C",
        "remedy": "give the value in °C, within the range",
    }
    assert found | expected == found
    assert found["line"] > 1


@pytest.mark.parametrize("option", ["--from", "--like"])
def test_a_file_that_cannot_be_read_is_refused_with_its_name_and_every_line(
    litstock: Litstock, tmp_path: Path, option: str
) -> None:
    file = tmp_path / "half.json"
    file.write_text('{\n  "title": "Half",\n  "title": "Twice",\n  "maker": null,\n', encoding="utf-8")
    arguments = ("new", "printer", "wide-9", option, str(file), "--reason", "Ours")
    said = litstock(*arguments, code=3).stderr
    places = (f"{file}:3:3: /title", f"{file}:4:12: /maker", f"{file}:4:17: ")
    assert [place for place in places if place not in said] == []
    told = json.loads(litstock(*arguments, "--format", "json", code=3).stdout)
    assert {each["path"] for each in told["findings"]} == {str(file)}


def test_a_dry_run_shows_the_change_and_writes_nothing(litstock: Litstock, registry: Path) -> None:
    head = git(registry, "rev-parse", "HEAD")
    result = litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler", "--dry-run")
    (line,) = [line for line in result.stdout.splitlines() if "curing set-point" in line]
    assert line.split() == ["curing", "set-point", "104", "°C", "99", "°C", "-5", "°C", "indirect", "model"]
    assert git(registry, "rev-parse", "HEAD") == head
    assert git(registry, "status", "--porcelain") == ""


def test_the_answer_as_json_names_files_changes_and_commit(litstock: Litstock, registry: Path) -> None:
    revise = ("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler", "--format", "json")
    tried = json.loads(litstock(*revise, "--dry-run").stdout)
    assert (tried["dry_run"], tried["commit"], tried["landed"]) == (True, None, False)
    done = json.loads(litstock(*revise).stdout)
    assert (done["files"], done["landed"]) == ([MODE_PATH], True)
    assert done["commit"] == git(registry, "rev-parse", "HEAD")
    assert done["changes"] == tried["changes"]
    assert [each["after"] for each in done["changes"][MODE_PATH] if each["path"] == "heat.cure_c"] == [99]


def test_somebodys_unsaved_edit_of_the_record_is_not_overwritten(litstock: Litstock, registry: Path) -> None:
    edited = (registry / MODE_PATH).read_bytes().replace(b'"cure_c": 104', b'"cure_c": 101')
    (registry / MODE_PATH).write_bytes(edited)
    result = litstock("revise", small.MODE, "--set", "heat.dry_c=50", "--reason", "Cooler", code=3)
    assert MODE_PATH in result.stderr
    assert (registry / MODE_PATH).read_bytes() == edited


def test_a_mode_becomes_known_good_once_it_is_confirmed_and_measured(
    litstock: Litstock, registry: Path, tmp_path: Path
) -> None:
    refused = litstock("revise", small.MODE, "--set", "status=known-good", "--reason", "Looks fine", code=1)
    assert {"[not-confirmed]", "[not-measured]"} <= set(refused.stderr.split())
    reading = tmp_path / "lit.txt"
    geometry = b'MEASUREMENT_GEOMETRY "transmission, 0:d"\nNUMBER_OF_FIELDS 5'
    reading.write_bytes(small.READINGS.replace(b"NUMBER_OF_FIELDS 5", geometry))
    litstock("revise", small.MODE, "--attach", str(reading), "--reason", "Read in transmission")
    litstock(
        "confirm",
        f"{small.MODE}@r5",
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--unit",
        small.OTHER_UNIT,
    )
    litstock("revise", small.MODE, "--set", "status=known-good", "--reason", "Confirmed at mill-lane")
    assert document(registry)["status"] == "known-good"
    shown = litstock("slug", small.MODE)
    assert shown.stdout.split()[:2] == [small.MODE, "r6"]


def test_adopting_takes_the_last_known_good_revision_while_the_newest_is_on_trial(
    litstock: Litstock, registry: Path
) -> None:
    result = litstock("adopt", small.MODE, "--unit", small.OTHER_UNIT, "--at", "2025-12-01T08:00")
    assert "r3: the last known-good; r4 is on trial, name @r4 to take that" in result.stderr
    event = document(registry, result.stdout.strip())
    assert (event["mode_revision"], event["at"]) == (3, "2025-12-01T08:00:00+01:00")
    named = litstock("adopt", f"{small.MODE}@r4", "--unit", small.OTHER_UNIT, "--at", "2025-12-02T08:00")
    assert document(registry, named.stdout.strip())["mode_revision"] == 4


def test_a_run_is_recorded_from_what_a_cards_code_holds(litstock: Litstock, registry: Path) -> None:
    slug = litstock("slug", f"{small.MODE}@r3", "--unit", small.OTHER_UNIT).stdout.strip()
    result = litstock("run", slug, "--job", "ML 7/25", "--roll-lot", "L-20", "--at", "2025-12-01T10:00")
    run = document(registry, result.stdout.strip())
    assert result.stdout.strip() == "records/sites/mill-lane/runs/2025-12-01-ml-7-25.json"
    assert (run["mode_revision"], run["unit"], run["roll_lot"]) == (3, small.OTHER_UNIT, "L-20")


def test_a_code_whose_settings_never_landed_is_not_recorded(litstock: Litstock) -> None:
    code = f"litstock:{small.MODE}@r3#{'0' * 12}"
    result = litstock("run", code, "--job", "J9", "--unit", small.OTHER_UNIT, code=2)
    assert f"{small.MODE} has no settings {'0' * 12}: no branch here has or had them" in result.stderr


def test_events_name_what_they_happened_to(litstock: Litstock, registry: Path) -> None:
    result = litstock(
        *("log-event", "lamp-all-replaced", "--display", "harbour-yard/concourse-a"),
        *("--what", "All bars, one delivery", "--at", "2025-12-01T07:00", "--site", "harbour-yard"),
    )
    event = document(registry, result.stdout.strip())
    assert (event["kind"], event["display"]) == ("lamp-all-replaced", "harbour-yard/concourse-a")
    refused = litstock("log-event", "cleaned", "--what", "Dusted", code=2)
    assert "say what it happened to" in refused.stderr


def test_a_withdrawn_mode_stays_and_is_offered_no_more(litstock: Litstock, registry: Path) -> None:
    litstock("withdraw", small.FRONT, "--reason", "The banner is no longer made")
    assert document(registry, small.mode_path(small.FRONT))["status"] == "withdrawn"
    refused = litstock("adopt", small.FRONT, "--unit", small.OTHER_UNIT, code=2)
    assert "is withdrawn" in refused.stderr


def test_a_new_mode_starts_like_another_and_on_trial(litstock: Litstock, registry: Path) -> None:
    rid = f"{small.FILM}/backlit-20"
    result = litstock(
        *("new", "print-mode", rid, "--like", f"{small.MODE}@r3", "--set", "motion.passes=20"),
        *("--set", "motion.speed_m2_h=4", "--set", "layers.colour.passes=20"),
        *("--title", "Dayfilm backlit, 20 passes", "--reason", "Slower, for heavy ink"),
    )
    made = document(registry, result.stdout.strip())
    assert (made["motion"]["passes"], made["status"], made["revision"]) == (20, "trial", 1)
    assert made["sources"]["/heat/cure_c"]["note"] == f"copied from {small.MODE} r3"


def test_a_new_record_from_a_file_with_faults_hears_of_all_of_them(litstock: Litstock) -> None:
    given = json.dumps({"construction": "foil", "base": "polyester", "coating": "aqueous", "thicknes_um": 3})
    result = litstock("new", "substrate", "a/b", "--from", "-", "--reason", "Try", code=1, given=given)
    assert "'foil'" in result.stderr.replace('"', "'")
    assert "thicknes_um" in result.stderr


def test_a_measurement_is_attached_and_named_in_the_mode(
    litstock: Litstock, registry: Path, tmp_path: Path
) -> None:
    file = tmp_path / "Second reading.txt"
    file.write_bytes(small.READINGS.replace(b"38.4", b"38.6"))
    litstock("revise", small.MODE, "--attach", str(file), "--reason", "Read again")
    assert document(registry)["evidence"]["measurement"]["file"] == "second-reading.txt"
    attached = registry / f"records/substrates/{small.FILM}/measurements/second-reading.txt"
    assert attached.read_bytes() == file.read_bytes()


def test_a_profile_that_is_attached_does_not_take_over_the_source_of_the_one_before(
    litstock: Litstock, registry: Path, tmp_path: Path
) -> None:
    source = {"kind": "measured", "date": "2025-03-01", "instrument": "bench-spectro"}
    told = ("--set", *" --set ".join(f"sources./colour.{name}={it}" for name, it in source.items()).split())
    files = [tmp_path / "first.icc", tmp_path / "second.icc"]
    for number, file in enumerate(files):
        file.write_bytes(icc_profile(body=bytes([number] * 4)))
    first = ("--attach", str(files[0]), *told)
    assert "beware" not in litstock("revise", small.MODE, *first, "--reason", "Profiled").stderr
    assert document(registry)["sources"]["/colour"] == source
    beware = litstock("revise", small.MODE, "--attach", str(files[1]), "--reason", "Profiled again").stderr
    said = document(registry)["sources"]
    assert {said[f"/colour/profile/{name}"]["kind"] for name in ("file", "sha256")} == {"unknown"}
    assert said["/colour"] == source
    assert "colour.profile.file" in beware.split("committed")[0]


@pytest.mark.parametrize("sources", [5, "ab", ["a"], {"/heat": 5}])
def test_a_patch_with_sources_of_a_wrong_shape_is_refused(litstock: Litstock, sources: Any) -> None:
    patch = json.dumps({"sources": sources})
    said = litstock("revise", small.MODE, "--patch", "-", "--reason", "Hot", given=patch, code=1).stderr
    assert "is of the wrong type" in said


def test_a_patch_that_gives_the_same_source_again_gives_it(litstock: Litstock, registry: Path) -> None:
    source = {"kind": "data-sheet", "date": "2025-11-01"}
    for number in (99, 98):
        patch = json.dumps({"heat": {"cure_c": number}, "sources": {"/heat/cure_c": source}})
        said = litstock("revise", small.MODE, "--patch", "-", "--reason", f"{number}", given=patch).stderr
        assert "beware" not in said
    assert document(registry)["sources"]["/heat/cure_c"] == source


def test_a_slip_in_the_pointer_of_a_source_is_told(litstock: Litstock) -> None:
    slip = ("--set", "sources./heet.kind=data-sheet", "--set", "heat.cure_c=99")
    said = litstock("revise", small.MODE, *slip, "--reason", "Its data sheet").stderr
    assert "[source-of-nothing]" in said


def test_trials_are_added_to_the_list(litstock: Litstock, registry: Path) -> None:
    trial = "trials:what=pencil,date=2025-12-01,site=mill-lane,passed=yes,on=finished-print,pencil=2H"
    litstock("revise", small.MODE, "--add", trial, "--reason", "Harder behind its laminate")
    assert document(registry)["trials"][-1]["pencil"] == "2H"


def test_a_merge_patch_is_applied(litstock: Litstock, registry: Path) -> None:
    patch = json.dumps({"heat": {"dry_c": None, "airflow_pct": 60}})
    litstock("revise", small.MODE, "--patch", "-", "--reason", "Fan", given=patch)
    assert document(registry)["heat"].keys() == {"cure_c", "airflow_pct", "web_centre_c", "web_edge_c"}


def test_without_a_site_the_writer_is_asked_for_one(
    litstock: Litstock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("LITSTOCK_SITE")
    result = litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler", code=2)
    assert "say which site writes: --site, or LITSTOCK_SITE, one of harbour-yard, mill-lane" in result.stderr


def test_without_an_identity_git_is_told_how(litstock: Litstock, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name.startswith(("GIT_AUTHOR", "GIT_COMMITTER")) or name == "EMAIL":
            monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_CONFIG_KEY_0", "user.useConfigOnly")
    monkeypatch.setenv("GIT_CONFIG_VALUE_0", "true")
    result = litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler", code=3)
    assert "git config" in result.stderr


def test_in_a_clone_a_revision_waits_for_its_landing(litstock: Litstock, clone: Path) -> None:
    first = litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
    litstock("revise", small.MODE, "--set", "heat.cure_c=98", "--reason", "Cooler yet")
    assert "not shared yet" in first.stderr
    assert document(clone)["revision"] == 5
    assert litstock("slug", f"{small.MODE}@draft").stdout.split()[1] == "r4-draft"
    assert litstock("slug", f"{small.MODE}@r4").exit_code == 0


def test_nothing_was_judged_or_printed_before_its_settings_were_written(litstock: Litstock) -> None:
    early = litstock(
        "confirm",
        f"{small.MODE}@r4",
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--date",
        "2025-10-01",
        code=2,
    )
    assert "2025-10-01 lies before 2025-11-03, when the settings of" in early.stderr
    run = ("run", f"{small.MODE}@r3", "--unit", small.OTHER_UNIT, "--job", "J1")
    assert "lies before 2025-09-01" in litstock(*run, "--at", "2025-08-01T10:00", code=2).stderr
    litstock(*run, "--at", "2025-09-05T10:00")


def test_a_draft_is_confirmed_at_the_revision_that_it_will_land_with(litstock: Litstock, clone: Path) -> None:
    litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
    made = litstock(
        "confirm",
        "backlit-16@draft",
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--unit",
        small.OTHER_UNIT,
    )
    assert "not known good yet" in made.stderr
    confirmation = document(clone, made.stdout.strip())
    assert (confirmation["mode"], confirmation["mode_revision"]) == (small.MODE, 5)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--set", "heat.cure_c=99", "--set", "heat.cure_c=98"), "heat.cure_c is given twice"),
        (("--set", "title=\udcff"), "is not UTF-8"),
        (("--patch", "-"), "there is nothing to revise"),
    ],
)
def test_what_cannot_be_meant_is_refused(litstock: Litstock, arguments: tuple[str, ...], words: str) -> None:
    assert words in litstock("revise", small.MODE, *arguments, "--reason", "x", code=2, given="{}").stderr


def test_what_is_revised_is_what_is_there_now(litstock: Litstock) -> None:
    arguments = ("revise", f"{small.MODE}@r3", "--set", "heat.cure_c=99", "--reason", "x")
    assert "leave the @… out" in litstock(*arguments, code=2).stderr


@pytest.mark.parametrize(
    ("now", "says"),
    [
        ("2025-12-01T09:00:00+01:00", "the clock is behind: it says 2025-12-01T09:00:00+01:00 and the last"),
        (
            "2037-12-01T09:00:00+01:00",
            "the clock has run ahead: it says 2037-12-01T09:00:00+01:00 and the last",
        ),
    ],
)
def test_a_clock_before_the_last_landing_or_far_beyond_it_writes_nothing(
    litstock: Litstock, registry: Path, monkeypatch: pytest.MonkeyPatch, now: str, says: str
) -> None:
    monkeypatch.setenv("GIT_COMMITTER_DATE", "2026-01-05T09:00:00+01:00")
    git(registry, "commit", "-q", "--allow-empty", "-m", "Later")
    before = git(registry, "rev-parse", "HEAD")
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_DATE", now)
    told = litstock("revise", small.FILM, "--set", "thickness_um=215", "--reason", "Measured", code=3).stderr
    assert says in told
    assert "2026-01-05T09:00:00+01:00" in told
    assert git(registry, "rev-parse", "HEAD") == before
    assert git(registry, "status", "--porcelain") == ""
