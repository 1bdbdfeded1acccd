"""Rule: the printer has the inks that the mode lays."""

from collections.abc import Iterator

from registry.check.checked import Checked, ModeCase, at
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed, meant, quantity, shown

__all__ = ["channel_missing"]

# Roles of channels that a layer needs. A block-out's core is laid in dense colour, and without white upon it
# no colour shows on either side (common practice, no source).
_LAYERS = {
    "colour": ("colour",),
    "white": ("white",),
    "clear": ("clear",),
    "block-out": ("colour", "white"),
}
_FLUIDS = {"light_inks_pct": "light-colour", "fixing_fluid_pct": "fixing-fluid", "clear_coat_pct": "clear"}
_OF_LAYERS = ("fixing_fluid_pct", "clear_coat_pct")


@rule("channel-missing", "error")
def channel_missing(checked: Checked) -> Iterator[Remark]:
    """The printer has a channel for every layer and fluid of the mode.

    A layer that the printer cannot lay (colour, white, clear, block-out) or a fluid that it lacks is
    silently left out of the print. A block-out needs colour for its dark core and white to cover it. A limit
    of a channel that it does not have limits nothing.

    To mend: take the layer, fluid or limit out, choose a printer that has the channel, or complete the
    printer's record.
    """
    for case in checked.live_modes:
        fitted = {channel["role"] for channel in case.printer.get("channels", [])}
        wanted = [
            (f"/layers/{number}/what", shown(layer["what"]), role)
            for number, layer in enumerate(case.mode["layers"])
            for role in _LAYERS[layer["what"]]
        ]
        for member, role in _FLUIDS.items():
            if load := at(case.mode, "ink", member):
                wanted.append((f"/ink/{member}", quantity(load, "%"), role))
        for number, layer in enumerate(case.mode["layers"]):
            wanted += [
                (f"/layers/{number}/{member}", quantity(layer[member], "%"), _FLUIDS[member])
                for member in _OF_LAYERS
                if layer.get(member)
            ]
        yield from _unknown_channels(case)
        for pointer, found, role in wanted:
            if fitted and role not in fitted:
                yield case.document.remark(
                    pointer,
                    f"the printer has no channel with the role {shown(role)}",
                    "take it out, or choose a printer that has the channel",
                    found=found,
                    allowed=f"what {', '.join(sorted(fitted))} can lay ({case.mode['printer']})",
                )


def _unknown_channels(case: ModeCase) -> Iterator[Remark]:
    """Yield the limits of channels that the printer does not have."""
    names = [channel["name"] for channel in case.printer.get("channels", [])]
    for number, limit in enumerate(at(case.mode, "ink", "channels") or ()):
        if names and limit["channel"] not in names:
            yield case.document.remark(
                f"/ink/channels/{number}/channel",
                "the printer has no such channel",
                meant(limit["channel"], names) or "take it out, or name a channel of the printer",
                found=shown(limit["channel"]),
                allowed=f"{listed(names)} ({case.mode['printer']})",
            )
