"""The five story lines that the tour tells are there, with what an audit has to find in them."""

import re
from datetime import datetime
from typing import Any

import pytest

from registry.derived import derive
from registry.model.scales import rank
from registry.model.shape import shape_of
from tests.demo.telling import Landed, Records

FILM = "lumenfold/dayfilm-210"
MODE = f"{FILM}/marshwing-backlit"
VINYL = "samphirepeel/translucent-80/marshwing-backlit"
CONCOURSE = "concourse-light-box"


def revisions(history: tuple[Landed, ...], mode: str) -> list[dict[str, Any]]:
    return [landed.document for landed in history if landed.id == mode and landed.kind == "print-mode"]


def fire(rating: str) -> list[str]:
    """Return main class, smoke and droplets as far as they are said: of each the lesser is the better."""
    return re.findall(r"^A1|^A2|^[B-F]|s[123]|d[012]", rating)


def verdict(demand: dict[str, Any], substrate: dict[str, Any], mode: dict[str, Any]) -> bool | None:
    """Judge one demand, independently of the program: None where the value is not known."""
    document = substrate if demand["of"] == "substrate" else mode
    kind = "substrate" if demand["of"] == "substrate" else "print-mode"
    values = {path: found.value for path, found in shape_of(kind).flatten(document).items()}
    values |= derive({"mode": mode}) if demand["of"] == "mode" else {}
    value = values.get(demand["setting"])
    if value is None:
        return None
    if "grade" in demand:
        if demand["setting"].startswith("fire."):
            pairs = zip(fire(value), fire(demand["grade"]), strict=False)
            return all(have <= want for have, want in pairs)
        scale = demand["setting"].rpartition(".")[2]  # print.scratch, print.adhesion
        have, want = rank(scale, value), rank(scale, demand["grade"])
        assert have is not None
        assert want is not None
        return have >= want
    if "one_of" in demand:
        held = value if isinstance(value, list) else [value]
        return bool(set(held) & set(demand["one_of"]))
    return bool(demand.get("at_least", value) <= value <= demand.get("at_most", value))


def failing(present: Records, application: str) -> dict[str, tuple[set[str], set[str]]]:
    """What known-good modes for the same lighting fail, and what is unknown of them, by mode."""
    use = present["application"][application]
    answer = {}
    for name, mode in present["print-mode"].items():
        if mode["status"] == "withdrawn" or mode["lighting"] != use["lighting"]:
            continue
        if mode["status"] != "known-good" and name != MODE:
            continue
        substrate = present["substrate"][mode["substrate"]]
        verdicts = {demand["setting"]: verdict(demand, substrate, mode) for demand in use["demands"]}
        unmet = {setting for setting, met in verdicts.items() if met is False}
        answer[name] = unmet, {setting for setting, met in verdicts.items() if met is None}
    return answer


def test_the_concourse_has_a_known_good_film_near_misses_by_each_demand_and_an_unknown(
    present: Records,
) -> None:
    found = failing(present, CONCOURSE)
    assert found[MODE] == (set(), set())
    assert sum(not unmet and not unknown for unmet, unknown in found.values()) >= 3
    single = {next(iter(unmet)) for unmet, unknown in found.values() if len(unmet) == 1 and not unknown}
    assert {
        "light.transmittance_pct",
        "fire.en-13501-1.rating",
        "print.scratch",
        "finishing",
    } <= single
    assert (set(), {"fire.en-13501-1.rating"}) in found.values()


def test_the_concourse_film_is_what_the_trade_would_choose_and_its_boxes_stand_in_two_shops(
    present: Records,
) -> None:
    film = present["substrate"][FILM]
    assert (film["base"], film["coating"], film["finish"]) == ("polyester", "aqueous", "matte")
    sites = {each["site"] for each in present["display"].values() if each["application"] == CONCOURSE}
    assert len(sites) == 2


