"""What the card says, as plain data."""

import copy
import json
from dataclasses import replace
from typing import Any

import jsonschema
import pytest

from registry.card import values
from registry.card.facts import facts
from registry.model.shape import shape_of
from tests.card import documents
from tests.card.cards import pdf
from tests.card.documents import entries, fabric, request, sheet
from tests.card.longest import longest, prose, unbroken
from tests.card.reading import printed, without_blanks

KINDS = [
    ("substrate", documents.FILM),
    ("substrate", documents.SHEET),
    ("substrate", documents.FABRIC),
    ("printer", documents.PRINTER),
    ("print-mode", documents.MODE),
    ("print-mode", documents.SECOND_SURFACE),
    ("print-mode", documents.AWNING),
    ("unit", documents.UNIT),
    *(
        (kind, longest(kind, writer))
        for kind in ("substrate", "printer", "print-mode", "unit")
        for writer in (prose, unbroken)
    ),
]


@pytest.mark.parametrize(("kind", "document"), KINDS)
def test_documents_of_these_tests_are_valid(kind: str, document: dict[str, Any]) -> None:
    validator = jsonschema.Draft202012Validator(
        shape_of(kind).schema, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )
    assert [error.message for error in validator.iter_errors(document)] == []


def test_facts_can_be_written_as_json() -> None:
    said = facts(request(unit=documents.UNIT, unit_id="harbour-yard/left"))
    assert json.loads(json.dumps(said)) == said


def test_groups_are_those_of_the_model_in_its_order() -> None:
    assert [group["label"] for group in facts(request())["settings"]] == [
        "layers", "ink", "motion", "heat", "web", "colour", "finishing",
    ]  # fmt: skip


def test_what_is_expected_stands_behind_what_is_entered_and_says_so() -> None:
    (heat,) = [group for group in facts(request())["settings"] if group["label"] == "heat"]
    assert [(each["label"], each["expected"]) for each in heat["entries"]] == [
        ("drying set-point", False),
        ("curing set-point", False),
        ("dwell in the curing zone", False),
        ("airflow", False),
        ("web temperature, centre", True),
        ("web temperature, edges", True),
        ("web temperature, hotter edge", True),
    ]


def test_unknown_values_are_said_as_not_recorded() -> None:
    said = facts(sheet())
    unrecorded = {group["label"]: group["unrecorded"] for group in said["settings"]}
    assert unrecorded["heat"] == [
        "dwell in the curing zone",
        "airflow",
        "web temperature, edges",
        "web temperature, hotter edge",
    ]
    assert unrecorded["ink"] == [
        "heaviest ink in the profile", "total area coverage limit", "black from", "black at most",
        "light inks", "fixing fluid", "clear coat",
    ]  # fmt: skip
    assert unrecorded["layers"] == ["passes of the layer (white, laid second)"]
    assert {"label": "product code", "text": "not recorded"} in said["load"]["known"]
    assert {"label": "ink set", "text": "not recorded"} in said["load"]["print"]
    assert said["sample"] == "not recorded"


@pytest.mark.parametrize(
    ("side", "loads"), [("second-surface", ["110", "160", "90"]), ("first-surface", ["90", "160", "110"])]
)
def test_layers_stand_as_they_are_laid_which_the_printed_side_decides(side: str, loads: list[str]) -> None:
    """The record lists them from viewer to lamp; on a first surface the viewer's own is laid last."""
    asked = sheet()
    (layers,) = [
        group
        for group in facts(replace(asked, mode=asked.mode | {"print_side": side}))["settings"]
        if group["label"] == "layers"
    ]
    names = ["colour, laid first", "white, laid second", "colour, laid third"]
    said = [(each["name"], each["entries"][0]["text"]) for each in layers["items"]]
    assert said == list(zip(names, loads, strict=True))


@pytest.mark.parametrize(
    ("side", "drawn"),
    [("second-surface", "viewer↓sheetcolourwhite"), ("first-surface", "viewer↓colourwhitesheet")],
)
def test_layers_are_drawn_from_viewer_to_lamp_where_there_is_room(side: str, drawn: str) -> None:
    asked = sheet()
    layers = asked.mode["layers"][:2]
    asked = replace(asked, mode=asked.mode | {"print_side": side, "layers": layers})
    assert drawn in without_blanks(printed(pdf(asked)).text)


