"""Completion in bash, where the word that is typed is not the word that bash completes.

Bash parts words at `@`, `:`, `=` and the like, so of `RECORD@r` it passes on `RECORD`, `@` and `r`, and it
replaces only what stands behind the last of them. Here the line is read as people mean it, what bash keeps is
taken off each answer, and nothing is appended to a word that is to go on.
"""

import os
import shlex
from os.path import commonprefix

from click.shell_completion import BashComplete, CompletionItem, add_completion_class

__all__ = ["install"]

_SOURCE = """\
%(complete_func)s() {
    local IFS=$'\\n'
    local response completion type value

    response=$(env COMP_LINE="${COMP_LINE}" COMP_POINT=$COMP_POINT COMP_WORDBREAKS="$COMP_WORDBREAKS" \\
        COMP_WORDS="${COMP_WORDS[*]}" COMP_CWORD=$COMP_CWORD %(complete_var)s=bash_complete $1)

    for completion in $response; do
        IFS=',' read -r type value <<< "$completion"
        case $type in
            dir) COMPREPLY=(); compopt -o dirnames ;;
            file) COMPREPLY=(); compopt -o default ;;
            open) COMPREPLY+=("$value"); compopt -o nospace ;;
            plain) COMPREPLY+=("$value") ;;
        esac
    done
    return 0
}

%(complete_func)s_setup() {
    complete -o nosort -F %(complete_func)s %(prog_name)s
}

%(complete_func)s_setup;
"""

_GOES_ON = ("=", ":", "@", "<", ">", "~")
"""A word that ends so is not complete."""


class _Bash(BashComplete):
    source_template = _SOURCE
    _kept = 0
    """So many letters of the typed word bash keeps."""

    def get_completion_args(self) -> tuple[list[str], str]:
        """Return the words before the cursor, and the one that is being typed."""
        if "COMP_LINE" not in os.environ:
            return super().get_completion_args()
        line = os.fsencode(os.environ["COMP_LINE"])[: int(os.environ["COMP_POINT"])].decode(errors="replace")
        words, quoted = _parted(line)
        incomplete = words.pop() if words and (quoted or not line[-1:].isspace()) else ""
        breaks = "" if quoted else os.environ.get("COMP_WORDBREAKS", "")
        self._kept = max(incomplete.rfind(letter) for letter in breaks or " ") + 1
        return words[1:], incomplete

    def get_completions(self, args: list[str], incomplete: str) -> list[CompletionItem]:
        """Return what there is to choose from, as bash is to show it."""
        items = super().get_completions(args, incomplete)
        for item in items:
            item.value = item.value[self._kept :]
        told = [f"{item.value}  ({item.help})" for item in items]
        common = _begin_alike(told) == _begin_alike([item.value for item in items])
        if len(items) > 1 and common and all(item.worth_reading for item in items):
            for item, words in zip(items, told, strict=True):  # shown to choose from, and never put in
                item.value = words
        return items

    def format_completion(self, item: CompletionItem) -> str:
        """Return an answer as the function in bash reads it."""
        goes_on = "open" if item.goes_on or item.value.endswith(_GOES_ON) else "plain"
        return f"{item.type if item.type in ('dir', 'file') else goes_on},{item.value}"


def _begin_alike(words: list[str]) -> str:
    return commonprefix(words)  # noqa: RUF071 (letter by letter, as bash does)


def _parted(line: str) -> tuple[list[str], bool]:
    """Return the words of a line, and whether the last one's quotes are still open."""
    lexer = shlex.shlex(line, posix=True)
    lexer.whitespace_split, lexer.commenters = True, ""
    words: list[str] = []
    try:
        words.extend(lexer)
    except ValueError:  # no closing quote, or nothing behind a backslash
        return [*words, lexer.token], True
    return words, False


def install() -> None:
    """Let click complete so in bash."""
    add_completion_class(_Bash)
