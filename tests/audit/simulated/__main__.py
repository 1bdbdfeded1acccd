"""`python -m tests.audit.simulated N --set dev|test` prints how N audits of known causes came out."""

import argparse
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from tests.audit.simulated.cases import SEEDS, Case, registry_of
from tests.audit.simulated.causes import CAUSES
from tests.audit.simulated.score import Judged, Share, judged

_VISIBLE = 2


def main() -> None:
    """Make the cases, audit them, print the figures and every answer that was sure and wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("number", type=int)
    parser.add_argument("--set", choices=SEEDS, default="dev", dest="seeds")
    parser.add_argument("--all", action="store_true", help="print every case")
    parser.add_argument("--skip", type=int, default=0, help="leave so many seeds of the set out")
    asked = parser.parse_args()
    seeds = SEEDS[asked.seeds][asked.skip : asked.skip + asked.number]
    with tempfile.TemporaryDirectory() as folder:
        found = judged(*registry_of(Path(folder) / "registry", seeds))
    for line in _lines(found):
        print(line)  # noqa: T201 (run by hand)
    for each in found:
        if each.wrong or asked.all:
            about = f"{'among' if each.case.among else 'alone'}, {'read' if each.case.read else 'unread'}"
            print(f"\n{each.case.complaint} {each.case.cause}, {about}, ΔE00 {each.case.de00:.1f}, "  # noqa: T201
                  f"place {each.place}{', SURE' * each.sure}{' AND WRONG' * each.wrong}")  # fmt: skip
            print(*(f"   {line}" for line in each.words), sep="\n")  # noqa: T201


def _lines(found: Sequence[Judged]) -> Iterator[str]:
    groups: dict[str, Callable[[Case], bool]] = {
        "all": lambda _: True,
        **{cause: lambda case, cause=cause: case.cause == cause for cause in CAUSES},  # type: ignore[misc]
        "alone": lambda case: not case.among,
        "among others": lambda case: case.among,
        "with readings": lambda case: case.read,
        "without readings": lambda case: not case.read,
        "among others, without readings": lambda case: case.among and not case.read,
        "computable, ΔE00 from 2": lambda case: case.computable and case.de00 >= _VISIBLE,
        "the same, alone": lambda case: case.computable and case.de00 >= _VISIBLE and not case.among,
    }
    yield f"{'':<31} first | first three | sure | sure and wrong; each with its 95 % interval"
    for name, belongs in groups.items():
        group = [each for each in found if belongs(each.case)]
        caused = [each for each in group if each.case.truth]
        shares = (
            Share(sum(each.place == 0 for each in caused), len(caused)),
            Share(sum(each.place is not None and each.place < 3 for each in caused), len(caused)),
            Share(sum(each.sure for each in group), len(group)),
            Share(sum(each.wrong for each in group), len(group)),
        )
        yield f"{name:<31} {' | '.join(map(str, shares))}"


if __name__ == "__main__":
    main()
