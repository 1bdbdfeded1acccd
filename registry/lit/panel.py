"""The panel that a print is mounted to, as a layer: the recorded one, or one to try."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.light.box import clear_panel
from registry.light.stack import Layer

__all__ = ["Mounted", "Panel", "recorded", "tried"]

_CLEAR_LETS = 0.85
"""What a clear sheet lets through at the least: below that, what it absorbs counts (common practice)."""
_CLEAR_THROWS = 0.2
"""More than two clear surfaces throw back of light from all sides, up to an index of 1.6: it scatters."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel to try instead of the recorded one; none where it lets everything through."""

    position: str
    """front, behind or none."""
    transmittance: float = 1.0
    reflectance: float | None = None


@dataclass(frozen=True, slots=True)
class Mounted:
    """A panel in its place, ready to be computed with."""

    position: str
    """front, behind, both or none."""
    layer: Layer | None = None
    """Of one sheet; None where there is none, or where it is not known."""
    untold: str = ""
    """Why it is not known, and what to record."""
    spreads: bool = False
    """It is known to spread light."""
    assumed: tuple[str, ...] = ()
    to_try: bool = False

    @property
    def front(self) -> Layer | None:
        """What stands between print and viewer."""
        return self.layer if self.position in {"front", "both"} else None

    @property
    def behind(self) -> Layer | None:
        """What stands between print and lamps."""
        return self.layer if self.position in {"behind", "both"} else None

    @property
    def diffuser(self) -> bool:
        """Whether light is spread behind the print."""
        return self.spreads and self.position in {"behind", "both"}

    @property
    def whole(self) -> Layer | None:
        """All of it, one sheet upon another where it stands on both sides."""
        return self.layer.over(self.layer) if self.layer and self.position == "both" else self.layer

    @property
    def words(self) -> str:
        """What it is, for people."""
        trying = ", to try" if self.to_try else ""
        if self.layer is None:
            return (
                f"none{trying}" if self.position == "none" else f"{self.position}, of unknown transmittance"
            )
        where = {"front": "in front of the print", "behind": "behind the print"}.get(
            self.position, "in front of the print and behind it"
        )
        through, back = 100 * float(self.layer.transmittance), 100 * float(self.layer.front_reflectance)
        return f"{where}: lets {through:.3g} % through, throws {back:.3g} % back{trying}"


def tried(panel: Panel) -> Mounted:
    """Return a panel to try."""
    if panel.position == "none":
        return Mounted("none", to_try=True)
    return Mounted(
        panel.position,
        clear_panel(panel.transmittance, panel.reflectance),
        spreads=_scatters(panel.reflectance),
        assumed=_absorbing(panel.transmittance, panel.reflectance),
        to_try=True,
    )


def recorded(panel: Mapping[str, Any] | None) -> Mounted:
    """Return the panel that a record names."""
    if panel is None:
        return Mounted("none", assumed=("no panel is recorded: none taken",))
    position = str(panel["position"])
    if position == "none":
        return Mounted(position)
    through, back = panel.get("transmittance_pct"), panel.get("reflectance_pct")
    spreads = panel.get("scattering") == "diffusing" or (
        "scattering" not in panel and _scatters(None if back is None else back / 100)
    )
    if not through:
        said = "is recorded as 0 %" if through == 0 else "is not recorded"
        untold = f"the panel's transmittance (panel.transmittance_pct), which {said}"
        return Mounted(position, untold=untold, spreads=spreads)
    if back is not None and through + back > 100:
        added = f"panel.transmittance_pct and reflectance_pct add up to {through + back:g} %"
        untold = f"what the panel lets through and throws back ({added}: one is wrong)"
        return Mounted(position, untold=untold, spreads=spreads)
    share = None if back is None else back / 100
    return Mounted(
        position,
        clear_panel(through / 100, share),
        spreads=spreads,
        assumed=_absorbing(through / 100, share, spreads=spreads),
    )


def _scatters(reflectance: float | None) -> bool:
    return reflectance is not None and reflectance > _CLEAR_THROWS


def _absorbing(transmittance: float, reflectance: float | None, *, spreads: bool = False) -> tuple[str, ...]:
    if reflectance is not None or (transmittance >= _CLEAR_LETS and not spreads):
        return ()
    back = 100 * (1 - transmittance)
    return (f"the panel absorbs nothing, so it throws {back:.3g} % back: its reflectance is not recorded",)
