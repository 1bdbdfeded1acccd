"""The first files of a registry: its own record, its first site, schemas, and how git is to treat them."""

from collections.abc import Iterable

from registry.contribute.drafting import with_identity
from registry.contribute.prepare import Contribution, Writer, combined, create
from registry.model.kinds import KINDS, path_of
from registry.shipped import shipped

__all__ = ["ATTRIBUTES", "NOTHING", "first_files", "schemas"]

_RULES = ("*.json text eol=lf", "records/**/*.txt -text", "records/**/*.icc -text")
ATTRIBUTES = {".gitattributes": "".join(f"{rule}\n" for rule in _RULES).encode()}
"""JSON stays text with line feeds on every machine, attachments stay as they are, byte for byte."""


class _Nothing:
    """A tree before its first file."""

    def read(self, _path: str) -> None:
        return None

    def paths(self) -> Iterable[str]:
        return ()


NOTHING = _Nothing()
"""The tree upon which a registry is founded."""


def first_files(title: str, time_zone: str, site: str, site_title: str, date: str) -> Contribution:
    """Prepare a registry's first records; `site` is the id of the shop that founds it."""
    with_identity("site", site, {})  # refuses what can be no id
    writer = Writer(site, date)
    reason = "Found the registry"
    own = {"title": title, "time_zone": time_zone}
    records = (
        create(NOTHING, path_of("registry", "registry"), own, writer=writer, reason=reason),
        create(NOTHING, path_of("site", site), {"title": site_title}, writer=writer, reason=reason),
    )
    return combined(*records, message=reason)


def schemas() -> dict[str, bytes]:
    """Return the schemas to which records point, for editors; the program itself goes by its own."""
    return {f"schema/{kind}.json": (shipped("schema") / f"{kind}.json").read_bytes() for kind in KINDS}
