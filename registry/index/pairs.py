"""Print modes with their substrates, chosen by tests: what `litstock find` asks the read model."""

# ruff: noqa: S608  (queries are put together from words of our own; whatever people type is bound)

import json
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from registry.index.judged import counting_words
from registry.index.readmodel import ReadModel, Subject, Value

__all__ = ["Held", "Judgement", "Pair", "Pairs", "Standing", "Test", "Wide", "Worded"]


class Held(NamedTuple):
    """A setting of the mode, its substrate or its printer has a fitting value."""

    of: str
    """mode, substrate or printer."""
    path: str
    """The setting's path, with `*` for any item of a list."""
    good: tuple[str, ...]
    bad: tuple[str, ...]
    how: str = "one"
    """one: some value is good; none: some is good and none bad; open: some is good, or none is bad."""


class Standing(NamedTuple):
    """The mode or its substrate stands as one of these words says."""

    of: str
    words: tuple[str, ...]


class Worded(NamedTuple):
    """A word, or a longer one that begins so, is in what the mode, its substrate or its printer says."""

    word: str


class Wide(NamedTuple):
    """The substrate is delivered in a width of at least this that the printer takes."""

    width_mm: float


Test = Held | Standing | Worded | Wide


class Pair(NamedTuple):
    """A print mode, with its substrate and printer as far as the registry has them."""

    mode: Subject
    substrate: int | None
    substrate_title: str
    substrate_standing: str
    printer: int | None
    printer_title: str
    passed: tuple[bool, ...]
    """Which of the tests asked it passes."""

    def side(self, of: str) -> int | None:
        """Return the subject on one side: mode, substrate or printer."""
        return {"mode": self.mode.id, "substrate": self.substrate, "printer": self.printer}[of]


class Judgement(NamedTuple):
    """A site's word on how a mode's settings went."""

    mode: str
    digest: str
    site: str
    date: str
    outcome: str
    note: str


_TABLES = {"mode": "m", "substrate": "s", "printer": "p"}
_COLUMNS = f"{', '.join(f'm.{name}' for name in Subject._fields)}, s.id, s.title, s.standing, p.id, p.title"
_PAIRS = """
 FROM subject m
 LEFT JOIN subject s ON s.kind = 'substrate' AND s.rid = m.substrate
 LEFT JOIN subject p ON p.kind = 'printer' AND p.rid = m.printer
 WHERE m.kind = 'print-mode'
"""
_LISTED = "(SELECT value FROM json_each(?))"


