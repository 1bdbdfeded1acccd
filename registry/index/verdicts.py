"""The guidance in force, and what each rule answers for what is to be found."""

import sqlite3
from collections.abc import Collection, Iterable
from functools import cached_property

from registry.index.advice import MODE_SIDE, PLACE_SIDE, Judge
from registry.index.documents import BATCH
from registry.index.present import Present

__all__ = ["Verdicts"]

_SIDES = {"print-mode": MODE_SIDE, "application": PLACE_SIDE, "display": PLACE_SIDE}


class Verdicts:
    """The tables of rules and verdicts, where the rules with the ids `changed` are not as they were."""

    def __init__(self, db: sqlite3.Connection, present: Present, changed: Collection[str]) -> None:
        self._db, self._present, self._changed = db, present, changed

    @cached_property
    def _rules(self) -> list[Judge]:
        """Every rule in force, those that changed written down anew, without verdicts."""
        rules = self._present.rules()
        for rid in self._changed:
            self._db.execute("DELETE FROM rule WHERE rid = ?", (rid,))
            self._db.execute("DELETE FROM verdict WHERE rule = ?", (rid,))
        for rule in rules:
            if rule.rid in self._changed:
                sides = (rule.looks_at(MODE_SIDE), rule.looks_at(PLACE_SIDE))
                said = (rule.rid, rule.level, rule.text, rule.source, *sides)
                self._db.execute("INSERT INTO rule VALUES (?,?,?,?,?,?)", said)
        return rules

    def judge(self, subject: int, kind: str, blob: str) -> None:
        """Write down what each rule answers for one subject on its own side."""
        self._judge(self._rules, subject, kind, blob)

    def judge_others(self, done: Collection[str]) -> None:
        """Write down what the changed rules answer for every subject but those at the paths done."""
        rules = [rule for rule in self._rules if rule.rid in self._changed] if self._changed else []
        if not rules:
            return
        rows = self._db.execute("SELECT path, id, kind, blob FROM subject ORDER BY path").fetchall()
        others = [(subject, kind, blob) for path, subject, kind, blob in rows if path not in done]
        for start in range(0, len(others), BATCH):
            batch = [each for each in others[start : start + BATCH] if each[1] in _SIDES]
            self._present.load((kind, blob) for _, kind, blob in batch)
            for subject, kind, blob in batch:
                self._judge(rules, subject, kind, blob)

    def _judge(self, rules: Iterable[Judge], subject: int, kind: str, blob: str) -> None:
        if kind not in _SIDES:
            return
        side, case = _SIDES[kind], self._present.case(kind, self._present.documents[kind, blob])
        answers = [(rule.rid, subject, rule.holds(side, case)) for rule in rules if rule.looks_at(side)]
        held = [answer for answer in answers if answer[2] is not False]
        self._db.executemany("INSERT INTO verdict VALUES (?,?,?)", held)
