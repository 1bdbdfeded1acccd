"""Rule: how well an input is known is said once."""

from collections.abc import Iterator

from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.rule import rule

__all__ = ["uncertainty_unclear"]


@rule("uncertainty-unclear", "error")
def uncertainty_unclear(checked: Checked) -> Iterator[Remark]:
    """Each entry of `uncertainties` gives one standard uncertainty, `u` or `u_pct`; a value may stand beside.

    With both nobody can tell which counts, and with neither the entry changes nothing but is believed to. An
    entry that only gives the value to take where none is recorded keeps the default's uncertainty.

    To mend: keep u, in the unit of the value, or u_pct, in % of it, and take the other out.
    """
    for document in checked.of("registry"):
        for number, each in enumerate(document.content.get("uncertainties", [])):
            given = [name for name in ("u", "u_pct") if name in each]
            if len(given) == 1 or (not given and "value" in each):
                continue
            yield document.remark(
                f"/uncertainties/{number}",
                "an input has one standard uncertainty",
                "keep u, in the unit of the value, or u_pct, in % of it",
                found="u and u_pct" if given else "neither",
                allowed="u or u_pct",
            )
