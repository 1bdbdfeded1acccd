"""What spreads the light in a print: the material, or the white laid on it; and where the ink lies to it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from registry.light.stack import Layer
from registry.lit.grounds import is_grounded

__all__ = ["Body", "body_of"]

_SPREADING = {"white", "block-out"}
_NEAR = 0.02
"""By so much two readings of one transmittance may differ."""


@dataclass(frozen=True, slots=True)
class Body:
    """A print without its colour."""

    face: float | None
    """Reflectance of the bare material towards the viewer, a fraction."""
    back: float | None
    """The same towards the box."""
    swallows: float | None
    """Share of the light that the bare material keeps, where a white layer on it hides its reflectances."""
    white: bool
    clear: bool
    """Neither the material nor a white layer spreads light."""
    in_front: float
    """Share of the colour, by load, on the viewer's side of what spreads the light."""
    assumed: tuple[str, ...]
    unknown: tuple[str, ...]
    """What is missing, and what to record."""
    grounded: bool = False
    """What it throws back has a source that is no guess."""

    def layer(self, through: float) -> tuple[Layer | None, tuple[str, ...]]:
        """Return it as a layer of so much transmittance, or None with what stands in the way.

        Notes
        -----
        Of white on a material no reflectance is recorded. White pigment absorbs next to nothing, so the two
        together throw back, on either side, what they neither let through nor the bare material swallows.
        """
        if self.white:
            return self._with_white(through)
        if self.face is None or self.back is None:
            return None, self.unknown
        total = through + max(self.face, self.back)
        if total > 1:
            why = f"the bare material's transmittance and reflectance add up to {total:.2f}: one is wrong"
            return None, (why,)
        return Layer(through, self.face, self.back), ()

    def _with_white(self, through: float) -> tuple[Layer | None, tuple[str, ...]]:
        if self.swallows is None or self.back is None:
            return None, self.unknown
        thrown = 1 - through - self.swallows
        if thrown < self.back - _NEAR:
            bare = 1 - self.swallows - self.back
            read = f"the unprinted patch lets {100 * through:.0f} % through"
            return None, (f"{read}, the bare material {100 * bare:.0f} %: was its white layer there?",)
        return Layer(through, max(thrown, 0.0), max(thrown, 0.0)), ()

    def words(self, layer: Layer) -> Iterator[str]:
        """Yield what had to be assumed of it as a layer."""
        yield from self.assumed
        if self.white:
            thrown = 100 * float(layer.front_reflectance)
            yield f"the white layer swallows no light, so with its material it throws {thrown:.0f} % back"


def body_of(mode: Mapping[str, Any], substrate: Mapping[str, Any]) -> Body:
    """Return the body of a print mode on its substrate; both are documents."""
    light, layers = substrate.get("light", {}), mode["layers"]
    kinds = {layer["what"] for layer in layers}
    back, face = light.get("reflectance_back_pct"), light.get("reflectance_face_pct")
    through = light.get("transmittance_pct")
    white = bool(kinds & _SPREADING)
    in_front = _in_front(layers, first_surface=mode["print_side"] == "first-surface")
    known = through is not None and back is not None and "block-out" not in kinds
    return Body(
        face=_share(back if face is None else face),
        back=_share(back),
        swallows=max(0.0, 1 - (through + back) / 100) if white and known else None,
        white=white,
        clear=light.get("scattering") == "clear" and not white,
        in_front=in_front,
        assumed=tuple(_assumed(substrate, in_front, white=white)),
        unknown=tuple(_unknown(light, kinds)),
        grounded=is_grounded(substrate, "light", "reflectance_back_pct"),
    )


def _in_front(layers: Sequence[Mapping[str, Any]], *, first_surface: bool) -> float:
    """Return the share of the colour's load before the first layer that spreads light.

    Layers stand in order from viewer to lamp; without white it is the material that spreads the light, and
    the ink lies on one of its faces.
    """
    kinds = [layer["what"] for layer in layers]
    spreading = next((place for place, what in enumerate(kinds) if what in _SPREADING), None)
    if spreading is None:
        return 1.0 if first_surface else 0.0
    before, whole = _colour(layers[:spreading]), _colour(layers)
    return before / whole if whole else 1.0


def _colour(layers: Sequence[Mapping[str, Any]]) -> float:
    return sum(float(layer["load_pct"]) for layer in layers if layer["what"] == "colour")


def _assumed(substrate: Mapping[str, Any], in_front: float, *, white: bool) -> Iterator[str]:
    light, holes = substrate.get("light", {}), substrate.get("fabric", {}).get("open_area_pct")
    if white and 0 < in_front < 1:
        yield f"the ink before the white holds {100 * in_front:.0f} % of the density, its share of the load"
    if not white and "reflectance_back_pct" in light and "reflectance_face_pct" not in light:
        yield "the printed face throws back what the back does: light.reflectance_face_pct is not recorded"
    if not white and "scattering" not in light:
        yield "the material spreads light: light.scattering is not recorded"
    if holes:
        yield f"the weave is closed, though {holes:g} % of it is holes that no ink covers"


def _unknown(light: Mapping[str, Any], kinds: set[str]) -> Iterator[str]:
    if "block-out" in kinds:
        yield "what a block-out layer throws back: nothing is recorded of it"
    elif "reflectance_back_pct" not in light:
        yield "the reflectance of the material's back: record light.reflectance_back_pct"
    elif kinds & _SPREADING and "transmittance_pct" not in light:
        yield "what the white layer throws back rests on the bare material: record light.transmittance_pct"


def _share(pct: float | None) -> float | None:
    return None if pct is None else pct / 100
