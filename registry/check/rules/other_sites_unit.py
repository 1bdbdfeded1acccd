"""Rule: a shop reports what happened on its own machines."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["other_sites_unit"]


@rule("other-sites-unit", "error")
def other_sites_unit(checked: Checked) -> Iterator[Remark]:
    """The unit that a shop reports on stands in that shop.

    An audit asks one shop for everything that happened on its machine: events, runs, confirmations,
    complaints. What another shop filed would be missed.

    To mend: name the unit of this shop, or file the record under the shop in which the unit stands.
    """
    for document in checked.of("event", "run", "confirmation", "complaint"):
        unit = document.content.get("unit")
        if unit and not unit.startswith(f"{document.content['site']}/"):
            yield document.remark(
                "/unit",
                "the unit stands in another shop",
                "name a unit of this shop, or file the record under the unit's shop",
                found=shown(unit),
                allowed=f"a unit of {document.content['site']}",
            )
