"""The card and the slug from the command line, and reading them back."""

import copy
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from registry.question.registry import Registry
from tests import small


def litstock(folder: Path, *arguments: str, code: int = 0) -> Result:
    result = CliRunner().invoke(main, ["-C", str(folder), *arguments])
    assert result.exit_code == code, result.output
    return result


def text_of(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_a_card_is_of_the_last_known_good_revision(small_registry: Path, tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    result = litstock(small_registry, "card", small.MODE, "-o", str(file), "--date", "2025-12-01")
    assert result.stdout == f"{file}\n"
    assert result.stderr == "this is r3, the last known-good; r4 is on trial\n"
    said = text_of(file.read_bytes())
    assert "Dayfilm 210" in said
    assert "r3" in said
    assert "ON TRIAL" not in said


def test_a_card_of_the_trial_says_so_in_large_letters(small_registry: Path, tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    litstock(small_registry, "card", f"{small.MODE}@r4", "-o", str(file), "--date", "2025-12-01")
    assert "ON TRIAL" in text_of(file.read_bytes()).upper()


def test_a_card_of_the_trial_says_why_it_is_on_trial_gravest_first(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")

    def why(number: int) -> str:
        card = litstock(own_registry, "card", f"{small.MODE}@r{number}", "--format", "json").stdout
        line: str = json.loads(card)["banner"]["lines"][0]
        return line

    assert why(4) == "r4 is on trial: nobody has confirmed these settings."
    confirm = (
        "--unit",
        small.UNIT,
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--date",
        "2025-12-02",
    )
    litstock(own_registry, "confirm", f"{small.MODE}@r4", *confirm)
    assert "nobody" not in why(4)
    path = own_registry / small.mode_path(small.MODE)
    mode = json.loads(path.read_bytes()) | {"revision": 5, "reason": "Tried again"}
    mode["trials"][0] |= {"date": "2025-12-03", "passed": False}
    path.write_text(json.dumps(mode), encoding="utf-8")
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "It failed"], check=True)
    assert why(5) == "r5 is on trial: its re-wet trial FAILED on 2025-12-03 at harbour-yard."


def test_two_cards_of_one_date_are_the_same_bytes(small_registry: Path, tmp_path: Path) -> None:
    files = [tmp_path / name for name in ("one.pdf", "two.pdf")]
    for file in files:
        litstock(small_registry, "card", small.MODE, "-o", str(file), "--date", "2025-12-01")
    assert files[0].read_bytes() == files[1].read_bytes()


def test_unit_values_appear_only_for_a_named_unit(small_registry: Path) -> None:
    without = json.loads(litstock(small_registry, "card", small.MODE, "--format", "json").stdout)
    named = json.loads(
        litstock(small_registry, "card", small.MODE, "--unit", small.UNIT, "--format", "json").stdout
    )
    assert without["unit"] is None
    assert named["unit"]["id"] == small.UNIT
    assert "0.12" in json.dumps(named["unit"])
    assert "0.12" not in json.dumps(without)


def test_the_place_brings_its_advice(small_registry: Path) -> None:
    advice = "Behind a gloss acrylic face a matte film looks glossy."
    bare = litstock(small_registry, "card", small.MODE, "--format", "json").stdout
    placed = litstock(
        small_registry, "card", small.MODE, "--for", "harbour-yard/concourse-a", "--format", "json"
    )
    assert (advice in bare, advice in placed.stdout) == (False, True)


def test_the_place_brings_its_own_cautions(own_registry: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    isolate, height = "isolate the box before opening", "work at height: two people"
    for path, cautions in (
        ("records/applications/concourse-light-box.json", [isolate]),
        ("records/sites/harbour-yard/displays/concourse-a.json", [isolate, height]),
    ):
        file = own_registry / path
        file.write_text(
            json.dumps(json.loads(file.read_bytes()) | {"cautions": cautions, "revision": 2}),
            encoding="utf-8",
        )
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "Say what is dangerous"], check=True)
    said: dict[str, list[tuple[str, str]]] = {}
    for place in ("concourse-light-box", "harbour-yard/concourse-a"):
        given = ("card", small.MODE, "--for", place, "--format", "json")
        card, sheet = (litstock(own_registry, *given, *more).stdout for more in ((), ("--for-fitter",)))
        assert not {isolate, height} & {each["text"] for each in json.loads(card)["cautions"]}
        assert json.loads(card)["fitter"] == "Cautions of lamp and hanging: litstock card --for-fitter"
        cautions = json.loads(sheet)["cautions"]
        said[place] = [(each["from"], each["text"]) for each in cautions if each["text"] in (isolate, height)]
    assert said == {
        "concourse-light-box": [("application", isolate)],
        "harbour-yard/concourse-a": [("display", isolate), ("display", height)],
    }


def test_a_card_must_be_verified_again_after_the_registrys_months(small_registry: Path) -> None:
    said = litstock(small_registry, "card", small.MODE, "--date", "2025-08-31", "--format", "json").stdout
    assert json.loads(said)["record"]["verify_by"] == "2026-02-28"


def test_the_card_of_a_trial_must_be_verified_again_within_days(small_registry: Path) -> None:
    trial = ("card", f"{small.MODE}@r4", "--date", "2025-12-01", "--format", "json")
    assert json.loads(litstock(small_registry, *trial).stdout)["record"]["verify_by"] == "2025-12-08"


def test_a_card_of_what_failed_a_trial_must_be_verified_again_within_days(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    path = own_registry / small.mode_path(small.MODE)
    mode = json.loads(path.read_bytes()) | {"revision": 5, "reason": "Tried again"}
    mode["trials"][0] |= {"date": "2025-12-03", "passed": False}
    path.write_text(json.dumps(mode), encoding="utf-8")
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "It failed"], check=True)
    card = litstock(
        own_registry, "card", f"{small.MODE}@r5", "--date", "2025-12-04", "--format", "json"
    ).stdout
    assert json.loads(card)["record"]["verify_by"] == "2025-12-11"


