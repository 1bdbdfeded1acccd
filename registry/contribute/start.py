"""The first files of a registry: its own record, its first site, schemas, and how git is to treat them."""

from collections.abc import Iterable, Mapping
from typing import Any

from registry import canonical
from registry.contribute.drafting import with_identity
from registry.contribute.prepare import Contribution, Writer, combined, create
from registry.model.kinds import KINDS, path_of
from registry.shipped import shipped

__all__ = ["ATTRIBUTES", "NOTHING", "first_files", "guidance", "schemas"]

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


def first_files(
    title: str, time_zone: str, site: str, site_title: str, date: str, *, advice: Mapping[str, dict[str, Any]]
) -> Contribution:
    """Prepare a registry's first records; `site` is the id of the shop that founds it.

    The `advice` that it starts with keeps its own source, and begins at revision 1 like all else.
    """
    with_identity("site", site, {})  # refuses what can be no id
    writer = Writer(site, date)
    reason = "Found the registry"
    own = {"title": title, "time_zone": time_zone}
    records = [
        create(NOTHING, path_of("registry", "registry"), own, writer=writer, reason=reason),
        create(NOTHING, path_of("site", site), {"title": site_title}, writer=writer, reason=reason),
    ]
    brought = "Brought along when the registry was founded: change or withdraw what is not so in our shop"
    records += [
        create(NOTHING, path_of("guidance", name), rule, writer=writer, reason=brought)
        for name, rule in advice.items()
    ]
    return combined(*records, message=reason)


def guidance() -> dict[str, dict[str, Any]]:
    """Return the trade's guidance that litstock brings along and that is in force, by id."""
    files = sorted((shipped("records") / "guidance").glob("*.json"))
    held = {file.stem: canonical.read(file.read_bytes()) for file in files}
    return {name: rule for name, rule in held.items() if "withdrawn" not in rule}


def schemas() -> dict[str, bytes]:
    """Return the schemas to which records point, for editors; the program itself goes by its own."""
    return {f"schema/{kind}.json": (shipped("schema") / f"{kind}.json").read_bytes() for kind in KINDS}
