"""Whatever shops do with plain git: every answer is what `git show` shows, or says that it cannot tell."""

import datetime
import random
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from registry.change.history import history
from registry.index.readmodel import Written
from registry.model.shape import shape_of
from registry.question.landed import LandedFiles
from registry.question.registry import Registry
from registry.store.line import Node, line_of, pulls_in
from tests import small
from tests.hostile.answered import CANNOT_TELL, Asked
from tests.hostile.clones import cut_off, fetch, write
from tests.hostile.conftest import Tried
from tests.hostile.cooperative import OPERATIONS, SHARED, Cooperative
from tests.hostile.papers import FRONT, MODE, PATHS, SITES, UNIT
from tests.hostile.plainly import Answer, day
from tests.hostile.plainly_used import PlainlyUsed
from tests.index.slowly import Slow

ANSWERS = {
    *("told", "removed", "unreadable", "not landed yet", "cut off", "several", "no such number"),
    *("nowhere", "on a branch", "forced away", "run", "adopted", "assumed"),
    *("current", "form only", "newer revision", "on trial", "withdrawn", "unknown revision"),
    "digest of other settings",
}
"""What every run must have met; also "merged away", but seldom of a card."""
HISTORIES = 11
ONCE_WRONG = (209,)
"""Histories beyond the first that were once answered wrongly: git counted by dates that ran backwards."""
LIVES = 150
DAY = 86400


def is_right(answer: Answer, expected: list[Answer]) -> bool:
    """Tell whether an answer is one of those that are true; of where settings are, any commit will do."""
    for each in expected:
        match each:
            case ("on a branch", dict(branches)):
                if answer[0] == each[0] and (answer[1], answer[2]) in {
                    (c[:12], b) for c, b in branches.items()
                }:
                    return True
            case ("forced away", frozenset(commits)):
                if answer[0] == each[0] and answer[1] in {commit[:12] for commit in commits}:
                    return True
            case _:
                if answer == each:
                    return True
    return False


Question = tuple[str, str, Answer, list[Answer]]
"""What it is about, what is asked, the program's answer, and every answer that is true."""


def landed_by(rng: random.Random, asked: Asked, slow: PlainlyUsed) -> Iterator[Question]:
    """Ask what had landed by some moments, just before, at and after landings, and by the end of a day."""
    moments = sorted({each + more for each in slow.dates for more in (-1, 0, DAY)})
    for path, rid in PATHS.items():
        for moment in rng.sample(moments, min(6, len(moments))):
            text = f"{rid}@{iso(moment)}"
            yield "landed", text, asked.version(text), [slow.landed_by(path, moment)]
        text = f"{rid}@{(date := day(rng.choice(moments)))}"
        end = datetime.datetime.fromisoformat(f"{date}T23:59:59+01:00").timestamp()
        yield "landed", text, asked.version(text), [slow.landed_by(path, end)]


def iso(moment: float) -> str:
    return datetime.datetime.fromtimestamp(moment, datetime.UTC).isoformat()


def identity(rng: random.Random, asked: Asked, slow: PlainlyUsed, life: Cooperative) -> Iterator[Question]:
    """Ask for numbers and settings, those that were written anywhere and those that nobody wrote."""
    for path, rid in PATHS.items():
        for number in range(max((each.number or 0 for each in slow.line(path)), default=0) + 2):
            text = f"{rid}@r{number}"
            yield "number", text, asked.version(text), slow.numbered(path, number)
    written = [
        (path, each["revision"], shape_of("print-mode").digest(each)) for path, each in life.papers.modes
    ]
    gone = [each for each in written if is_away(slow.with_settings(each[0], each[2]))]
    drawn = [*rng.sample(written, min(6, len(written))), *rng.sample(gone, min(3, len(gone)))]
    for path, number, digest in [*drawn, (MODE, 1, f"{rng.getrandbits(256):064x}")]:
        text = f"{PATHS[path]}@{digest[:12]}"
        yield "settings", text, asked.version(text), slow.with_settings(path, digest[:12])
        for named in (number, number + 7):
            text = f"litstock:{PATHS[path]}@r{named}#{digest[:12]}"
            yield "card", text, asked.verdict(text), slow.verdict(path, named, digest[:12])