def test_a_known_good_card_says_which_shops_confirmed_it(small_registry: Path) -> None:
    said = json.loads(litstock(small_registry, "card", small.MODE, "--format", "json").stdout)
    shown = json.loads(litstock(small_registry, "show", f"{small.MODE}@r3", "--format", "json").stdout)
    good = [each for each in shown["confirmations"] if each["outcome"] == "good"]
    assert good
    assert said["good"].startswith("Known good: confirmed by ")
    for each in good:
        assert f"{each['site']} on {each['date']}" in said["good"]
    trial = json.loads(litstock(small_registry, "card", f"{small.MODE}@r4", "--format", "json").stdout)
    assert trial["good"] == ""


def test_a_png_has_a_file_for_each_page(
    own_registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    path = own_registry / small.mode_path(small.MODE)
    notes = [f"note {number}: {'one word after another ' * 15}" for number in range(10)]
    mode = json.loads(path.read_bytes()) | {"revision": 5, "reason": "Note much", "notes": notes}
    path.write_text(json.dumps(mode), encoding="utf-8")
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "Note much"], check=True)
    (folder := tmp_path / "cards").mkdir()
    file = folder / "card.png"
    result = litstock(own_registry, "card", f"{small.MODE}@r5", "--paper", "a5", "-o", str(file))
    files = sorted(folder.iterdir())
    assert len(files) > 1
    assert [Path(line) for line in result.stdout.splitlines()] == [
        file,
        *(folder / f"card-{page}.png" for page in range(2, len(files) + 1)),
    ]
    assert all(each.read_bytes().startswith(b"\x89PNG") for each in files)


def test_the_fitters_sheet_is_written_and_needs_a_place(small_registry: Path, tmp_path: Path) -> None:
    file = tmp_path / "fitter.pdf"
    place = ("--for", "harbour-yard/concourse-a", "--for-fitter")
    litstock(small_registry, "card", small.MODE, *place, "-o", str(file))
    assert "LOOK, ONCE IT HANGS" in text_of(file.read_bytes())
    refused = litstock(small_registry, "card", small.MODE, "--for-fitter", "-o", str(file), code=2)
    assert "--for DISPLAY or --for APPLICATION" in refused.stderr


def test_another_printers_unit_is_refused(own_registry: Path) -> None:
    result = litstock(own_registry, "card", small.MODE, "--unit", "harbour-yard/right", "-o", "x.pdf", code=2)
    assert "there is no unit 'harbour-yard/right'" in result.stderr


