"""Why a print mode is on trial: said in one place, so that card, adopt, run and show say the same."""

from collections.abc import Iterable
from typing import Any

from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["confirmed_by", "failed_trial", "why_on_trial"]


def why_on_trial(registry: Registry, version: Version) -> str:
    """Return in words the gravest reason why these settings are on trial; empty where they are not.

    A failed trial comes first, then a failed print, then that nobody has confirmed them; last, that somebody
    has and the record does not say so yet. The words follow on `r10 is on trial: `.
    """
    status = version.document.get("status")
    standing = status if version.draft else version.standing
    if version.kind != "print-mode" or standing != "trial":
        return ""
    if failed := failed_trial(version.document, since=_written(registry, version)):
        return failed
    words = _confirmations(registry, version)
    if against := [each for each in words if each.get("outcome") == "failed"]:
        return f"{against[-1].get('site')} printed it, and it FAILED, on {against[-1].get('date')}"
    if not words:
        said = "its record says known-good, but " if status == "known-good" else ""
        return f"{said}nobody has confirmed these settings"
    if later := _known_good_since(registry, version):
        return f"its record says so; {later} has these very settings and is known good"
    good = [each for each in words if each.get("outcome") == "good"]
    how = "confirmed by" if good else "confirmed as usable only, by"
    return f"{how} {_sites(good or words)}, but its record still says trial"


def confirmed_by(registry: Registry, version: Version) -> str:
    """Return which sites confirmed these very settings as good, each with the day; empty where none has."""
    return _sites(each for each in _confirmations(registry, version) if each.get("outcome") == "good")


def failed_trial(document: dict[str, Any], *, since: str = "") -> str:
    """Return in words the failed trial that a mode has not stood since, re-wet first; empty where none is.

    `since` is the day on which its settings were written: a trial before it was of other settings.

    >>> failed_trial({"trials": [{"what": "cure", "date": "2026-01-02", "site": "a", "passed": False}]})
    'its cure trial FAILED on 2026-01-02 at a'
    """
    latest = {(each.get("what"), each.get("on")): each for each in document.get("trials", ())}
    failed = [each for each in latest.values() if each.get("passed") is False]
    if not failed:
        return ""
    gravest = min(failed, key=lambda each: each.get("what") != "re-wet")
    earlier = ", before these settings were written" if str(gravest.get("date")) < since else ""
    what, day, site = (gravest.get(name) for name in ("what", "date", "site"))
    return f"its {what} trial FAILED on {day} at {site}{earlier}"


def _known_good_since(registry: Registry, version: Version) -> str:
    """Return what a later revision is called that has these very settings and is known good; "" for none."""
    later = (each for each in registry.model.revisions(version.path) if each.seq > version.seq)
    same = (each for each in later if each.digest == version.digest)
    return next((each.label for each in same if registry.model.standing(each) == "known-good"), "")


def _written(registry: Registry, version: Version) -> str:
    """Return the day on which these settings were first written; empty where that is not known."""
    revisions = registry.model.revisions(version.path)
    days = [each.recorded for each in revisions if each.digest == version.digest and each.recorded]
    return min(days, default="")


def _confirmations(registry: Registry, version: Version) -> list[dict[str, Any]]:
    """Return what sites have said of these very settings, as far as it counts, as it was said."""
    wanted = {"mode": version.rid, "settings_digest": version.digest}
    blobs = {each.path: each.blob for each in registry.model.holding("confirmation", wanted)}
    said = [blobs[word.of] for word in registry.model.words(version.rid, version.digest) if word.of in blobs]
    documents = registry.documents(said)
    return [documents[blob] for blob in said]


def _sites(words: Iterable[dict[str, Any]]) -> str:
    """Return which sites spoke, each with the day on which it did so last."""
    last = {str(each.get("site")): str(each.get("date")) for each in words}
    *first, end = [f"{site} on {day}" for site, day in last.items()] or [""]
    return f"{', '.join(first)} and {end}" if first else end
