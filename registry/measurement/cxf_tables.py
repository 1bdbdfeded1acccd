"""A CxF3 document, known to keep to its schema, as tables: one for each specification and set of columns."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from registry.measurement.cxf_conformity import element, named
from registry.measurement.form import MeasurementError, Table, TextFault

if TYPE_CHECKING:
    from colour_cxf.cxf3 import ColorSpecification, CxF

__all__ = ["tables"]

Row = dict[str, float | str]

_SPECTRA = {
    "ReflectanceSpectrum": "Reflectance",
    "TransmittanceSpectrum": "Transmittance",
    "EmissiveSpectrum": "Emissive",
}
"""Spectra by what their specification's measurement type ends in."""
_KINDS = {"Reflectance": "reflection", "Transmittance": "transmission", "Emissive": "emission"}
_READINGS: dict[str, tuple[tuple[str, str], ...]] = {
    "ColorCIELab": (("LAB_L", "l"), ("LAB_A", "a"), ("LAB_B", "b")),
    "ColorCIEXYZ": (("XYZ_X", "x"), ("XYZ_Y", "y"), ("XYZ_Z", "z")),
}
_CMYK = (("CMYK_C", "cyan"), ("CMYK_M", "magenta"), ("CMYK_Y", "yellow"), ("CMYK_K", "black"))


def tables(document: "CxF", lines: Mapping[str, list[int]]) -> tuple[Table, ...]:
    """Return the document's tables; colours that are only computed for screens, and tags, are left out.

    Raises
    ------
    MeasurementError
        It holds no measured patches, or what it holds cannot be told apart.
    """
    return _Reader(document, lines).tables()


class _Reader:
    def __init__(self, document: "CxF", lines: Mapping[str, list[int]]) -> None:
        resources = document.resources
        self._file = document.file_information
        specifications = resources and resources.color_specification_collection
        objects = resources and resources.object_collection
        self._specifications = list(specifications.color_specification) if specifications else []
        self._objects = list(objects.object_value) if objects else []
        self._object_lines = lines["Object"]
        self._faults: list[TextFault] = []
        self._spectra: dict[str, list[tuple[int, str, int]]] = {}
        """By specification: line, name and number of values of each spectrum."""
        self._status: dict[str, str] = {}
        """Density status by specification."""

    def tables(self) -> tuple[Table, ...]:
        self._refuse_same_ids()
        by_id = {each.id: each for each in self._specifications}
        rows: dict[tuple[str, tuple[str, ...]], list[Row]] = {}
        for at, patch in enumerate(self._objects):
            for reference, row in self._rows(at, patch, by_id).items():
                rows.setdefault((reference, tuple(row)), []).append(row)
        self._refuse_cut_off()
        if not rows and not self._faults:
            self._fault(
                0, "the file holds no measured patch: no Object with spectrum, L*a*b*, XYZ or density"
            )
        if self._faults:
            raise MeasurementError(tuple(self._faults))
        headers = [self._header(by_id[reference]) for reference, _ in rows]
        keywords = dict.fromkeys(keyword for header in headers for keyword in header)
        return tuple(
            Table({keyword: (header.get(keyword, ""),) for keyword in keywords}, columns, tuple(found))
            for header, ((_, columns), found) in zip(headers, rows.items(), strict=True)
        )

    def _fault(self, line: int, message: str) -> None:
        self._faults.append(TextFault(line, message))

    def _refuse_same_ids(self) -> None:
        for collection in (self._objects, self._specifications):
            ids = [each.id for each in collection]
            for twice in sorted({name for name in ids if name and ids.count(name) > 1}):
                self._fault(0, f"{element(collection[0])} {twice!r} is there {ids.count(twice)} times")

    def _refuse_cut_off(self) -> None:
        """Refuse a spectrum of another length than most under its specification have: it was cut off."""
        for spectra in self._spectra.values():
            usual = Counter(length for _, _, length in spectra).most_common(1)[0][0]
            for line, who, length in spectra:
                if length != usual:
                    of = f"{length} values, and others under its specification have {usual}"
                    self._fault(line, f"{who} has a spectrum of {of}: was it cut off?")

    def _rows(self, at: int, patch: Any, by_id: Mapping[str | None, "ColorSpecification"]) -> dict[str, Row]:
        """Return an object's readings by specification, its name and device values with each."""
        line = self._object_lines[at]
        found: dict[str, Row] = {}
        for value in patch.color_values.choice if patch.color_values else []:
            cells = dict(self._cells(line, named(patch), value, by_id))
            if not cells:
                continue
            row = found.setdefault(value.color_specification, {})
            if again := cells.keys() & row.keys():
                what = f"{element(value)} ({min(again)})"
                self._fault(line, f"{named(patch)} has {what} twice under {value.color_specification!r}")
            row.update(cells)
        device = dict(_device(patch))
        start: Row = {"SAMPLE_ID": patch.id, "SAMPLE_NAME": patch.name}
        return {reference: start | device | row for reference, row in found.items()}

    def _cells(
        self, line: int, who: str, value: Any, by_id: Mapping[str | None, "ColorSpecification"]
    ) -> Iterator[tuple[str, float]]:
        kind, reference = element(value), value.color_specification
        if kind not in _SPECTRA and kind not in _READINGS and kind != "ColorDensity":
            return
        specification = by_id.get(reference)
        if specification is None:
            self._fault(line, f"{who}: {kind} names the ColorSpecification {reference!r}, which is not there")
        elif kind in _SPECTRA:
            yield from self._spectrum(line, who, value, specification)
        elif kind == "ColorDensity":
            yield from self._density(line, who, value)
        else:
            yield from ((field, getattr(value, name)) for field, name in _READINGS[kind])

    def _spectrum(
        self, line: int, who: str, value: Any, specification: "ColorSpecification"
    ) -> Iterator[tuple[str, float]]:
        kind, measured = element(value), _measured(specification)
        if not measured.endswith(_SPECTRA[kind]):
            self._fault(line, f"{who} has a {kind}, but {named(specification)} says {measured}")
        spec = specification.measurement_spec
        reach = spec.wavelength_range if spec else None
        start = value.start_wl or (reach and reach.start_wl)
        if not reach or not reach.increment or not start:
            lacks = f"{named(specification)} lacks WavelengthRange"
            self._fault(line, f"{who}: {kind} does not say at which wavelengths: {lacks}")
        elif not value.value:
            self._fault(line, f"{who}: {kind} is empty")
        else:
            self._spectra.setdefault(value.color_specification, []).append((line, who, len(value.value)))
            wavelengths = (start + number * reach.increment for number in range(len(value.value)))
            yield from zip((f"SPECTRAL_NM{nm}" for nm in wavelengths), value.value, strict=True)

    def _density(self, line: int, who: str, value: Any) -> Iterator[tuple[str, float]]:
        status, colour = value.status.value, value.filter.value
        said = self._status.setdefault(value.color_specification, status)
        if said != status:
            self._fault(line, f"{who}: ColorDensity of status {status} among those of status {said}")
        yield f"D_{'VIS' if colour == 'Visual' else colour.upper()}", value.density

    def _header(self, specification: "ColorSpecification") -> dict[str, str]:
        """Return how it was measured, under the keywords of CGATS.17; empty ones are left out."""
        spec = specification.measurement_spec
        device = spec.device if spec else None
        file = self._file
        said = {
            "ORIGINATOR": (file and file.creator) or "",
            "DESCRIPTOR": (file and file.description) or "",
            "CREATED": str(file.creation_date.value) if file and file.creation_date else "",
            "INSTRUMENTATION": _joined(device, "manufacturer", "model", "serial_number"),
            "MEASUREMENT_GEOMETRY": _geometry(specification),
            "MEASUREMENT_SOURCE": _source(device),
            "SAMPLE_BACKING": (spec and spec.backing) or "",
            "WEIGHTING_FUNCTION": "; ".join(self._weighting(specification)),
            "TABLE_NAME": specification.id or "",
        }
        return {keyword: " ".join(words.split()) for keyword, words in said.items() if words.split()}

    def _weighting(self, specification: "ColorSpecification") -> Iterator[str]:
        if specification.id in self._status:
            yield f"DENSITY, Status {self._status[specification.id]}"
        spec = specification.tristimulus_spec
        light = spec.illuminant_or_custom_illuminant if spec else None
        if light:
            yield f"ILLUMINANT, {getattr(light.value, 'value', None) or light.name or 'custom'}"
        if spec and spec.observer and spec.observer.value:
            yield f"OBSERVER, {spec.observer.value.value.replace('_', ' ').lower()}"


