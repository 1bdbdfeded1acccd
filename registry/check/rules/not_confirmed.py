"""Rule: a known-good mode is confirmed."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["not_confirmed"]


@rule("not-confirmed", "error")
def not_confirmed(checked: Checked) -> Iterator[Remark]:
    """A known-good mode has a good confirmation of the very settings that it has.

    Known good means that someone ran these settings and judged the print. With one setting changed, nobody
    has.

    To mend: run the mode and confirm it, then set the status; until then the mode is on trial.
    """
    good = {
        (each.content["mode"], each.content["settings_digest"])
        for each in checked.every("confirmation")
        if each.content["outcome"] == "good"
    }
    modes = {mode for mode, _ in good}
    for case in checked.live_modes:
        if case.mode["status"] != "known-good":
            continue
        confirmed_once = case.document.id in modes
        if not confirmed_once or (case.document.id, case.document.digest) not in good:
            yield case.document.remark(
                "/status",
                "no site has confirmed these settings",
                "confirm the mode, or set the status to trial",
                found="only confirmations of other settings" if confirmed_once else "no good confirmation",
                allowed=f"a good confirmation of the settings digest {case.document.digest}",
            )