def test_a_layer_alone_is_laid_when_it_is() -> None:
    (layers,) = [group for group in facts(request())["settings"] if group["label"] == "layers"]
    assert [each["name"] for each in layers["items"]] == ["1 colour"]


def test_us_units_are_converted_by_the_exact_factors() -> None:
    said = facts(request(units="us"))
    assert entries(said, "heat")["curing set-point"] == "212 °F"
    assert entries(said, "heat")["web temperature, edges"] == "190 °F"  # 88 °C is 190.4 °F
    assert entries(said, "motion")["head gap"] == "0.0709 inch"  # 1.8 / 25.4
    assert entries(said, "motion")["measured speed"] == "53.8 ft²/h"  # 5 / 0.3048²
    assert {"label": "thickness", "text": "8.27 thou"} in said["load"]["known"]  # 210 / 25.4
    assert "4.05 lbf" in entries(said, "web").values()  # 18 / 4.4482216
    assert "104 °F" in " ".join(stop["how"] for stop in said["stops"])


def test_metric_values_are_said_as_recorded() -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["motion"] |= {"pause_s": 0.05, "head_gap_mm": 1.75, "speed_m2_h": 123.456}
    said = entries(facts(request(mode=mode)), "motion")
    assert (said["pause between passes"], said["head gap"], said["measured speed"]) == (
        "0.05 s",
        "1.75 mm",
        "123.456 m²/h",
    )


def test_ink_volumes_are_computed_and_say_how() -> None:
    (ink,) = [group for group in facts(request())["settings"] if group["label"] == "ink"]
    # 7 pL at 720 × 720 dpi is 5.625 mL/m² at 100 %; times 200 %, times 220 %.
    assert [(each["label"], each["text"]) for each in ink["computed"]][:2] == [
        ("ink of one solid", "11.25 mL/m²"),
        ("heaviest ink", "24.75 mL/m²"),
    ]
    assert ink["computed"][0]["how"].startswith("drop volume × resolution")


def test_unit_brings_its_own_values_for_this_mode_only() -> None:
    said = facts(request(unit=documents.UNIT, unit_id="harbour-yard/left", unit_revision=4))
    assert {each["label"]: each["text"] for each in said["unit"]["entries"]} == {
        "feed correction": "−0.12",
        "two-way alignment": "35",
        "vacuum on this machine": "45",
    }
    assert said["unit"]["unrecorded"] == ["linearised on this machine"]
    (web,) = [group for group in said["settings"] if group["label"] == "web"]
    assert [each["own"] for each in web["entries"]] == ["45 %", "", ""]
    assert said["boxes"][0] == {"label": "unit", "text": "harbour-yard/left", "wide": True}
    assert said["record"]["slug"].endswith(" harbour-yard/left@r4")
    assert said["record"]["code"].endswith("+harbour-yard/left@r4")


def test_the_profiles_linearisation_and_the_machines_are_told_apart() -> None:
    unit = copy.deepcopy(documents.UNIT)
    unit["own"][0]["linearised"] = "2026-02-20"
    said = facts(request(unit=unit, unit_id="harbour-yard/left", unit_revision=4))
    (colour,) = [group for group in said["settings"] if group["label"] == "colour"]
    days = [
        (each["label"], each["text"], each["own"])
        for each in (*colour["entries"], *said["unit"]["entries"])
        if "linearised" in each["label"]
    ]
    assert days == [
        ("profile: linearised on", "2026-02-02", ""),
        ("linearised on this machine", "2026-02-20", ""),
    ]


def test_labels_that_say_more_than_the_models_belong_to_settings_and_keep_their_words() -> None:
    settings = shape_of("print-mode").settings
    fuller = {path: words.format(settings[path].label) for path, words in values.FULLER.items()}
    assert fuller == {"layers.*.load_pct": "ink load", "colour.linearised": "profile: linearised on"}
    layers = facts(request())["settings"][0]
    assert layers["items"][0]["entries"][0]["label"] == "ink load"