def is_away(answers: list[Answer]) -> bool:
    return answers[0][0] in {"on a branch", "forced away"}


def in_force(rng: random.Random, asked: Asked, slow: PlainlyUsed) -> Iterator[Question]:
    """Ask what was in force on some machines and at some sites, now and at some moments."""
    moments = [each[0] for rid in (small.MODE, small.FRONT) for each in slow.uses(rid, "")] + slow.dates
    for where in rng.sample([*SITES, "harbour-yard/left", "mill-lane/one"], 3):
        for path in (MODE, FRONT):
            text = f"{PATHS[path]}@site:{where}"
            yield "in force", text, asked.version(text), slow.in_force(path, where, float("inf"))
            for moment in rng.sample(moments, min(2, len(moments))):
                at = moment + rng.choice((-1, 0, 0, 3600))
                then = f"{text}:{iso(at)}"
                yield "in force", then, asked.version(then), slow.in_force(path, where, at)


def whole(asked: Asked, slow: PlainlyUsed, stood: set[str]) -> Iterator[Question]:
    """Ask for all that is told of the line and of the two records at once."""
    model = asked.registry.model
    landings = [(each.commit, each.landed, each.clock) for each in model.landings()]
    dated = zip(slow.chain, slow.dates, strict=True)
    expected = [(each.id, date, each.committed) for each, date in dated]
    yield "landed", "landings", ("all", *landings), [("all", *expected)]
    for path, rid in PATHS.items():
        if slow.line(path):
            yield from steps(asked, slow, path)
        else:
            yield "number", f"{rid}@r1", asked.version(f"{rid}@r1"), [slow.unknown]
    yield from line(asked, slow)
    strayed = tuple(model.strayed())
    yield "told", "rewritten", ("all", *strayed), [("all", *sorted(stood - {each.id for each in slow.chain}))]


def steps(asked: Asked, slow: PlainlyUsed, path: str) -> Iterator[Question]:
    """Ask for one record's whole history."""
    told = history(asked.registry, PATHS[path]).steps
    order = [(step.landed.n, not step.beside) for step in told]
    assert order == sorted(order)
    landed = [(each.landed.n, each.revision.revision, each.revision.blob) for each in told if not each.beside]
    expected = [(each.n, each.number, each.blob) for each in slow.line(path)]
    yield "landed", f"history {path}", ("all", *landed), [("all", *expected)]
    beside = {
        (each.landed.n, each.revision.commit_id, each.revision.blob): each.committed
        for each in told
        if isinstance(each.revision, Written)
    }
    came = {(each.n, each.commit, each.blob): each.written for each in slow.came_along(path)}
    yield "number", f"history {path}", ("all", beside), [("all", came)]
    for step in told:
        if not step.beside:
            wrote = slow.written_at(path, step.landed.n, step.revision.blob)
            yield "landed", "written", ("all", step.committed), [("all", each) for each in wrote]
    if path == UNIT:
        return
    first: dict[tuple[object, ...], float] = {}
    for step in told:
        for use in step.in_force:
            key = (step.landed.n, not step.beside, step.revision.digest, use.unit, use.how)
            first[key] = min(use.at, first.get(key, use.at))
    yield "in force", f"history {path}", ("all", first), [("all", slow.first_uses(path))]


def line(asked: Asked, slow: PlainlyUsed) -> Iterator[Question]:
    """Ask what `check` says of the line: whose clock fell back, and where a plain pull was pushed."""
    odd = [each.words for each in LandedFiles(asked.registry.repository).oddities()]
    clocks = re.findall(r"^commit (\w+) is .* counts as landed on (\S+) ", "\n".join(odd), re.MULTILINE)
    yield "told", "clocks", ("all", *sorted(clocks)), [("all", *sorted(slow.clocks()))]
    pulls = re.findall(r"\(commit (\w+)\): (\d+) landings? came in behind it", "\n".join(odd))
    yield "told", "pulls", ("all", *sorted(pulls)), [("all", *sorted(slow.pulls()))]