@pytest.mark.parametrize("name", ["card.gif", "card"])
def test_only_pdf_and_png_are_written(small_registry: Path, tmp_path: Path, name: str) -> None:
    result = litstock(small_registry, "card", small.MODE, "-o", str(tmp_path / name), code=2)
    assert "is neither a .pdf nor a .png" in result.stderr
    assert not list(tmp_path.iterdir())


def test_without_a_file_or_a_mode_the_command_says_what_it_needs(small_registry: Path) -> None:
    assert "-o FILE.pdf" in litstock(small_registry, "card", small.MODE, code=2).stderr
    assert "say which mode" in litstock(small_registry, "card", code=2).stderr


def test_a_draft_says_what_it_is_on(own_registry: Path) -> None:
    path = own_registry / small.mode_path(small.MODE)
    path.write_bytes(path.read_bytes().replace(b'"cure_c": 104', b'"cure_c": 101'))
    said = json.loads(litstock(own_registry, "card", f"{small.MODE}@draft", "--format", "json").stdout)
    assert (said["record"]["name"], said["record"]["standing"]) == ("draft, on r4", "draft")


def test_a_card_of_a_revision_that_was_replaced_says_so(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    confirm = (
        "--unit",
        small.UNIT,
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
        "--date",
        "2025-12-02",
    )
    litstock(own_registry, "confirm", f"{small.MODE}@r4", *confirm)
    path = own_registry / small.mode_path(small.MODE)
    mode = json.loads(path.read_bytes()) | {"status": "known-good", "revision": 5, "reason": "It held"}
    path.write_text(json.dumps(mode), encoding="utf-8")
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "It held"], check=True)
    replaced = f"r5 has replaced r3: litstock card {small.MODE}@r5"
    banners = {
        number: json.loads(
            litstock(own_registry, "card", f"{small.MODE}@r{number}", "--format", "json").stdout
        )["banner"]
        for number in (3, 5)
    }
    assert banners == {
        3: {"words": "OLDER REVISION", "lines": [replaced], "stop": False},
        5: None,
    }


HEAVY = "Heavy ink needs more passes and less speed."
GLOSS = "Behind a gloss acrylic face a matte film looks glossy."


def cautions_of(folder: Path, *arguments: str) -> list[str]:
    said = json.loads(litstock(folder, "card", *arguments, "--format", "json").stdout)
    return [each["text"] for each in said["cautions"]]


@pytest.mark.parametrize(("load", "warned"), [(b'"load_pct": 215', True), (b'"load_pct": 195', False)])
def test_guidance_is_judged_on_a_drafts_own_settings(own_registry: Path, load: bytes, warned: bool) -> None:
    path = own_registry / small.mode_path(small.MODE)
    path.write_bytes(path.read_bytes().replace(b'"load_pct": 210', load))
    assert (HEAVY in cautions_of(own_registry, f"{small.MODE}@draft")) is warned


def test_guidance_is_judged_on_an_older_revisions_own_settings(small_registry: Path) -> None:
    place = ("--for", "harbour-yard/concourse-a")
    assert {number: cautions_of(small_registry, f"{small.MODE}@r{number}", *place) for number in (2, 4)} == {
        2: [GLOSS],
        4: [HEAVY, GLOSS],
    }


LIGHTING = "lighting: frontlit; backlit or dual wanted"
SCRATCH = "scratch resistance of the printed face: not recorded; at least fair wanted"


def place_words(result: Result) -> list[str]:
    return [line for line in result.stderr.splitlines() if "suit" in line]