def test_finishing_says_which_is_the_settings_and_which_the_materials() -> None:
    film = copy.deepcopy(documents.FILM)
    del film["finishing"]["needed"]
    said = facts(request(substrate=film))["finishing"]
    assert [(each["label"], each["text"]) for each in said] == [
        ("finish with", "acrylic-face"),
        ("the material needs", "not recorded"),
        ("and takes", "film-laminate, acrylic-face"),
    ]


USE = (("application", {"title": "Ticket counter"}),)
SCRATCH = "scratch resistance of the printed face: fair; at least high wanted"


def test_what_the_place_demands_and_is_not_met_or_not_known_is_told() -> None:
    asked: dict[str, Any] = {"places": USE, "place_id": "ticket-counter"}
    more = "litstock find --for ticket-counter --why lumenfold/dayfilm-210/backlit-16"
    hiding = "hiding distance: not recorded; at most 100 mm wanted"
    open_line = f"Cannot tell whether it suits: {hiding}"
    words = "not known to suit this place"
    assert facts(request(**asked))["suit"] is None
    assert facts(request(**asked, unmet=(SCRATCH,), untold=(hiding,)))["suit"] == {
        "words": words, "lines": [SCRATCH, open_line], "more": more,
    }  # fmt: skip
    assert facts(request(**asked, untold=(hiding,)))["suit"] == {
        "words": "", "lines": [open_line], "more": more,
    }  # fmt: skip


def test_unit_without_values_for_this_mode_says_that_none_are_recorded() -> None:
    unit = {**documents.UNIT, "own": []}
    said = facts(request(unit=unit, unit_id="harbour-yard/left"))["unit"]
    assert said["entries"] == []
    assert said["unrecorded"] == [
        "feed correction", "two-way alignment", "linearised on this machine", "vacuum on this machine",
    ]  # fmt: skip


def test_card_without_a_unit_says_nothing_of_one() -> None:
    said = facts(request())
    assert said["unit"] is None
    assert "+" not in said["record"]["code"]
    assert said["boxes"][0]["text"] == ""


def test_known_good_card_has_no_banner() -> None:
    said = facts(request())
    assert said["banner"] is None
    assert said["notice"] == ""
    assert said["record"]["name"] == "r5"


def test_known_good_card_mentions_a_newer_trial() -> None:
    assert facts(request(on_trial=6))["notice"] == "r6 is on trial; this card stands until it is confirmed"


FAILED = "its re-wet trial FAILED on 2026-02-20 at mill-lane"


def test_trial_says_why_and_names_the_known_good_revision() -> None:
    said = facts(request(standing="trial", revision=6, known_good=5, trial_why=FAILED))
    assert said["banner"] == {
        "words": "ON TRIAL",
        "lines": [
            f"r6 is on trial: {FAILED}.",
            "Known-good is r5: litstock card lumenfold/dayfilm-210/backlit-16@r5",
        ],
        "stop": False,
    }


def test_trial_without_a_known_good_revision_says_so() -> None:
    said = facts(request(standing="trial", revision=1))
    assert said["banner"]["lines"][1] == "No revision is known-good yet."


@pytest.mark.parametrize(("draft_on", "words"), [(5, "DRAFT, on r5"), (None, "DRAFT")])
def test_draft_says_on_which_revision(draft_on: int | None, words: str) -> None:
    said = facts(request(standing="draft", draft_on=draft_on, known_good=draft_on))
    assert said["banner"]["words"] == words
    assert said["record"]["name"] == words.lower()
    assert f"@r{draft_on or 0}-draft#" in said["record"]["code"]


def test_draft_says_why_its_settings_would_be_on_trial() -> None:
    said = facts(request(standing="draft", draft_on=5, known_good=5, trial_why=FAILED))
    assert said["banner"]["lines"][0] == f"It is on trial: {FAILED}."


WITHDRAWAL = {"date": "2026-02-20", "reason": "Prints re-wet on the roll."}


