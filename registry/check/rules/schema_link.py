"""Rule: a record names its schema for editors."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["schema_link"]


@rule("schema-link", "warning")
def schema_link(checked: Checked) -> Iterator[Remark]:
    """A record's $schema is the relative path of its kind's schema.

    An editor follows it and helps while someone types. The program itself never does.

    To mend: write the path that the finding allows.
    """
    for document in checked.documents():
        if not document.sound:
            continue
        wanted = "../" * document.path.count("/") + f"schema/{document.kind}.json"
        if document.content.get("$schema") != wanted:
            yield document.remark(
                "/$schema",
                "editors do not find the schema",
                "write the path of the schema",
                found=shown(document.content["$schema"]) if "$schema" in document.content else "nothing",
                allowed=shown(wanted),
            )