def test_a_card_says_what_its_place_demands_and_is_not_met(small_registry: Path, tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    card = ("card", small.FRONT, "--for", "concourse-light-box", "-o", str(file), "--format", "json")
    result = litstock(small_registry, *card)
    answer = json.loads(result.stdout)
    assert answer["unmet"] == [LIGHTING]
    assert SCRATCH in answer["untold"]
    told = (
        f"not known to suit Concourse light box: {LIGHTING}. Cannot tell: {'; '.join(answer['untold'])}. "
        f"litstock find --for concourse-light-box --why {small.FRONT} says more"
    )
    assert place_words(result) == [told]
    said = " ".join(text_of(file.read_bytes()).split())
    assert f"NOT KNOWN TO SUIT THIS PLACE, Concourse light box: {LIGHTING}. Cannot tell" in said


def test_a_card_says_what_of_its_place_is_not_known_also_of_an_older_revision(
    small_registry: Path, tmp_path: Path
) -> None:
    place = ("--for", "harbour-yard/concourse-a", "-o", str(tmp_path / "card.pdf"), "--format", "json")
    result = litstock(small_registry, "card", f"{small.MODE}@r1", *place)
    answer = json.loads(result.stdout)
    assert (answer["unmet"], answer["untold"]) == ([], [SCRATCH])
    more = f"litstock find --for harbour-yard/concourse-a --why {small.MODE} says more"
    assert place_words(result) == [f"cannot tell whether it suits Concourse A: {SCRATCH}. {more}"]


def test_a_card_for_a_place_that_it_suits_says_nothing_of_it(small_registry: Path) -> None:
    card = ("card", small.MODE, "--for", "concourse-light-box", "--format", "json")
    result = litstock(small_registry, *card)
    assert (json.loads(result.stdout)["suit"], place_words(result)) == (None, [])


def test_a_draft_is_judged_for_its_place_on_its_own_settings(own_registry: Path) -> None:
    path = own_registry / small.mode_path(small.MODE)
    mode = json.loads(path.read_bytes())
    mode["trials"][1]["pencil"] = "6B"
    path.write_text(json.dumps(mode), encoding="utf-8")
    card = ("card", f"{small.MODE}@draft", "--for", "concourse-light-box", "--format", "json")
    assert json.loads(litstock(own_registry, *card).stdout)["suit"]["lines"] == [
        "scratch resistance of the printed face: low; at least fair wanted"
    ]


def test_a_card_without_a_place_asks_nothing_of_find(
    small_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded = [name for name in sys.modules if name.startswith(("registry.find", "registry.cli.card_place"))]
    for name in loaded:
        monkeypatch.delitem(sys.modules, name)
    litstock(small_registry, "card", small.MODE, "--format", "json")
    assert [name for name in sys.modules if name.startswith("registry.find")] == []
    litstock(small_registry, "card", small.MODE, "--for", "concourse-light-box", "--format", "json")
    assert "registry.find.suiting" in sys.modules


def test_a_slug_names_mode_revision_digest_unit_and_day(small_registry: Path) -> None:
    arguments = ("slug", small.MODE, "--unit", small.UNIT, "--date", "2025-12-01")
    words = litstock(small_registry, *arguments).stdout.split()
    answer = json.loads(litstock(small_registry, *arguments, "--format", "json").stdout)
    assert words == [small.MODE, "r3", answer["digest"][:12], f"{small.UNIT}@r1", "2025-12-01"]
    assert (answer["unit"], answer["unit_revision"]) == (small.UNIT, 1)


def test_a_current_card_verifies_and_an_old_one_says_what_changed(small_registry: Path) -> None:
    current = litstock(small_registry, "slug", f"{small.MODE}@r3").stdout
    old = litstock(small_registry, "slug", f"{small.MODE}@r4").stdout
    said = litstock(small_registry, "card", "--verify", current)
    assert said.stdout.splitlines()[0] == "current: r3 is current; r4 is on trial"
    stale = json.loads(litstock(small_registry, "card", "--verify", old, "--format", "json", code=1).stdout)
    assert stale["standing"] == "on trial"
    changed = {each["path"]: (each["before"], each["after"]) for each in stale["changes"]}
    assert changed["layers.colour.load_pct"] == (210, 200)


def test_a_card_of_the_same_settings_under_an_older_number_is_still_current(small_registry: Path) -> None:
    first = litstock(small_registry, "slug", f"{small.MODE}@r1").stdout
    said = litstock(small_registry, "card", "--verify", first)
    assert said.stdout.startswith("current: the settings are those of r3")


def test_a_mistyped_code_is_not_taken_for_another_revision(small_registry: Path) -> None:
    slug = litstock(small_registry, "slug", f"{small.MODE}@r3").stdout.strip()
    wrong = slug[:-1] + ("0" if slug[-1] != "0" else "1")
    said = litstock(small_registry, "card", "--verify", wrong, code=1)
    assert "does not belong to r3" in " ".join(said.stdout.split())
    assert litstock(small_registry, "card", "--verify", "hello", code=2).stderr.startswith(
        "litstock: cannot read"
    )


def test_a_card_of_a_withdrawn_film_is_not_current(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    slug = litstock(own_registry, "slug", f"{small.MODE}@r3").stdout
    path = own_registry / f"records/substrates/{small.FILM}/substrate.json"
    film = json.loads(path.read_bytes())
    gone = {"date": "2025-12-01", "reason": "No longer made", "instead": "lumenfold/dayfilm-240"}
    film |= {"withdrawn": gone, "revision": 2}
    path.write_text(json.dumps(film), encoding="utf-8")
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "Withdraw the film"], check=True)
    said = litstock(own_registry, "card", "--verify", slug, code=1).stdout
    expected = (
        f"not current: the substrate {small.FILM} is withdrawn since 2025-12-01: No longer made; "
        "use lumenfold/dayfilm-240 instead; take the card down"
    )
    assert " ".join(said.split()) == expected


def test_a_card_that_advice_refuses_is_not_current(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    slug = litstock(own_registry, "slug", f"{small.MODE}@r3").stdout
    rule = ("new", "guidance", "no-dayfilm", "--set", "level=refuse", "--set", "text=It re-wets after all.")
    patch = {"title": "No dayfilm", "when": {"/substrate/grade": {"const": "dayfilm-210"}}}
    file = own_registry / "rule.json"
    file.write_text(json.dumps(patch), encoding="utf-8")
    source = ("--set", "source=common practice, no source", "--site", "mill-lane", "--reason", "Seen")
    litstock(own_registry, *rule, "--from", str(file), *source)
    said = litstock(own_registry, "card", "--verify", slug, code=1).stdout
    assert " ".join(said.split()) == (
        "not current: guidance no-dayfilm refuses the mode now: It re-wets after all."
    )


@pytest.mark.parametrize("name", ["missing/card.pdf", "folder.pdf"])
def test_a_card_that_cannot_be_written_names_the_path_and_leaves_nothing(
    small_registry: Path, tmp_path: Path, name: str
) -> None:
    (tmp_path / "folder.pdf").mkdir()
    file = tmp_path / name
    said = litstock(small_registry, "card", small.MODE, "-o", str(file), code=3).stderr
    assert f"cannot write '{file}': " in " ".join(said.split())
    assert [each.name for each in tmp_path.iterdir()] == ["folder.pdf"]


def test_a_written_card_answers_in_json_too(small_registry: Path, tmp_path: Path) -> None:
    file = tmp_path / "card.pdf"
    answer = json.loads(
        litstock(small_registry, "card", small.MODE, "-o", str(file), "--format", "json").stdout
    )
    assert file.read_bytes().startswith(b"%PDF")
    assert len(answer.pop("digest")) == 64
    assert len(answer.pop("commit")) == 40
    assert answer == {
        "file": str(file),
        "files": [str(file)],
        "mode": small.MODE,
        "revision": 3,
        "standing": "known-good",
        "on_trial": 4,
        "unit": "",
        "unit_revision": None,
        "unmet": [],
        "untold": [],
    }


def test_a_known_good_card_whose_trial_failed_since_is_verified_in_days(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Trials stand beside the settings, so these stay the ones that a site confirmed."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")
    path = own_registry / small.mode_path(small.MODE)
    registry = Registry(own_registry, os.environ)
    good = next(each for each in registry.model.revisions(small.mode_path(small.MODE)) if each.revision == 3)
    until = {}
    for number, passed in ((5, True), (6, False)):
        mode = copy.deepcopy(registry.document(good.blob)) | {"revision": number, "reason": "Back to r3"}
        mode["trials"][0] |= {"date": "2025-11-30", "passed": passed}
        path.write_text(json.dumps(mode), encoding="utf-8")
        subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "Back"], check=True)
        card = litstock(own_registry, "card", small.MODE, "--date", "2025-12-01", "--format", "json").stdout
        record = json.loads(card)["record"]
        assert (record["standing"], record["name"]) == ("known-good", f"r{number}")
        until[passed] = record["verify_by"]
    assert until == {True: "2026-06-01", False: "2025-12-08"}