def test_several_shops_confirmed_the_last_known_good_settings_lately(
    history: tuple[Landed, ...], present: Records
) -> None:
    good = [each for each in revisions(history, MODE) if each["status"] == "known-good"][-1]
    digest = shape_of("print-mode").digest(good)
    said = [
        each
        for each in present["confirmation"].values()
        if each["mode"] == MODE and each["settings_digest"] == digest and each["outcome"] == "good"
    ]
    assert {each["site"] for each in said} == {"harbour-yard", "mill-lane", "north-quay"}
    assert max(each["date"] for each in said) >= "2026-11-01"
    assert len(said) >= 6


def test_the_modes_history_raises_load_and_passes_heat_renews_the_profile_and_ends_on_trial(
    history: tuple[Landed, ...],
) -> None:
    told = revisions(history, MODE)
    loads = [each["layers"][0]["load_pct"] for each in told]
    assert [load for load, before in zip(loads, [0, *loads], strict=False) if load != before] == [
        180,
        200,
        210,
    ]
    assert [each["motion"]["passes"] for each in told][:3] == [12, 12, 16]
    assert {each["heat"]["cure_c"] for each in told} == {95, 100}
    assert [each["ink"]["light_inks_pct"] for each in told][-1] == 0
    assert len({each["colour"]["profile"]["sha256"] for each in told}) == 3
    assert len({each["reason"] for each in told}) == len(told) >= 8
    assert told[-1]["status"] == "trial"
    known = [each["revision"] for each in told if each["status"] == "known-good"]
    assert known == [2, 4, 6, 8]


@pytest.fixture
def cast(present: Records) -> dict[str, Any]:
    return present["complaint"]["harbour-yard/2026-05-blue-concourse"]


