"""Rule: an event says what it happened to."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["event_incomplete"]

_ADOPTED = ("unit", "mode", "mode_revision", "settings_digest")
_NEEDS: dict[str, tuple[str, ...]] = {
    "adopted": _ADOPTED,
    **dict.fromkeys(
        ("head-replaced", "alignment", "nozzle-loss", "linearisation", "heater-service", "sensor-service"),
        ("unit",),
    ),
    "firmware": ("unit",),
    **dict.fromkeys(("instrument-changed", "instrument-recalibrated"), ("instrument",)),
    **dict.fromkeys(("ink-lot", "fixing-fluid-lot", "substrate-lot", "laminate-lot"), ("lot",)),
    **dict.fromkeys(
        (
            "lamp-some-replaced",
            "lamp-all-replaced",
            "driver",
            "dimming",
            "diffuser-or-panel",
            "cleaned",
            "moved",
        ),
        ("display",),
    ),
}


@rule("event-incomplete", "error")
def event_incomplete(checked: Checked) -> Iterator[Remark]:
    """An event names what it happened to: machine, display, instrument or lot, as its kind has it.

    An audit gathers what happened to one machine or display. An adoption that does not say which settings
    were taken into use, by revision and digest, proves nothing.

    To mend: add the members that the finding names; leave a mode out of events that adopt none.
    """
    for document in checked.of("event"):
        event = document.content
        for member in _NEEDS.get(event["kind"], ()):
            if member not in event:
                yield document.remark(
                    f"/{member}",
                    f"the event {event['kind']} does not say its {member.replace('_', ' ')}",
                    f"add {member!r}",
                    found="nothing",
                )
        if event["kind"] != "adopted":
            for member in {"mode", "mode_revision", "settings_digest"} & event.keys():
                yield document.remark(
                    f"/{member}",
                    f"the event {event['kind']} adopts no mode",
                    f"remove {member!r}, or write an event of the kind adopted",
                    found=f"{member!r}",
                )
