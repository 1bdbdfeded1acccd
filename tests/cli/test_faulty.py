"""A record that does not fit its schema is told as one that cannot be read, whoever meets it."""

import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from registry import canonical
from tests import small
from tests.cli.conftest import Litstock

MODE, UNIT = small.mode_path(small.MODE), "records/sites/harbour-yard/units/left.json"
FILM = f"records/substrates/{small.FILM}/substrate.json"


def land(folder: Path, path: str, patch: dict[str, Any]) -> None:
    document = canonical.merge_patch(canonical.read((folder / path).read_bytes()), patch)
    (folder / path).write_text(json.dumps(document, indent=2))
    subprocess.run(["git", "commit", "-qam", "By hand"], cwd=folder, check=True)


def test_find_says_what_it_leaves_out_and_why(registry: Path, litstock: Litstock) -> None:
    land(registry, MODE, {"layers": {"what": "colour"}})
    words = f"left out, since they cannot be read: {MODE}; litstock check says more\n"
    for form in ("text", "json", "csv"):
        result = litstock("find", "--format", form, code=1)
        assert result.stderr == words
    answer = json.loads(litstock("find", "--format", "json", code=1).stdout)
    assert answer["unreadable"] == [{"record": MODE, "why": "does not fit its schema at /layers"}]
    assert answer["asked"] == 1


def test_a_question_for_it_names_the_last_revision_that_can_be_read(
    registry: Path, litstock: Litstock
) -> None:
    land(registry, MODE, {"sources": {"/heat": "data sheet"}})
    fault = "does not fit its schema at /sources/~1heat"
    for command in (("show",), ("slug",), ("light", "harbour-yard/concourse-a"), ("find", "--why")):
        said = litstock(*command, small.MODE, code=2).stderr
        more = f"litstock check says more; {small.MODE}@r4 is the last"
        assert re.search(f"{MODE}, as it landed on [0-9-]+, {fault}; {more}", said)
    assert "r4" in litstock("show", f"{small.MODE}@r4").stdout
    assert fault in litstock("history", small.MODE).stdout
    assert fault in litstock("diff", "--since", "2025-12-01", code=1).stdout
    land(registry, MODE, {"sources": None, "revision": 5})
    assert "r5" in litstock("show", small.MODE).stdout


def test_nothing_is_built_upon_it_and_every_fault_is_told(registry: Path, litstock: Litstock) -> None:
    land(registry, MODE, {"trials": {"what": "re-wet"}, "revision": None})
    revise = ("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
    for command in (revise, ("withdraw", small.MODE, "--reason", "Old")):
        said = litstock(*command, code=3).stderr
        assert f"{MODE}:" in said
        assert ": /trials: 'trials' is of the wrong type: found" in said
        assert ": /revision: 'revision' is missing" in said
        assert said.endswith("mend the file and commit it, then try again\n")
    refused = json.loads(litstock(*revise, "--format", "json", code=3).stdout)
    assert {each["pointer"] for each in refused["findings"]} == {"/trials", "/revision"}
    assert "is the last that can be read" in litstock("slug", small.MODE, code=2).stderr
    land(registry, MODE, {"trials": None, "revision": 5})
    litstock(*revise)


def test_a_mend_that_has_not_landed_keeps_its_number(registry: Path, clone: Path, litstock: Litstock) -> None:
    land(registry, MODE, {"trials": {"what": "re-wet"}, "revision": "five"})
    subprocess.run(["git", "pull", "-q"], cwd=clone, check=True)
    land(clone, MODE, {"trials": None, "revision": 6, "reason": "Mended"})
    litstock("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
    assert canonical.read((clone / MODE).read_bytes())["revision"] == 6


def test_other_shops_write_while_one_has_a_record_that_cannot_be_read(
    registry: Path, litstock: Litstock
) -> None:
    land(registry, "records/sites/harbour-yard/site.json", {"instruments": "bench-1"})
    event = ("log-event", "head-replaced", "--what", "Black head", "--unit", "mill-lane/one")
    litstock(*event, "--dry-run")
    said = litstock(*event, "--site", "harbour-yard", code=3).stderr
    assert "/instruments: 'instruments' is of the wrong type" in said
    said = litstock(*event, "--site", "nowhere", code=2).stderr
    assert "there is no site 'nowhere': --site, or LITSTOCK_SITE, one of mill-lane" in said


def test_a_confirmation_that_cannot_be_read_says_nothing(registry: Path, litstock: Litstock) -> None:
    path = registry / "records/sites/harbour-yard/confirmations/2025-09-12-first.json"
    path.write_text(path.read_text().replace('"good"', "null"))
    subprocess.run(["git", "commit", "-qam", "By hand"], cwd=registry, check=True)
    confirm = (
        "confirm",
        f"{small.MODE}@r3",
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--unit",
        "harbour-yard/left",
    )
    litstock(*confirm, "--site", "harbour-yard", "--dry-run")
    shown = litstock("show", f"{small.MODE}@r3").stdout
    assert "its record says known-good, but nobody has confirmed" in shown


@pytest.mark.parametrize("given", ["--from", "--like"])
def test_a_file_of_a_wrong_shape_is_refused_with_every_place(
    litstock: Litstock, tmp_path: Path, given: str
) -> None:
    file = tmp_path / "film.json"
    file.write_text('{"title": "Film", "heat": "hot",\n "sources": {"/heat": "data sheet"}}')
    new = ("new", "substrate", "maker/film", given, str(file), "--reason", "New")
    said = litstock(*new, "--set", "heat.max_web_c=90", code=1).stderr
    assert f"{file}:1:19: /heat: 'heat limits' is of the wrong type" in said
    assert f"{file}:2:14: /sources/~1heat: " in said
