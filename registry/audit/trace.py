"""Which mode, at which revision, made a print: by what its bleed says, or by its readings."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from registry.card.code import CardCode, parse_code
from registry.errors import RegistryError
from registry.index.readmodel import Subject
from registry.measurement import Measurement, MeasurementError, read_cgats
from registry.measurement.comparing import Comparison, Incomparable, compare
from registry.question.attached import Wanted, attached, measurement_of
from registry.question.inforce import in_force
from registry.question.names import once_named
from registry.question.registry import NotThen, Registry
from registry.question.revisions import Known, came_words, readable, with_digest
from registry.question.whereabouts import whereabouts

__all__ = ["Fit", "Made", "Ran", "Trace", "by_code", "by_readings"]

_MOST = 3.0
"""ΔE00 in the mean, as it may be at the least, above which no revision explains a print: two good prints of
one mode lie closer (common practice, no source)."""
_SURE = 1.96
"""Standard uncertainties of a margin that tells two references apart with a chance of 95 %."""


@dataclass(frozen=True, slots=True)
class Ran:
    """A run with these settings."""

    record: str
    job: str
    unit: str
    at: float


@dataclass(frozen=True, slots=True)
class Made:
    """A revision that may have made the print; of those with the same settings the newest."""

    mode: Subject
    revision: Known
    standing: str
    came: str
    """When it landed, or what became of it, in words."""
    runs: tuple[Ran, ...]
    """With just these settings, the newest first; at the site asked for, or on the unit that is named."""
    in_use: tuple[str, ...]
    """The units that use these settings now."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A reference measurement, and how far the print lies from it."""

    file: str
    comparison: Comparison
    made: tuple[Made, ...]
    """Every revision that names it, the newest first."""


@dataclass(frozen=True, slots=True)
class Trace:
    """What explains a print best."""

    code: CardCode | None
    """What was read off the print; None where its readings were asked."""
    made: tuple[Made, ...]
    """By its code: the revision with these settings; by readings: those of the best fit."""
    fits: tuple[Fit, ...]
    """Of readings: the nearest first."""
    left_out: tuple[tuple[str, int], ...]
    """Why references were not compared, and how many."""
    commit: str

    @property
    def explained(self) -> bool:
        """Whether what is best is near enough to have made the print."""
        return bool(self.made) and (not self.fits or self.fits[0].comparison.mean.low <= _MOST)

    @property
    def margin(self) -> float | None:
        """By how much the next reference lies farther in the mean, ΔE00; None where there is none."""
        if len(self.fits) < 2:
            return None
        return self.fits[1].comparison.mean.value - self.fits[0].comparison.mean.value

    @property
    def told_apart(self) -> bool | None:
        """Whether that margin is more than repeated readings differ by; None without a next one."""
        margin = self.margin
        if margin is None:
            return None
        return margin > _SURE * (2**0.5) * max(fit.comparison.mean.u for fit in self.fits[:2])


def by_code(registry: Registry, text: str, site: str = "") -> Trace:
    """Return the revision that a card's code or a print's slug names, and its runs.

    Raises
    ------
    CodeError
        The text is neither.
    NotThen
        No revision has or had these settings.
    """
    code = parse_code(text)
    mode = once_named(registry, code.mode_id, ("print-mode",))
    found = list(with_digest(registry, mode.path, code.digest).values())
    if not found:
        where = whereabouts(registry, mode.path, code.digest) or "no branch here has or had them"
        raise NotThen(f"no revision of {mode.rid} has the settings {code.digest}: {where}")
    made = tuple(_made(registry, mode, each, code.unit or site) for each in found)
    return Trace(code, made, (), (), registry.commit)


def by_readings(registry: Registry, found: Measurement, site: str = "") -> Trace:
    """Return which references a print's readings lie nearest to, and the revisions that name them.

    Transmission is never compared with reflection, nor any condition with another; what cannot be compared is
    counted with the reason.

    Notes
    -----
    Every reference that a landed revision names is read once, however many name it.
    """
    naming = _naming(registry)
    data = attached(registry, naming)
    fits, left = [], Counter[str]()
    left["its file has not landed as it is named"] += len(naming) - len(data)
    for wanted, kept in data.items():
        try:
            comparison = compare(found, read_cgats(kept), registry.settings)
        except Incomparable as error:
            left[error.reasons[0]] += 1
        except MeasurementError:
            left["its file is no measurement"] += 1
        else:
            fits.append((comparison.mean.value, wanted, comparison))
    fits.sort(key=lambda each: (each[0], each[1]))
    told = tuple(
        Fit(
            wanted.name,
            comparison,
            tuple(_made(registry, mode, revision, site) for mode, revision in naming[wanted]),
        )
        for _, wanted, comparison in fits[:2]
    )
    reasons = tuple((reason, count) for reason, count in left.most_common() if count)
    return Trace(None, told[0].made if told else (), told, reasons, registry.commit)


def _naming(registry: Registry) -> dict[Wanted, list[tuple[Subject, Known]]]:
    """Return every reference that any landed revision of a mode names, with those revisions, newest first."""
    naming: dict[Wanted, dict[tuple[str, str], tuple[Subject, Known]]] = {}
    modes = registry.model.subjects("print-mode", newest=True)
    lines = {mode: list(reversed(readable(registry.model.revisions(mode.path)))) for mode in modes}
    documents = registry.documents(each.blob for line in lines.values() for each in line)
    for mode, line in lines.items():
        for revision in line:
            wanted = measurement_of(documents[revision.blob])
            if wanted:
                naming.setdefault(wanted, {}).setdefault((mode.rid, revision.digest or ""), (mode, revision))
    return {wanted: list(each.values()) for wanted, each in naming.items()}


def _made(registry: Registry, mode: Subject, revision: Known, where: str) -> Made:
    return Made(
        mode,
        revision,
        registry.model.standing(revision),
        came_words(registry, revision),
        tuple(_runs(registry, mode, revision, where)),
        tuple(_in_use(registry, mode, revision)),
    )


def _runs(registry: Registry, mode: Subject, revision: Known, where: str) -> list[Ran]:
    wanted = {"mode": mode.rid, "settings_digest": revision.digest or ""}
    subjects = registry.model.holding("run", wanted)
    times = registry.model.values("printed", "run") if subjects else {}
    documents: dict[str, dict[str, Any]] = registry.documents(each.blob for each in subjects)
    runs = []
    for each in subjects:
        said = documents[each.blob]
        here = not where or f"{said.get('unit')}/".startswith(f"{where}/")
        if here and each.id in times:
            at = times[each.id][0].num or 0.0
            runs.append(Ran(each.rid, str(said.get("job")), str(said.get("unit")), at))
    return sorted(runs, key=lambda each: (-each.at, each.record))


def _in_use(registry: Registry, mode: Subject, revision: Known) -> Iterator[str]:
    """Yield the units on which these settings were used last."""
    used = [each for kind in ("run", "event") for each in registry.model.holding(kind, {"mode": mode.rid})]
    documents = registry.documents(each.blob for each in used)
    for unit in sorted({str(each["unit"]) for each in documents.values() if "unit" in each}):
        try:
            evidence = in_force(registry, mode, unit, float("inf"))
        except RegistryError:
            continue
        if evidence.revision is not None and evidence.revision.digest == revision.digest and evidence.record:
            yield unit
