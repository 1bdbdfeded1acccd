"""Rule: an event names an instrument that its shop has."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import listed, meant, shown

__all__ = ["unknown_instrument"]


@rule("unknown-instrument", "error")
def unknown_instrument(checked: Checked) -> Iterator[Remark]:
    """The instrument that an event names is one that its shop's record lists.

    Whether two readings can be compared depends on which instrument took them and what happened to it
    between.

    To mend: correct the name, or add the instrument to the shop's record.
    """
    for document in checked.of("event"):
        site = checked.content("site", document.content["site"])
        name = document.content.get("instrument")
        known = [instrument["name"] for instrument in site.get("instruments", [])]
        if name and site and name not in known:
            yield document.remark(
                "/instrument",
                f"{document.content['site']} has no such instrument",
                meant(name, known) or "correct the name, or add the instrument to the shop's record",
                found=shown(name),
                allowed=listed(known) if known else "none: the shop's record lists no instrument",
            )
