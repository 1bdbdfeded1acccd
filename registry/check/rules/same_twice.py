"""Rule: lists hold each thing once."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["same_twice"]

# By kind: lists, and the members by which their entries are told apart. Layers and trials are no such lists:
# colour, white, colour is a way to print, and a trial may be repeated.
_LISTS: dict[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "substrate": (("fire", ("standard",)),),
    "printer": (("channels", ("name",)),),
    "site": (("instruments", ("name",)),),
    "unit": (("own", ("mode",)),),
    **dict.fromkeys(("application", "display"), (("demands", ("of", "setting")),)),
}


@rule("same-twice", "error")
def same_twice(checked: Checked) -> Iterator[Remark]:
    """No two entries of a list are about the same thing.

    Of two fire classes by one standard, or two sets of own values for one mode, nobody can say which holds,
    and a difference between revisions cannot be told.

    To mend: keep the entry that is right.
    """
    for kind, lists in _LISTS.items():
        for document in checked.of(kind):
            for name, members in lists:
                seen = set()
                for number, entry in enumerate(document.content.get(name, [])):
                    key = tuple(entry[member] for member in members)
                    if key in seen:
                        yield document.remark(
                            f"/{name}/{number}",
                            f"{name} holds two entries about the same",
                            "keep the entry that is right",
                            found=" and ".join(map(shown, key)),
                            allowed=f"one entry for each {' and '.join(members)}",
                        )
                    seen.add(key)
