"""A find for programs: JSON under documented keys, and the rows of csv and markdown."""

from collections.abc import Iterator
from typing import Any

from registry.cli.find_words import in_the_way_words, layers, name, percent_of, unproven_words, wanted_words
from registry.cli.wording import remark_json
from registry.find.answer import FindAnswer, Offer
from registry.find.evidence import SiteWord
from registry.find.known import SIDES
from registry.find.wanted import MET, Judged, Wanted
from registry.index.readmodel import Value
from registry.model.shape import shape_of
from registry.model.units import shown, written
from registry.question.advice import Remark

__all__ = ["columns_of", "json_of", "rows_of"]


def json_of(answer: FindAnswer, units: str) -> dict[str, Any]:
    """Return an answer under its documented keys."""
    return {
        "commit": answer.commit,
        "use": _use(answer),
        "asked": answer.asked,
        "found": answer.found,
        "finds": [_offer(answer, offer, units) for offer in answer.offers],
        "unproven": answer.unproven,
        "not_offered": [_offer(answer, offer, units) for offer in answer.unproven_ones],
        "withheld": answer.withheld,
        "kept_out": [_offer(answer, offer, units) for offer in answer.kept_out],
        "missed": answer.missed,
        "near_misses": [_offer(answer, offer, units) for offer in answer.near],
        "named": [_offer(answer, offer, units) for offer in answer.named],
        "excluded": [{**_by(each.by, units), "left_out": each.left_out} for each in answer.excluded],
        "why": [_offer(answer, offer, units) for offer in answer.why],
        "unheard": [
            {"word": each.word, "near": each.near, "use": each.use or None} for each in answer.unheard
        ],
        "found_without_unheard": answer.found_without if answer.unheard else None,
        "little_words": answer.little_words,
        "unreadable": [{"record": each.path, "why": each.fault} for each in answer.unreadable],
        "named_place": _named_place(answer),
    }


def _named_place(answer: FindAnswer) -> dict[str, Any] | None:
    place = answer.named_place
    return place and {"kind": place.kind, "record": place.rid, "title": place.title, "words": place.words}


def _use(answer: FindAnswer) -> dict[str, Any] | None:
    use = answer.use
    if use is None:
        return None
    return {
        "kind": use.kind,
        "record": use.rid,
        "revision": use.number,
        "title": use.title,
        "application": use.application,
        "lighting": use.lighting,
        "place": use.place,
        "lamp_distance_mm": use.lamp_distance_mm,
        "lamp_pitch_mm": use.lamp_pitch_mm,
        "size_mm": use.size_mm,
        "cautions": use.cautions,
        "withdrawn": use.withdrawn or None,
    }


def _offer(answer: FindAnswer, offer: Offer, units: str) -> dict[str, Any]:
    candidate, pair = offer.candidate, offer.candidate.pair
    site = answer.request.site
    own = candidate.confirmed.by(site) if site else None
    return {
        "place": offer.place or None,
        "shared_with": offer.shared,
        "reason": offer.reason or None,
        "mode": pair.mode.rid,
        "revision": pair.mode.number,
        "title": pair.mode.title,
        "standing": pair.mode.standing,
        "settings_digest": pair.mode.digest,
        "revision_on_trial": offer.trial or None,
        "substrate": pair.mode.substrate,
        "substrate_title": pair.substrate_title or None,
        "printer": pair.mode.printer,
        "printer_title": pair.printer_title or None,
        "in_the_way": [_by(each, units) for each in candidate.in_the_way],
        "requirements": [_judged(each, offer, units) for each in candidate.judged],
        "guidance": [remark_json(each) for each in candidate.remarks],
        "warnings": candidate.warnings,
        "least_margin_pct": None if candidate.room is None else round(candidate.room * 100, 2),
        "confirmed": [_word(word) for word in candidate.confirmed.good],
        "confirmed_by_site": _word(own) if own else None,
        "failed": [_word(word) for word in candidate.confirmed.failed],
        "seam": candidate.seam._asdict() if candidate.seam else None,
        "settings": {
            "mode": _settings("mode", offer.mode),
            "substrate": _settings("substrate", offer.substrate),
        },
    }


def _judged(judged: Judged, offer: Offer, units: str) -> dict[str, Any]:
    known, margin = judged.wanted.known, judged.margin
    amount, unit = None, shown(0, known.unit, units)[1]
    if margin:
        amount = (
            margin.amount if margin.steps else shown(margin.amount, known.unit, units, difference=True)[0]
        )
    percent = percent_of(known, margin) if margin and not margin.steps else None
    return {
        **_by(judged.wanted, units),
        "answer": judged.answer,
        "unit": unit or None,
        "found": [
            value.txt if value.num is None else shown(value.num, known.unit, units)[0]
            for value in judged.found
        ],
        "margin": amount,
        "margin_in": None if amount is None else "steps" if margin and margin.steps else unit,
        "margin_pct": None if percent is None else round(percent, 2),
        "copied": offer.is_copied(judged),
        **_worth(judged, units),
    }


