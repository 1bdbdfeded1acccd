"""Git's writing commands, run through GitPython's command layer and held to one repository."""

import os
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryFile

from registry.store.git import ALWAYS, FIXED, TALKATIVE, GitFailed, GitMissing

__all__ = ["Plumbing"]

# What would make a commit, or the way to it, depend on the user's settings.
SETTLED = (
    *("-c", "i18n.commitEncoding=UTF-8"),
    *("-c", f"core.hooksPath={os.devnull}"),
)
# What update-index says of a path that no tree may hold, and then goes on without it.
IGNORED = "Ignoring path"


class Plumbing:
    """Git's writing commands in one repository, whatever a hook has left in the environment."""

    def __init__(self, root: Path, git_dir: Path, common_dir: Path) -> None:
        self.root = root
        self.git_dir = git_dir
        # GitPython hands the whole environment on and can only be told to add to it: so what redirects
        # git is not taken away here but named outright, and what makes it talk is turned off.
        talkative = {name: "0" for name in os.environ if name.startswith(TALKATIVE)}
        self._held = (
            talkative
            | ALWAYS
            | {
                "GIT_ALTERNATE_OBJECT_DIRECTORIES": "",
                "GIT_COMMON_DIR": str(common_dir),
                "GIT_DIR": str(git_dir),
                "GIT_NAMESPACE": "",
                "GIT_OBJECT_DIRECTORY": str(common_dir / "objects"),
                "GIT_WORK_TREE": str(root),
            }
        )

    def run(
        self,
        *args: str,
        input: bytes = b"",  # noqa: A002  (as in subprocess.run)
        index: Path | None = None,
        env: Mapping[str, str] | None = None,
    ) -> str:
        """Run git to its end, on the index named or else the repository's own, and return what it printed."""
        try:
            import git  # noqa: PLC0415  (90 ms that only a commit need pay)
        except ImportError as error:  # how GitPython says that there is no git
            raise GitMissing from error
        held = self._held | {"GIT_INDEX_FILE": str(index or self.git_dir / "index")}
        with TemporaryFile() as given:
            given.write(input)
            given.seek(0)
            status, out, said = git.Git(self.root).execute(
                ["git", *FIXED, *SETTLED, *args],
                istream=given,
                env=held | dict(env or {}),
                with_extended_output=True,
                with_exceptions=False,
            )
        if status or IGNORED in said:
            raise GitFailed(self.root, args, status, said)
        return out