def compare(
    rng: random.Random, clone: Path, slow: PlainlyUsed, life: Cooperative, stood: set[str]
) -> Counter[str]:
    """Ask one clone everything, and compare each answer with what git shows; return what was answered."""
    asked, counted = Asked(Registry(clone, {})), Counter[str]()
    for topic, text, answer, expected in (
        *whole(asked, slow, stood),
        *landed_by(rng, asked, slow),
        *identity(rng, asked, slow, life),
        *in_force(rng, asked, slow),
    ):
        kind = answer[0]
        counted.update((f"about {topic}", f"answered {kind}", str(kind in CANNOT_TELL)))
        assert is_right(answer, expected), (clone.name, slow.tip, text, answer, expected)
    asked.registry.model.close()
    return counted


def live_through(folder: Path, seed: int) -> Counter[str]:
    """Live one life; ask everything each time that the clone has fetched, and one that is cut off at last."""
    rng = random.Random(seed)
    life = Cooperative(rng)
    life.live(14)
    counted = Counter(life.drawn)
    ids = write(folder, life)
    commits = Slow(folder)
    stood: set[str] = set()
    for before, seen in zip([None, *life.seen], life.seen, strict=False):
        fetch(folder, ids, before, seen)
        stood.add(tip := ids[seen.refs[SHARED]])
        counted += compare(rng, folder, PlainlyUsed(commits, tip, folder), life, stood)
    cut, whole_of_it = cut_off(folder, rng.randint(1, 5)), PlainlyUsed(commits, tip, folder)
    part = PlainlyUsed(Slow(cut), tip, cut)
    counted += compare(rng, cut, part, life, set())
    keep_to_the_whole(Asked(Registry(cut, {})), part, whole_of_it)
    return counted


def keep_to_the_whole(asked: Asked, part: PlainlyUsed, whole_of_it: PlainlyUsed) -> None:
    """A clone that is cut off says what the whole one says, or that it cannot tell.

    It cannot know of a clock that ran ahead in what it lacks; then its own dates are earlier ones.
    """
    if part.dates != whole_of_it.dates[-len(part.dates) :]:
        return
    for path, rid in PATHS.items():
        for moment in whole_of_it.dates:
            answer = asked.version(f"{rid}@{iso(moment)}")
            # of the oldest that it holds it does not know since when
            kept = 3 if answer[0] == "told" else 1
            assert answer[0] == "cut off" or answer[:kept] == whole_of_it.landed_by(path, moment)[:kept]


def test_the_line_goes_through_wherever_the_shared_branch_stood(times: int, tried: Tried) -> None:
    """As long as nobody forces a push, and merges say what git itself says of a pull."""
    for seed in range(LIVES * times):
        life = Cooperative(random.Random(seed), plain=True)
        life.live(20)
        held = reversed([(n, step) for n, step in enumerate(life.steps) if n in life.held[life.main]])
        graph = {str(n): Node(tuple(map(str, step.parents)), step.desk, step.says) for n, step in held}
        tip = str(life.main)
        line = set(line_of(graph, tip, pulls_in(graph, tip, "main")))
        assert {str(each) for each in life.stood} - line == set()
    tried("histories whose line goes through wherever the shared branch stood", LIVES * times)


def test_every_answer_is_what_git_shows(tmp_path: Path, times: int, tried: Tried) -> None:
    counted: Counter[str] = Counter()
    seeds = dict.fromkeys((*range(HISTORIES * times), *ONCE_WRONG))
    for seed in seeds:
        counted += live_through(tmp_path / str(seed), seed)
        shutil.rmtree(tmp_path / str(seed))
    tried("histories of shops that use plain git", len(seeds))
    tried("answers about them that equal what git shows", counted["False"])
    tried("answers about them that say that nobody can tell", counted["True"])
    assert {name for name in OPERATIONS if not counted[name]} == set()
    assert {name for name in ANSWERS if not counted[f"answered {name}"]} == set()