def _worth(judged: Judged, units: str) -> dict[str, Any]:
    """Return how well a computed number is known; null where it is no such number."""
    worth, unit = judged.worth, judged.wanted.known.unit
    told = {
        "low": worth and shown(worth.low, unit, units)[0],
        "high": worth and shown(worth.high, unit, units)[0],
        "standard_uncertainty": worth and shown(worth.u, unit, units, difference=True)[0],
    }
    return {
        **{name: None if value is None else float(f"{value:.4g}") for name, value in told.items()},
        "chance": worth and worth.chance,
        "shares": [{"input": words, "share": round(share, 4)} for words, share in worth.shares]
        if worth
        else [],
        "never_measured": judged.unmeasured,
    }


def _by(by: Judged | Wanted | Remark, units: str) -> dict[str, Any]:
    """Return a requirement or a rule in short."""
    if isinstance(by, Remark):
        return {"of": "guidance", "path": by.rule, "label": by.text, "wanted": None, "why": by.source}
    wanted = by.wanted if isinstance(by, Judged) else by
    return {
        "of": wanted.known.of,
        "path": wanted.known.path or None,
        "label": name(wanted),
        "wanted": wanted_words(wanted, units),
        "why": wanted.why or None,
    }


def _word(word: SiteWord) -> dict[str, Any]:
    return {**word._asdict(), "note": word.note or None}


def _settings(of: str, held: dict[str, tuple[Value, ...]]) -> dict[str, Any]:
    """Return what a record holds, by path, as it was recorded; computed values too."""
    shape = shape_of(SIDES[of])
    types = {path: setting.type if (setting := shape.setting_at(path)) else "" for path in held}
    return {path: _plain(types[path], values) for path, values in held.items()}


def _plain(sort: str, values: tuple[Value, ...]) -> Any:
    if sort == "array":
        return [_plain("", (value,)) for value in values]
    if sort == "boolean":
        return values[0].txt == "yes"
    return values[0].txt if values[0].num is None else values[0].num


def columns_of(units: str) -> dict[str, str]:
    """Return the columns of csv and markdown, with their headings."""
    ink, speed = shown(0, "mL/m²", units)[1], shown(0, "m²/h", units)[1]
    return {
        "place": "place",
        "mode": "mode",
        "revision": "revision",
        "standing": "standing",
        "substrate": "substrate",
        "printer": "printer",
        "layers": "layers",
        "ink": f"heaviest ink, {ink}",
        "passes": "passes",
        "speed": f"speed, {speed}",
        "unknown": "unknown demands",
        "unsure": "demands met not surely",
        "warnings": "warnings",
        "sites": "sites that confirmed",
        "times": "confirmations",
        "last": "last confirmed",
        "failed": "sites where it failed",
        "copied": "met by copied values",
        "room": "least margin, %",
        "way": "in the way",
        "reason": "why this place",
    }


def rows_of(answer: FindAnswer, units: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each find, else for what comes nearest; with --why for each mode asked about."""
    nearest = answer.offers or (*answer.kept_out, *answer.near, *answer.named)
    told = answer.why if answer.request.why else (*nearest, *answer.unproven_ones)
    for offer in told:
        candidate, pair = offer.candidate, offer.candidate.pair
        ways = [in_the_way_words(each, offer, units) for each in candidate.in_the_way]
        if offer in answer.unproven_ones:
            ways.insert(0, unproven_words(candidate.in_the_way))
        yield {
            "place": offer.place or None,
            "mode": pair.mode.rid,
            "revision": f"r{pair.mode.number}",
            "standing": pair.mode.standing,
            "substrate": pair.substrate_title or pair.mode.substrate,
            "printer": pair.printer_title or pair.mode.printer,
            "layers": layers(offer),
            "ink": _number(offer, "ink.volume_ml_m2", "mL/m²", units),
            "passes": _number(offer, "motion.passes", "", units),
            "speed": _number(offer, "motion.speed_m2_h", "m²/h", units),
            "unknown": len(candidate.unknown),
            "unsure": len(candidate.unsure),
            "warnings": candidate.warnings,
            "sites": [word.site for word in candidate.confirmed.good],
            "times": candidate.confirmed.times,
            "last": candidate.confirmed.last or None,
            "failed": [word.site for word in candidate.confirmed.failed],
            "copied": [
                each.wanted.known.label
                for each in candidate.judged
                if each.answer == MET and offer.is_copied(each)
            ],
            "room": None if candidate.room is None else candidate.room * 100,
            "way": "; ".join(ways) or None,
            "reason": offer.reason or None,
        }


def _number(offer: Offer, path: str, unit: str, units: str) -> str | None:
    number = offer.mode[path][0].num if path in offer.mode else None
    return None if number is None else written(number, unit, units)[0]