class Pairs:
    """Every print mode that is to be found, with its substrate."""

    def __init__(self, model: ReadModel) -> None:
        self._db = model.db

    def passing(self, tests: Sequence[Test]) -> list[Pair]:
        """Return the pairs that pass all tests."""
        of_substrate = [self._sql(test) for test in tests if _needs_substrate(test)]
        asked = [self._sql(test) for test in tests if not _needs_substrate(test)]
        where = "".join(f" AND {sql}" for sql, _ in asked)
        if of_substrate:  # few substrates pass: choose them first, and then only their modes
            fitting = " AND ".join(sql for sql, _ in of_substrate)
            where += (
                f" AND m.substrate IN (SELECT s.rid FROM subject s WHERE s.kind = 'substrate' AND {fitting})"
            )
        rows = self._db.execute(f"SELECT {_COLUMNS}{_PAIRS}{where}", _given([*asked, *of_substrate]))
        return [_pair(row, (True,) * len(tests)) for row in rows]

    def failing(self, tests: Sequence[Test], at_most: int) -> list[Pair]:
        """Return the pairs that fail at most so many of the tests."""
        asked = [self._sql(test) for test in tests]
        failed = "+".join(f"(1-t{n})" for n in range(len(asked)))
        return self._tested(asked, "", [], f"WHERE {failed or 0} <= {at_most}")

    def of_record(self, record: Subject, tests: Sequence[Test]) -> list[Pair]:
        """Return the pairs of a print mode or of a substrate, whatever they pass."""
        asked = [self._sql(test) for test in tests]
        column = "rid" if record.kind == "print-mode" else "substrate"
        return self._tested(asked, f" AND m.{column} = ?", [record.rid], "")

    def total(self) -> int:
        """Return how many pairs there are."""
        row = self._db.execute("SELECT count(*) FROM subject WHERE kind = 'print-mode'").fetchone()
        return int(row[0])

    def counts(self, tests: Sequence[Test]) -> list[int]:
        """Return how many pairs pass each test."""
        asked = [self._sql(test) for test in tests]
        sums = ", ".join(f"total({sql})" for sql, _ in asked)
        row = self._db.execute(f"SELECT {sums}{_PAIRS}", _given(asked)).fetchone()
        return [int(count) for count in row]

    def terms_as_long_as(self, word: str) -> list[str]:
        """Return every word that modes are found by and that is about as long as this one."""
        self._db.execute("CREATE VIRTUAL TABLE IF NOT EXISTS temp.term USING fts5vocab (main, words, row)")
        query = "SELECT term FROM term WHERE length(term) BETWEEN ?1 - 2 AND ?1 + 2"
        return [term for (term,) in self._db.execute(query, (len(word),))]

    def values(self, path: str) -> list[Value]:
        """Return the different values that any record has at a path."""
        query = f"SELECT DISTINCT num, txt FROM facet WHERE setting IN {self._settings(path)}"
        return [Value(*row) for row in self._db.execute(query)]

    def held(self, path: str, subjects: Iterable[int]) -> dict[int, tuple[Value, ...]]:
        """Return what these subjects hold at a path; who holds nothing there is absent."""
        query = (
            f"SELECT subject, num, txt FROM facet WHERE setting IN {self._settings(path)}"
            f" AND subject IN {_LISTED} ORDER BY subject, setting, item"
        )
        found: dict[int, list[Value]] = {}
        for subject, num, txt in self._db.execute(query, (json.dumps(list(subjects)),)):
            found.setdefault(subject, []).append(Value(num, txt))
        return {subject: tuple(values) for subject, values in found.items()}

    def settings(self, subjects: Iterable[int]) -> dict[int, dict[str, tuple[Value, ...]]]:
        """Return everything that these subjects hold, by path."""
        query = (
            "SELECT f.subject, s.path, f.num, f.txt FROM facet f JOIN setting s ON s.id = f.setting"
            f" WHERE f.subject IN {_LISTED} ORDER BY f.subject, s.path, f.item"
        )
        found: dict[int, dict[str, tuple[Value, ...]]] = {}
        for subject, path, num, txt in self._db.execute(query, (json.dumps(list(subjects)),)):
            held = found.setdefault(subject, {})
            held[path] = (*held.get(path, ()), Value(num, txt))
        return found

    def judgements(self, digests: Iterable[str]) -> list[Judgement]:
        """Return every site's word on modes with these settings, as far as it counts, oldest first."""
        digests = list(digests)
        order = {word.of: number for number, word in enumerate(counting_words(self._db, digests))}
        others = ("mode", "site", "date", "outcome")
        joins = "".join(
            f" {kind} JOIN facet {name} ON {name}.setting IN {self._settings(name)} AND {name}.subject = c.id"
            for kind, name in (*(("", name) for name in others), ("LEFT", "note"))
        )
        query = (
            "SELECT c.path, mode.txt, digest.txt, site.txt, date.txt, outcome.txt, ifnull(note.txt, '')"
            " FROM facet digest"
            f" JOIN subject c ON c.id = digest.subject AND c.kind = 'confirmation'{joins}"
            f" WHERE digest.setting IN {self._settings('settings_digest')} AND digest.txt IN {_LISTED}"
        )
        rows = [row for row in self._db.execute(query, (json.dumps(digests),)) if row[0] in order]
        return [Judgement(*row[1:]) for row in sorted(rows, key=lambda row: order[row[0]])]

    def runs(self, digests: Iterable[str]) -> dict[tuple[str, str], int]:
        """Return how often each site printed with these settings, by settings digest and site."""
        query = (
            "SELECT digest.txt, site.txt, count(DISTINCT r.id) FROM facet digest"
            " JOIN subject r ON r.id = digest.subject AND r.kind = 'run'"
            f" JOIN facet site ON site.setting IN {self._settings('site')} AND site.subject = r.id"
            f" WHERE digest.setting IN {self._settings('settings_digest')} AND digest.txt IN {_LISTED}"
            " GROUP BY digest.txt, site.txt"
        )
        return {(row[0], row[1]): row[2] for row in self._db.execute(query, (json.dumps(list(digests)),))}

    def _tested(
        self, asked: list[tuple[str, list[Any]]], chosen: str, given: list[Any], where: str
    ) -> list[Pair]:
        passed = "".join(f", {sql} AS t{n}" for n, (sql, _) in enumerate(asked))
        query = f"SELECT * FROM (SELECT {_COLUMNS}{passed}{_PAIRS}{chosen}) {where}"
        rows = self._db.execute(query, [*_given(asked), *given])
        return [_pair(row, tuple(map(bool, row[-len(asked) :] if asked else ()))) for row in rows]

    def _settings(self, path: str) -> str:
        """Return the numbers of the settings that a path means, as SQL."""
        rows = self._db.execute("SELECT id FROM setting WHERE path GLOB ?", (path,))
        return f"({', '.join(str(number) for (number,) in rows)})"

    def _sql(self, test: Test) -> tuple[str, list[Any]]:
        """Return a test as an SQL expression that is 0 or 1, with what is given to it."""
        match test:
            case Held():
                return self._held(test)
            case Standing(of, words):
                return f"ifnull({_TABLES[of]}.standing IN {_LISTED}, 0)", [json.dumps(words)]
            case Worded(word):
                term = word.replace('"', " ")
                return "(m.id IN (SELECT rowid FROM words WHERE words MATCH ?))", [f'"{term}"*']
            case Wide(width):
                return (
                    f"EXISTS (SELECT 1 FROM facet w JOIN facet l"
                    f" ON l.setting IN {self._settings('max_width_mm')} AND l.subject = p.id"
                    f" WHERE w.setting IN {self._settings('widths_mm')} AND w.subject = s.id"
                    " AND w.num BETWEEN ? AND l.num)"
                ), [width]

    def _held(self, test: Held) -> tuple[str, list[Any]]:
        some = (
            f"ifnull({_TABLES[test.of]}.id IN (SELECT subject FROM facet"
            f" WHERE setting IN {self._settings(test.path)} AND txt IN {_LISTED}), 0)"
        )
        good, bad = json.dumps(test.good), json.dumps(test.bad)
        match test.how:
            case "none":
                return f"({some} AND NOT {some})", [good, bad]
            case "open":
                return f"({some} OR NOT {some})", [good, bad]
            case _:
                return some, [good]


def _needs_substrate(test: Test) -> bool:
    """Whether a pair passes only by what its substrate holds."""
    return isinstance(test, Held) and test.of == "substrate" and test.how != "open"


def _given(asked: list[tuple[str, list[Any]]]) -> list[Any]:
    return [each for _, given in asked for each in given]


def _pair(row: tuple[Any, ...], passed: tuple[bool, ...]) -> Pair:
    width = len(Subject._fields)
    substrate, title, standing, printer, printer_title = row[width : width + 5]
    return Pair(
        Subject(*row[:width]), substrate, title or "", standing or "", printer, printer_title or "", passed
    )
