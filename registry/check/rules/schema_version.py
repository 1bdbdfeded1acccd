"""Rule: a registry's schema version only rises."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["schema_version"]


@rule("schema-version", "error", of_changes=True)
def schema_version(checked: Checked) -> Iterator[Remark]:
    """The schema version for which a registry is written never falls.

    An older litstock writes only where the version is its own. Where it falls, older ones would write again
    beside records that they cannot read.

    To mend: bring the version back, and let litstock migrate raise it.
    """
    own = checked.document("records/registry.json")
    if own and checked.base and checked.version < checked.base.version:
        yield own.remark(
            "/schema_version",
            "the registry's schema version falls",
            "bring the version back",
            found=str(checked.version),
            allowed=f"{checked.base.version} or more",
        )
