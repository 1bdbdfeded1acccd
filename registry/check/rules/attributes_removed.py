"""Rule: line ends stay settled."""

from collections.abc import Iterator

from registry.check.attributes import settled
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["attributes_removed"]

_PATH = ".gitattributes"


@rule("attributes-removed", "error", of_changes=True)
def attributes_removed(checked: Checked) -> Iterator[Remark]:
    """A line of .gitattributes that keeps the line ends of all records, measurements or profiles stays.

    Git on Windows is usually set to change line ends. Without the line it does so in every new checkout
    there, and a profile whose bytes change prints other colours or none.

    To mend: put the line back as litstock start writes it: *.json text eol=lf, records/**/*.txt -text,
    records/**/*.icc -text.
    """
    if checked.base is None or not checked.asked(_PATH):
        return
    now = settled(checked.snapshot.checkout().attributes)
    for ending in sorted(settled(checked.base.snapshot.checkout().attributes) - now):
        yield Remark(
            _PATH,
            f"nothing keeps the line ends of *{ending} any more",
            "put the line back",
            found="no such line",
            allowed="*.json text eol=lf" if ending == ".json" else f"records/**/*{ending} -text",
            line=1,
            column=1,
        )
