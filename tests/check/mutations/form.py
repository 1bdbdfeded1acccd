"""What the bytes are, and where they lie."""

import json
from typing import Any

from registry.model.kinds import path_of
from registry.question.snapshots import Checkout
from tests.check.mutations.mutation import Change, Mutation, filed, patched
from tests.check.small import FILM, SHEET, Small

__all__ = ["MUTATIONS"]

PRINTER = path_of("printer", "wide-64")
FILM_AT, SHEET_AT = path_of("substrate", FILM), path_of("substrate", SHEET)
USE, ADVICE = path_of("application", "light-box"), path_of("guidance", "aqueous-suits")
ADOPTED = path_of("event", "harbour-yard/2026-02-20-adopted")


def doubled_key(now: Small) -> None:
    path = path_of("guidance", "aqueous-suits")
    now.files[path] = now.files[path].replace(b'"level"', b'"level": "warn",\n  "level"')


def unlinked(now: Small) -> None:
    path = path_of("site", "mill-lane")
    first, _, *rest = now.files[path].split(b"\n")
    now.files[path] = b"\n".join([first, *rest])


def on_one_line(now: Small) -> None:
    path = path_of("site", "mill-lane")
    now.files[path] = json.dumps(now.document("site", "mill-lane")).encode()


def beside(**what: Any) -> Change:
    """Say what git makes of the checkout."""

    def change(now: Small) -> None:
        now.beside = Checkout(**what)

    return change


MUTATIONS: tuple[Mutation, ...] = (
    Mutation("unreadable", "a key stands twice", doubled_key, ADVICE, "/level"),
    Mutation("file-form", "all on one line", on_one_line, path_of("site", "mill-lane")),
    Mutation(
        "schema",
        "an ink nobody knows",
        patched("printer", "wide-64", {"ink_chemistry": "water"}),
        PRINTER,
        "/ink_chemistry",
    ),
    Mutation("schema-link", "no link", unlinked, path_of("site", "mill-lane"), "/$schema"),
    Mutation(
        "schema-link",
        "another kind's schema",
        patched("site", "mill-lane", {"$schema": "../../../schema/unit.json"}),
        path_of("site", "mill-lane"),
        "/$schema",
    ),
    Mutation("foreign-path", "a stray file", filed("records/notes.txt", b""), "records/notes.txt"),
    Mutation(
        "foreign-path", "capitals", filed("records/printers/Wide.json", b"{}"), "records/printers/Wide.json"
    ),
    Mutation(
        "not-a-file",
        "a link",
        lambda now: now.links.update({"records/printers/a.json": "symlink"}),
        "records/printers/a.json",
    ),
    Mutation(
        "reserved-name",
        "a device",
        lambda now: now.put("site", "aux", now.document("site", "mill-lane")),
        path_of("site", "aux"),
    ),
    Mutation(
        "reserved-name",
        "too long",
        lambda now: now.put("site", "a" * 61, now.document("site", "mill-lane")),
        path_of("site", "a" * 61),
    ),
    Mutation(
        "path-identity",
        "another maker",
        patched("substrate", FILM, {"maker": "paneworks"}),
        FILM_AT,
        "/maker",
    ),
    Mutation(
        "path-identity",
        "another shop",
        patched("unit", "harbour-yard/wide-1", {"site": "mill-lane"}),
        path_of("unit", "harbour-yard/wide-1"),
        "/site",
    ),
    Mutation(
        "dated-name",
        "another day",
        lambda now: now.move(ADOPTED, ADOPTED.replace("02-20", "02-21")),
        ADOPTED.replace("02-20", "02-21"),
        "/at",
    ),
    Mutation(
        "git-attributes",
        "an id is written into records",
        beside(attributes=b"*.json text eol=lf\n*.json ident\n"),
        ".gitattributes",
    ),
    Mutation("git-attributes", "a link", beside(top={".gitattributes": "symlink"}), ".gitattributes"),
    Mutation("look-alike", "capitals", beside(top={".GitAttributes": ""}), ".GitAttributes"),
    Mutation("look-alike", "another folder of records", beside(top={"Records": "folder"}), "Records"),
    Mutation("altered-on-checkout", "line ends of Windows", beside(altered={USE: b"{\r\n}\r\n"}.get), USE),
)
