"""Medians of whole processes, as ratios to `python -c pass` in the same run; a report, not a test."""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from registry.light.difference import ciede2000
from registry.light.grid import Grid
from registry.light.sources import source
from registry.light.tristimulus import xyz
from tools.reference import colour_science
from tools.synthetic import build

RUNS = 7


def median(action: Callable[[], object], runs: int = RUNS) -> float:
    """Return the median wall-clock seconds of an action."""
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def process(*command: str, codes: Sequence[int] = (0, 1)) -> Callable[[], object]:
    """Return an action that runs a whole process, its output read."""

    def act() -> None:
        done = subprocess.run(command, capture_output=True, check=False)
        if done.returncode not in codes:
            raise SystemExit(
                f"{' '.join(command)} ended with {done.returncode}: {done.stderr.decode()[-400:]}"
            )

    return act


def main(arguments: Sequence[str]) -> int:
    """Build the synthetic registry, measure, and print the report."""
    records = int(arguments[0]) if arguments else 10_000
    commits = int(arguments[1]) if len(arguments) > 1 else 2_000
    os.environ |= {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program has its byte code
    with tempfile.TemporaryDirectory(prefix="litstock-bench-") as scratch:
        folder = Path(scratch) / "registry"
        build(folder, records, commits)
        files = sum(1 for _ in (folder / "records").rglob("*.json"))
        print(f"synthetic registry: {files:,} records, {commits:,} landings; medians of {RUNS} runs\n")
        report(folder)
    colours()
    return 0


def report(folder: Path) -> None:
    """Print each measure beside its goal."""
    python = sys.executable
    litstock = str(Path(python).parent / "litstock")
    at = (litstock, "-C", str(folder))
    base = median(process(python, "-c", "pass"), 15)
    filters = (
        "--construction",
        "film",
        "--coating",
        "aqueous",
        "--finish",
        "matte",
        "--where",
        "heat.cure_c<=103",
    )
    mode = next((folder / "records/substrates/maker-0").glob("*/modes/*.json"))
    rid = "/".join((mode.parts[-4], mode.parts[-3], mode.stem))
    card = folder.parent / "card.pdf"

    line("python -c pass", base, base)
    line("--version", median(process(litstock, "--version")), base, at_most=6)
    line("--help", median(process(litstock, "--help")), base, at_most=6)
    first = time.perf_counter()
    process(*at, "find", "grade", *filters)()
    line("find, read model built from nothing", time.perf_counter() - first, base)
    find = median(process(*at, "find", "grade", *filters))
    line("find, warm: four filters and a word", find, base, at_most=10)
    line("card, cold", median(process(*at, "card", rid, "-o", str(card))), base, at_most=30)
    scan(folder, find)
    checks(folder, at, base)


def line(what: str, seconds: float, base: float, at_most: float = 0) -> None:
    """Print one measure, and whether it keeps its goal."""
    ratio = seconds / base
    goal = f"at most {at_most:g} ×: {verdict(met=ratio <= at_most)}" if at_most else ""
    print(f"{what:<36} {seconds * 1000:9.1f} ms {ratio:8.1f} ×   {goal}".rstrip())


def verdict(*, met: bool) -> str:
    """Return whether a goal was met, in a word."""
    return "met" if met else "MISSED"


def compared(what: str, seconds: float, words: str) -> None:
    """Print what is measured for comparison."""
    print(f"{what:<36} {seconds * 1000:9.1f} ms   {words}")


def scan(folder: Path, find: float) -> None:
    """Compare with a text search and a JSON filter over the same files."""
    if not (shutil.which("rg") and shutil.which("jq")):
        print("ripgrep + jq: one of them is not on this machine; not compared")
        return
    script = (
        f"rg -l --glob substrate.json Grade {folder}/records | xargs jq -r"
        ' \'select(.construction=="film" and .coating=="aqueous" and .finish=="matte") | .title\''
    )
    other = median(process("bash", "-c", script), 3)
    compared(
        "ripgrep + jq, substrates only",
        other,
        f"find takes {find / other:.2f} of it, below 1: {verdict(met=find < other)}",
    )


def checks(folder: Path, at: Sequence[str], base: float) -> None:
    """Compare the whole check with jsonschema alone over the same files."""
    whole = median(process(*at, "check", "--format", "json"), 3)
    line("check, every rule, cold", whole, base)
    script = (
        "import json, pathlib, sys\n"
        "from jsonschema import Draft202012Validator as V\n"
        "from registry.model.kinds import KINDS, kind_at\n"
        "from registry.shipped import shipped\n"
        "v = {k: V(json.loads((shipped('schema') / f'{k}.json').read_bytes())) for k in KINDS}\n"
        "root = pathlib.Path(sys.argv[1])\n"
        "for p in (root / 'records').rglob('*.json'):\n"
        "    list(v[kind_at(p.relative_to(root).as_posix())].iter_errors(json.loads(p.read_bytes())))\n"
    )
    alone = median(process(sys.executable, "-c", script, str(folder)), 3)
    compared(
        "jsonschema alone, same files",
        alone,
        f"{alone / whole:.1f} × the check, at least 3: {verdict(met=alone >= 3 * whole)}",
    )


def colours(patches: int = 1_000_000) -> None:
    """Compare colour differences and tristimulus values of many patches with colour-science."""
    colour = colour_science()
    random = np.random.default_rng(1)
    lab1 = random.uniform([0, -128, -128], [100, 128, 128], (patches, 3))
    lab2 = lab1 + random.normal(0, 5, lab1.shape)
    grid, lamp = Grid(380, 730, 10), source("LED-B3")
    spectra = random.uniform(0, 1, (patches, grid.size))
    shape = colour.SpectralShape(grid.first_nm, grid.last_nm, grid.step_nm)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    theirs = colour.SDS_ILLUMINANTS[lamp.name].copy().align(shape)

    def summed() -> object:
        # Its way for arrays, a plain sum; its ASTM E308 takes spectra one by one.
        return colour.msds_to_XYZ(spectra, observer, theirs, method="Integration", shape=shape)

    print()
    twins(f"ΔE00, {patches:,} pairs", lambda: ciede2000(lab1, lab2), lambda: colour.delta_E(lab1, lab2))
    twins(f"XYZ, {patches:,} spectra of {grid.size}", lambda: xyz(spectra, grid, lamp), summed)


def twins(what: str, ours: Callable[[], object], theirs: Callable[[], object]) -> None:
    """Print how long we take beside colour-science for the same."""
    mine, other = median(ours), median(theirs)
    compared(what, mine, f"{mine / other:.2f} of colour-science's, at most 1: {verdict(met=mine <= other)}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