def _measured(specification: "ColorSpecification") -> str:
    spec = specification.measurement_spec
    kind = spec.measurement_type.value if spec and spec.measurement_type else None
    return str(kind.value) if kind else ""


def _geometry(specification: "ColorSpecification") -> str:
    measured, spec = _measured(specification), specification.measurement_spec
    kind = next((words for ending, words in _KINDS.items() if measured.endswith(ending)), measured)
    return ", ".join(
        filter(None, (kind, _angles(spec.geometry_choice.choice if spec and spec.geometry_choice else None)))
    )


def _angles(choice: Any) -> str:
    if choice is None or isinstance(choice, str):
        return choice or ""
    if hasattr(choice, "illumination_angle"):
        arrangement = choice.single_angle_configuration.value.value.lower()
        return f"{choice.illumination_angle:g}:{choice.measurement_angle:g} {arrangement}"
    return str(choice.value).replace("_", " ").lower() if hasattr(choice, "value") else "several angles"


def _source(device: Any) -> str:
    """Return the measurement condition by its name in ISO 13655, else the light and filter that are named."""
    light = getattr(device, "device_illumination", None)
    if light and light.value:
        name, _, words = light.value.value.partition("_")
        return f"ISO 13655 {name} ({words})" if words else light.custom_type or name
    choice = getattr(device, "device_filter", None)
    return choice.value.value.replace("_", " ") if choice and choice.value else ""


def _joined(device: Any, *names: str) -> str:
    return " ".join(filter(None, (getattr(device, name, None) for name in names)))


def _device(patch: Any) -> Iterator[tuple[str, float]]:
    """Yield what the printer was given, of the first value in a device space that we know."""
    for value in patch.device_color_values.choice if patch.device_color_values else []:
        kind = element(value)
        if kind in {"ColorCMYK", "ColorCMYKPlusN"}:
            yield from ((field, getattr(value, name)) for field, name in _CMYK)
            yield from _spots(getattr(value, "spot_color", ()))
            return
        if kind == "ColorRGB":
            yield from ((f"RGB_{name.upper()}", float(getattr(value, name))) for name in "rgb")
            return


def _spots(spots: Sequence[Any]) -> Iterator[tuple[str, float]]:
    for spot in spots:
        letters = "".join(letter for letter in spot.name.upper() if letter.isascii() and letter.isalnum())
        yield f"CMYK_{letters}", spot.percentage