def between(present: Records, complaint: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the events on the complaint's machine and display between the good and the refused print."""
    start, end = (datetime.fromisoformat(complaint[name]) for name in ("good", "printed"))
    return [
        event
        for event in present["event"].values()
        if start < datetime.fromisoformat(event["at"]) <= end
        and (
            event.get("unit") == complaint["unit"] or event.get("display") == complaint.get("display", "none")
        )
    ]


def runs_of(present: Records, complaint: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the runs of the good and of the refused print."""
    return [
        next(
            run
            for run in present["run"].values()
            if (run["printed"], run["unit"], run["mode"])
            == (complaint[name], complaint["unit"], complaint["mode"])
        )
        for name in ("good", "printed")
    ]


def test_the_cast_has_all_that_an_audit_must_tell_apart(
    history: tuple[Landed, ...], present: Records, cast: dict[str, Any]
) -> None:
    good, bad = runs_of(present, cast)
    assert cast["defect"] == "cast"
    assert bad["job"] == cast["job"]
    assert (good["mode_revision"], bad["mode_revision"]) == (6, 8)
    assert good["settings_digest"] != bad["settings_digest"]
    assert good["roll_lot"] != bad["roll_lot"]
    assert good["colour"]["overrides"] == []
    assert bad["colour"]["overrides"]
    assert "ink_lot" in good
    assert "ink_lot" not in bad, "what ink was in it is not known"
    events = {event["kind"]: event for event in between(present, cast)}
    assert {
        *("head-replaced", "linearisation", "adopted", "profile-change"),
        *("substrate-lot", "ink-lot", "lamp-some-replaced", "cleaned"),
    } <= set(events)
    assert events["head-replaced"]["at"] < events["linearisation"]["at"]
    late = [event for event in events.values() if event["recorded"]["date"] > cast["received"]]
    assert [event["kind"] for event in late] == ["lamp-some-replaced"]
    steps = [
        landed.document["state"]
        for landed in history
        if landed.document.get("job") == cast["job"] and landed.kind == "complaint"
    ]
    assert steps == ["open", "answered", "closed"]
    assert len(cast["readings"]) >= 3


def test_the_bands_came_with_no_change_of_settings_but_with_the_feed(present: Records) -> None:
    bands = present["complaint"]["north-quay/2025-11-kiosk-bands"]
    good, bad = runs_of(present, bands)
    assert bands["defect"] == "banding"
    assert good["settings_digest"] == bad["settings_digest"]
    kinds = {event["kind"] for event in between(present, bands)}
    assert {"firmware", "sensor-service", "humidity-excursion", "nozzle-loss"} <= kinds
    own = {each["mode"]: each for each in present["unit"][bands["unit"]]["own"]}
    assert own[VINYL]["feed_correction_pct"] == 0.35


def test_the_stuck_roll_was_printed_heavier_and_its_film_is_withdrawn(present: Records) -> None:
    stuck = present["complaint"]["mill-lane/2025-08-stuck-roll"]
    assert stuck["defect"] == "sticking-on-the-roll"
    good, bad = runs_of(present, stuck)
    assert good["settings_digest"] != bad["settings_digest"]
    kinds = {event["kind"] for event in between(present, stuck)}
    assert {"substrate-lot", "fixing-fluid-lot", "humidity-excursion", "heater-service", "adopted"} <= kinds
    mode = present["print-mode"][stuck["mode"]]
    film = present["substrate"][mode["substrate"]]
    assert film["coating"] == "solvent"
    assert film["withdrawn"]["instead"] == FILM
    assert mode["withdrawn"]["instead"] == MODE


def in_force(present: Records, site: str, mode: str) -> dict[str, Any]:
    """Return the last adoption of a mode at a site."""
    adopted = [
        event
        for event in present["event"].values()
        if event["kind"] == "adopted" and event["site"] == site and event["mode"] == mode
    ]
    return max(adopted, key=lambda event: datetime.fromisoformat(event["at"]))


def test_shops_have_different_revisions_of_the_same_mode_in_force(present: Records) -> None:
    tuned = {site: in_force(present, site, VINYL) for site in ("harbour-yard", "mill-lane", "north-quay")}
    assert tuned["harbour-yard"]["settings_digest"] == tuned["mill-lane"]["settings_digest"]
    assert tuned["north-quay"]["settings_digest"] != tuned["mill-lane"]["settings_digest"]
    concourse = {in_force(present, site, MODE)["mode_revision"] for site in tuned}
    assert len(concourse) == 2


def test_a_mode_tuned_at_one_shop_was_adopted_by_another(
    history: tuple[Landed, ...], present: Records
) -> None:
    adopted = in_force(present, "harbour-yard", VINYL)
    written = next(
        landed.document
        for landed in history
        if landed.id == VINYL and landed.document["revision"] == adopted["mode_revision"]
    )
    assert written["recorded"]["site"] == "mill-lane"


ADVICE = {
    "aqueous-coating-suits-resin-ink": "advise",
    "solvent-coating-re-wets": "refuse",
    "uv-coating-re-wets": "refuse",
    "aqueous-coating-scratches": "warn",
    "matte-looks-glossy-behind-acrylic": "advise",
    "matte-side-to-the-acrylic": "advise",
    "backlit-carries-twice-the-ink": "advise",
    "front-lit-washes-out-in-a-box": "refuse",
    "heavy-ink-more-passes": "warn",
    "long-lived-awning-liquid-laminate": "advise",
    "clear-sheet-second-surface": "warn",
    "clear-sheet-in-a-window": "advise",
    "white-flood-is-front-lit": "advise",
    "without-transmission-known-good-only": "warn",
    "acclimatise-a-day": "advise",
    "check-cure-at-centre-and-edges": "advise",
    "test-re-wet-face-to-back": "advise",
    "rest-before-lamination": "warn",
    "judge-lit-finished-and-dry": "advise",
    "one-roll-one-run": "advise",
    "replace-lamps-together": "warn",
    "ink-off-weld-seams": "advise",
    "roll-fabric-never-fold": "warn",
    "banding-alignment-or-feed": "advise",
    "hot-surfaces": "advise",
    "blades": "advise",
    "lamination-chemicals": "warn",
    "light-box-electricity": "warn",
    "work-at-height": "advise",
    "awnings-in-wind": "warn",
    "fire-class-by-local-code": "advise",
}


def test_the_trades_advice_is_all_there_and_claims_no_source(present: Records) -> None:
    rules = present["guidance"]
    assert {name: rules[name]["level"] for name in ADVICE} == ADVICE
    assert {rule["source"] for rule in rules.values()} == {"common practice, no source"}
    withdrawn = {name for name, rule in rules.items() if "withdrawn" in rule}
    assert withdrawn == {"solvent-coating-dry-longer"}
