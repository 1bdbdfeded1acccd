"""Rule: the printer offers what the mode asks for."""

from collections.abc import Iterator

from registry.check.checked import Checked, ModeCase, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed, quantity, shown

__all__ = ["not_offered"]

_CHOICES = {"passes": "passes", "direction": "directions", "resolution": "resolutions"}


@rule("not-offered", "error")
def not_offered(checked: Checked) -> Iterator[Remark]:
    """Passes, of a layer too, direction, resolution and head gap are ones that the printer offers.

    An operator cannot choose any other, and takes the nearest: then the print is not what the record says. No
    layer takes more passes than the mode has.

    To mend: choose among what the printer's record lists, or complete that list.
    """
    for case in checked.live_modes:
        for member, offer in _CHOICES.items():
            asked, offered = case.mode["motion"].get(member), case.printer.get(offer)
            if asked is not None and offered and asked not in offered:
                yield case.document.remark(
                    f"/motion/{member}",
                    f"the printer does not offer this {member}",
                    f"choose among those that {case.mode['printer']} offers",
                    found=shown(asked),
                    allowed=listed(offered),
                )
        yield from _layers(case)
        yield from _gap(case)


def _layers(case: ModeCase) -> Iterator[Remark]:
    offered, most = case.printer.get("passes"), case.mode["motion"]["passes"]
    for number, layer in enumerate(case.mode["layers"]):
        passes = layer.get("passes")
        if passes is None:
            continue
        if passes > most:
            message, allowed = "a layer takes more passes than the mode", f"at most {most}"
        elif offered and passes not in offered:
            message, allowed = "the printer does not offer these passes", listed(offered)
        else:
            continue
        remedy = f"choose passes that {case.mode['printer']} offers, no more than the mode's"
        pointer = f"/layers/{number}/passes"
        yield case.document.remark(pointer, message, remedy, found=shown(passes), allowed=allowed)


def _gap(case: ModeCase) -> Iterator[Remark]:
    gap = at(case.mode, "motion", "head_gap_mm")
    low, high = case.printer.get("min_head_gap_mm", 0), case.printer.get("max_head_gap_mm", float("inf"))
    if gap is not None and not low <= gap <= high:
        yield case.document.remark(
            "/motion/head_gap_mm",
            "the head cannot be set to this gap",
            f"choose a gap that {case.mode['printer']} allows",
            found=quantity(gap, "mm"),
            allowed=f"from {quantity(low, 'mm')} to {quantity(high, 'mm')}",
        )