def test_withdrawn_mode_says_why_and_what_to_use() -> None:
    mode = {**documents.MODE, "withdrawn": {**WITHDRAWAL, "instead": "lumenfold/dayfilm-210/backlit-20"}}
    said = facts(request(standing="withdrawn", mode=mode))
    assert said["banner"] == {
        "words": "DO NOT USE",
        "lines": [
            "The print mode is withdrawn since 2026-02-20: Prints re-wet on the roll.",
            "Use instead: lumenfold/dayfilm-210/backlit-20",
        ],
        "stop": True,
    }
    assert said["boxes"] == []


def test_withdrawn_mode_without_a_replacement_says_so() -> None:
    mode = {**documents.MODE, "withdrawn": WITHDRAWAL}
    assert facts(request(standing="withdrawn", mode=mode))["banner"]["lines"][1] == "No replacement is named."


def test_withdrawn_substrate_is_not_to_be_used_though_the_mode_is_known_good() -> None:
    said = facts(request(substrate={**documents.FILM, "withdrawn": WITHDRAWAL}))
    assert said["banner"]["words"] == "DO NOT USE"
    assert said["banner"]["lines"][0].startswith("The substrate is withdrawn since 2026-02-20")


def test_withdrawn_unit_is_not_to_be_printed_on() -> None:
    unit = {**documents.UNIT, "withdrawn": WITHDRAWAL}
    said = facts(request(unit=unit, unit_id="harbour-yard/left", unit_revision=4))
    assert said["banner"]["lines"][0] == "The unit is withdrawn since 2026-02-20: Prints re-wet on the roll."


def test_foot_says_how_long_the_card_may_hang_or_that_it_may_not() -> None:
    mode = {**documents.MODE, "withdrawn": WITHDRAWAL}
    use = (("application", {"title": "Concourse light box"}),)
    assert facts(request())["foot"] == "verify again after 2026-09-01"
    gone = facts(request(standing="withdrawn", mode=mode))
    assert gone["foot"] == "withdrawn: do not print with this card. No replacement is named."
    assert gone["record"]["verify_by"] is None
    refused = request(guidance=(("refuse", "It re-wets."),))
    assert facts(refused)["foot"] == "refused: do not print with this card"
    refused = request(guidance=(("refuse", "Washed out in a box."),), places=use)
    assert facts(refused)["foot"] == "refused: do not print with this card for this use"


@pytest.mark.parametrize(
    ("standing", "words", "lines"),
    [
        ("known-good", "REFUSED", ["It re-wets."]),
        ("trial", "REFUSED, ON TRIAL", ["It re-wets.", "r5 is on trial."]),
        ("draft", "REFUSED, DRAFT, on r4", ["It re-wets.", "These settings have not landed: no other"]),
    ],
)
def test_what_guidance_refuses_is_said_in_the_banner(standing: str, words: str, lines: list[str]) -> None:
    said = facts(request(standing=standing, draft_on=4, guidance=(("refuse", "It re-wets."),)))["banner"]
    assert (said["words"], said["stop"]) == (words, True)
    for line, start in zip(said["lines"], lines, strict=False):
        assert line.startswith(start)


def test_withdrawn_revision_without_a_reason_names_the_known_good_one() -> None:
    said = facts(request(standing="withdrawn", known_good=4))
    assert said["banner"]["lines"] == [
        "This revision is withdrawn.",
        "Known-good is r4: litstock card lumenfold/dayfilm-210/backlit-16@r4",
    ]


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        (request(), ("face-out", "face", False, False)),
        (sheet(), ("sheet", "back", True, True)),
        (fabric(), ("face-in", "both", False, False)),
    ],
)
def test_drawing_shows_wind_face_and_side(asked: Any, expected: tuple[str, str, bool, bool]) -> None:
    drawing = facts(asked)["load"]["drawing"]
    assert (drawing["wind"], drawing["face"], drawing["second"], drawing["mirrored"]) == expected


def test_request_is_left_as_it_was() -> None:
    asked = request(unit=copy.deepcopy(documents.UNIT), unit_id="harbour-yard/left")
    before = copy.deepcopy(asked)
    facts(asked)
    assert asked == before
