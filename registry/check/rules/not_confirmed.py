"""Rule: a known-good mode is confirmed."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.confirming import confirmed_as_good
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["not_confirmed"]


@rule("not-confirmed", "error")
def not_confirmed(checked: Checked) -> Iterator[Remark]:
    """A known-good mode has a good confirmation of the very settings that it has.

    Known good means that someone ran these settings and judged the print. With one setting changed, nobody
    has. Of what a site said of one machine's print the latest word counts.

    To mend: run the mode and confirm it, then set the status; until then the mode is on trial.
    """
    known_good = [case.document for case in checked.live_modes if case.mode["status"] == "known-good"]
    confirmed = confirmed_as_good(checked) if known_good else {}
    for mode in known_good:
        digests = confirmed.get(mode.id, ())
        if mode.digest not in digests:
            yield mode.remark(
                "/status",
                "no site has confirmed these settings",
                "confirm the mode, or set the status to trial",
                found="only confirmations of other settings" if digests else "no good confirmation",
                allowed=f"a good confirmation of the settings digest {mode.digest}",
            )
