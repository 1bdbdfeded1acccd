"""Rule: ranges run upwards."""

from collections.abc import Iterator

from registry.canonical import join_pointer
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.referring import values_at
from registry.check.rule import rule
from registry.check.saying import quantity

__all__ = ["range_reversed"]

# By kind: the group that holds both ends, the lower and the upper one.
_RANGES: dict[str, tuple[tuple[tuple[str, ...], str, str], ...]] = {
    "printer": (
        (("heaters",), "dry_min_c", "dry_max_c"),
        (("heaters",), "cure_min_c", "cure_max_c"),
        (("backlit_load_pct",), "low_pct", "high_pct"),
        ((), "min_width_mm", "max_width_mm"),
        ((), "min_head_gap_mm", "max_head_gap_mm"),
    ),
    "substrate": (
        (("storage",), "min_c", "max_c"),
        (("storage",), "min_rh_pct", "max_rh_pct"),
    ),
    **dict.fromkeys(("application", "display"), ((("demands", "*"), "at_least", "at_most"),)),
}


@rule("range-reversed", "error")
def range_reversed(checked: Checked) -> Iterator[Remark]:
    """The lower end of a range does not lie above its upper end.

    Nothing lies within such a range, so every mode would be refused without anyone seeing why.

    To mend: exchange the two values, or correct the one that is wrong.
    """
    for kind, ranges in _RANGES.items():
        for document in checked.of(kind):
            for parts, low, high in ranges:
                for path, group in values_at(document.content, parts):
                    if low in group and high in group and group[low] > group[high]:
                        yield document.remark(
                            join_pointer(map(str, (*path, low))),
                            "the range runs downwards",
                            "exchange the two values, or correct the one that is wrong",
                            found=f"{low} {quantity(group[low])}",
                            allowed=f"at most {high}, {quantity(group[high])}",
                        )
