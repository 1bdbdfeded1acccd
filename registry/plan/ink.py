"""Millilitres of each ink, from load, drop volume, resolution and how much of the area the image inks."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from registry.errors import RequestError
from registry.light.ink import ink_volume
from registry.model.usual import Usual, usuals
from registry.plan.job import Coverage

__all__ = ["Ink", "inks", "leaves_out"]

_LEFT_OUT = (
    "what cleaning, purging and spitting take",
    "what is printed beside the pieces, such as bars and marks",
    "what misses the material or evaporates on its way",
)
_LIGHT_INKS = "what light inks add where the separation uses them"

_NO_DROP = "the printer's drop volume is not recorded"
_NO_COVERAGE = "no coverage was given: --coverage 60, or --coverage C=20,M=15,Y=10,K=5"
_FLOOD = "laid all over the pieces and their bleed"
_COVERAGE = 1.96
"""So many standard uncertainties hold a normal value with a chance of 0.95."""
_LETTERS = {"c": "cyan", "m": "magenta", "y": "yellow", "k": "black"}
_ROLES = {"white": "white", "clear": "clear"}
"""Layers that have an ink of their own, by the role of its channel."""
_FLUIDS = (("clear_coat_pct", "clear coat", "clear"), ("fixing_fluid_pct", "fixing fluid", "fixing-fluid"))
"""Fluids that the mode loads beside its layers: setting, name, role of its channel."""


@dataclass(frozen=True, slots=True)
class Ink:
    """How much of one ink a job takes."""

    name: str
    of: str
    """What it is laid for: a layer, or a fluid."""
    laid_pct: float | None
    """In % of one drop a pixel, load included."""
    ml: float | None
    how: str
    why: str = ""
    """Why it is unknown."""
    u_ml: float | None = None
    """Standard uncertainty of the millilitres: that of the drop volume, to which they are proportional."""

    @property
    def interval_ml(self) -> tuple[float, float] | None:
        """Where the millilitres lie with a chance of 0.95."""
        if self.ml is None or self.u_ml is None:
            return None
        return max(0.0, self.ml - _COVERAGE * self.u_ml), self.ml + _COVERAGE * self.u_ml


def inks(
    case: Mapping[str, dict[str, Any]],
    coverage: Coverage | None,
    area_m2: float,
    usual: Mapping[str, Usual] | None = None,
) -> tuple[Ink, ...]:
    """Return every ink that a mode lays on an area; `usual` says how well a drop volume is known."""
    if coverage is not None:
        _possible(case, coverage)
    return tuple(_Laying(case, coverage, area_m2, usual or usuals({})).all())


def leaves_out(case: Mapping[str, dict[str, Any]], coverage: Coverage | None) -> tuple[str, ...]:
    """Return what the millilitres leave out; light inks count only where they are named one by one."""
    light = {
        each["name"].lower()
        for each in case.get("printer", {}).get("channels", [])
        if each["role"] == "light-colour"
    }
    named = {name.lower() for name in coverage.channels} if coverage else set()
    are_off = case["mode"].get("ink", {}).get("light_inks_pct") == 0
    return _LEFT_OUT if are_off or light <= named else (*_LEFT_OUT, _LIGHT_INKS)


def _possible(case: Mapping[str, dict[str, Any]], coverage: Coverage) -> None:
    """Refuse a mean that lies above the most that any part of an image can ask for."""
    most = case["mode"].get("ink", {}).get("profile_max_pct")
    asks = "the profile"
    if most is None:
        channels = case.get("printer", {}).get("channels", [])
        most = 100 * sum(each["role"] == "colour" for each in channels)
        asks = "an image"
    if most and coverage.total_pct > most:
        raise RequestError(
            f"a mean coverage of {coverage.total_pct:g} % cannot be: {asks} asks for {most:g} % at its "
            "heaviest; give the sum of the channels before the load, averaged over the image"
        )


class _Laying:
    """One mode on one area."""

    def __init__(
        self,
        case: Mapping[str, dict[str, Any]],
        coverage: Coverage | None,
        area_m2: float,
        usual: Mapping[str, Usual],
    ) -> None:
        self.mode, self.printer = case["mode"], case.get("printer", {})
        self.drop = usual["drop-volume"]
        self.coverage, self.area_m2 = coverage, area_m2

    def all(self) -> Iterator[Ink]:
        """Yield layer by layer from viewer to lamp, then the fluids."""
        for layer in self.mode["layers"]:
            if layer["what"] == "colour":
                yield from self._colour(layer["load_pct"])
            else:
                yield self._flood(layer["what"], _ROLES.get(layer["what"], ""), layer["load_pct"])
        for setting, name, role in _FLUIDS:
            if load := self.mode.get("ink", {}).get(setting):
                yield self._flood(name, role, load)

    def _colour(self, load_pct: float) -> Iterator[Ink]:
        if self.coverage is None:
            how = "load × coverage of the image"
            yield Ink("colour inks", "colour", None, None, how, _NO_COVERAGE)
        elif self.coverage.channels:
            for given, share in self.coverage.channels.items():
                how = f"load {load_pct:g} % × coverage {share:g} %"
                yield self._ink(self._channel(given), "colour", load_pct * share / 100, how)
        else:
            total = self.coverage.total_pct
            how = f"load {load_pct:g} % × coverage {total:g} %, the sum of the channels"
            yield self._ink("colour inks, all together", "colour", load_pct * total / 100, how)

    def _flood(self, what: str, role: str, load_pct: float) -> Ink:
        names = [each["name"] for each in self.printer.get("channels", []) if role and each["role"] == role]
        named = next((name for name in names if name == what), names[0] if len(names) == 1 else what)
        return self._ink(named, what, load_pct, f"load {load_pct:g} %, {_FLOOD}")

    def _ink(self, name: str, of: str, laid_pct: float, how: str) -> Ink:
        drop = self.printer.get("drop_volume_pl")
        if drop is None:
            return Ink(name, of, laid_pct, None, how, _NO_DROP)
        across, along = (int(part) for part in self.mode["motion"]["resolution"].split("x"))
        millilitres = ink_volume(drop, (across, along), laid_pct) * self.area_m2
        u_ml = millilitres * self.drop.of(drop, 1) / drop
        return Ink(name, of, laid_pct, millilitres, how, u_ml=u_ml)

    def _channel(self, given: str) -> str:
        """Return the printer's channel that is meant: by its name, or by the letter of its colour."""
        names = [
            each["name"]
            for each in self.printer.get("channels", [])
            if each["role"] in {"colour", "light-colour"}
        ]
        wanted = _LETTERS.get(given.lower(), given.lower())
        for name in names:
            if name.lower() == wanted:
                return str(name)
        if not names:
            return wanted
        raise RequestError(f"the printer has no colour {given!r}: it lays {', '.join(names)}")
