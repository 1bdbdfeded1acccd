"""Rule: what happened names settings that the mode had."""

from collections.abc import Iterator

from registry.check.checked import Checked, Document
from registry.check.finding import Remark
from registry.check.rule import rule
from registry.check.saying import shown

__all__ = ["digest_unknown"]


@rule("digest-unknown", "error", of_changes=True)
def digest_unknown(checked: Checked) -> Iterator[Remark]:
    """A new run, confirmation or adoption names a digest that the mode has at the revision it names.

    It proves which settings a machine ran. A digest of something else proves nothing, and a confirmation
    with it would never count.

    To mend: copy revision and digest from the card, or from the mode as it stands.
    """
    for document in checked.newly_happened:
        mode, revision = document.content.get("mode"), document.content.get("mode_revision")
        digest = document.content.get("settings_digest")
        if mode is None or revision is None or digest is None:
            continue
        known = _known(checked, mode)
        newest = max(known, default=0)
        # An older revision than the base's stands in neither; what it was is not for this check to tell.
        if known and (revision in known or revision > newest) and digest not in known.get(revision, ()):
            yield document.remark(
                "/settings_digest" if revision in known else "/mode_revision",
                "the mode never had these settings at this revision",
                "copy revision and digest from the card, or from the mode",
                found=f"revision {revision}, {shown(digest)}",
                allowed="; ".join(
                    f"revision {each}, {' or '.join(sorted(known[each]))}" for each in sorted(known)
                ),
            )


def _known(checked: Checked, mode: str) -> dict[int, set[str]]:
    """Return the digests of a mode by revision, in the snapshot and in the base."""
    found: dict[int, set[str]] = {}
    sides: list[Document | None] = [each.find("print-mode", mode) for each in (checked, checked.base) if each]
    for document in sides:
        if document and document.sound:
            found.setdefault(document.content["revision"], set()).add(document.digest)
    return found
