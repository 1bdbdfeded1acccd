"""Rule: a known-good mode has stood a re-wet trial."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["re_wet_untried"]


@rule("re-wet-untried", "error")
def re_wet_untried(checked: Checked) -> Iterator[Remark]:
    """A known-good mode has a re-wet trial, and passed the latest one.

    A print can feel dry at the take-up and stick together on the roll a day later; only the trial shows it
    (common practice, no source).

    To mend: lay prints face to back, weighted and warm, for a day and record the trial; until then the mode
    is on trial.
    """
    for case in checked.live_modes:
        tried = [trial for trial in case.mode.get("trials", []) if trial["what"] == "re-wet"]
        if case.mode["status"] == "known-good" and not (tried and tried[-1]["passed"]):
            yield case.document.remark(
                "/status",
                "a known-good mode must have passed its latest re-wet trial",
                "try it and record the trial, or set the status to trial",
                found="the latest re-wet trial failed" if tried else "no re-wet trial",
                allowed="a passed re-wet trial",
            )
