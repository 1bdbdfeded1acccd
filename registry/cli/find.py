"""`litstock find`: known-good print modes for a use, ranked, each place with its reason."""

import sys
from collections.abc import Callable
from typing import Any

import click

from registry.cli.completion import complete_conditions, complete_records
from registry.cli.numbers import Number, Whole
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import say, tell, write_json, write_table
from registry.find.answer import FindAnswer, find
from registry.find.request import Request
from registry.model.scales import PENCILS, SCRATCH_GRADES
from registry.model.shape import shape_of

__all__ = ["command"]

_SUBSTRATE, _MODE = shape_of("substrate").settings, shape_of("print-mode").settings
_FEW = 3
"""So many records that cannot be read are named; `litstock check` tells all."""


def _one_of(name: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return an option that asks for one or more of the words that a substrate's setting may say."""
    setting = _SUBSTRATE[name]
    return click.option(
        f"--{name}",
        multiple=True,
        type=click.Choice(setting.words),
        help=f"{setting.label.capitalize()}; give it again to allow more.",
    )


class _Pencil(click.Choice):  # type: ignore[type-arg]  # it takes an argument only from click 8.4 on
    """Pencil hardnesses, in capitals as they are written, however they are typed."""

    def normalize_choice(self, choice: object, ctx: click.Context | None) -> str:  # noqa: ARG002 (click's own)
        return str(choice).upper()


def _left_out(answer: FindAnswer) -> None:
    """Say what cannot be read, so that nobody takes it for what there is not."""
    if answer.unreadable:
        paths = [each.path for each in answer.unreadable]
        more = f" and {len(paths) - _FEW} more" if len(paths) > _FEW else ""
        listed = f"{', '.join(paths[:_FEW])}{more}"
        tell(f"left out, since they cannot be read: {listed}; litstock check says more")


def _write(answer: FindAnswer, form: str, units: str) -> None:
    """Write an answer; what writes it in another form is not loaded."""
    if form == "text":
        from registry.cli.find_text import text_of  # noqa: PLC0415

        for line in text_of(answer, units):
            say(line)
        return
    from registry.cli.find_json import columns_of, json_of, rows_of  # noqa: PLC0415

    if form == "json":
        write_json(json_of(answer, units))
    else:
        write_table(list(rows_of(answer, units)), columns_of(units), form)


@click.command()
@click.argument("words", nargs=-1)
@click.option(
    "--for",
    "use",
    metavar="APPLICATION|DISPLAY",
    shell_complete=complete_records("application", "display"),
    help="What it is for: judges each demand of that use, and the guidance for it.",
)
@_one_of("construction")
@_one_of("base")
@_one_of("coating")
@_one_of("finish")
@click.option(
    "--scratch",
    type=click.Choice(tuple(SCRATCH_GRADES)),
    help="Scratch resistance of the printed face, at least.",
)
@click.option(
    "--pencil",
    type=_Pencil(PENCILS, case_sensitive=False),
    metavar="H",
    help="Pencil hardness of the printed face, at least: 9B to 9H.",
)
@click.option(
    "--lighting",
    type=click.Choice(_MODE["lighting"].words),
    help="How it is lit; a dual mode suits backlit and frontlit.",
)
@click.option(
    "--printer",
    metavar="PRINTER",
    shell_complete=complete_records("printer"),
    help="For this printer model.",
)
@click.option(
    "--site",
    metavar="SITE",
    shell_complete=complete_records("site"),
    help="For printers that stand there; says what that site itself confirmed.",
)
@click.option(
    "--min-width",
    "min_width_mm",
    type=Number(0, 100_000, min_open=True),
    metavar="MM",
    help="Delivered in a width of at least this that the printer takes.",
)
@click.option(
    "--status",
    multiple=True,
    type=click.Choice(_MODE["status"].words),
    default=("known-good",),
    show_default=True,
    help="How the mode stands; give it again to allow more.",
)
@click.option(
    "--where",
    multiple=True,
    metavar="CONDITION",
    shell_complete=complete_conditions,
    help="A condition on any setting: 'heat.cure_c<=100'. All must hold.",
)
@click.option(
    "--why",
    metavar="RECORD",
    shell_complete=complete_records("substrate", "print-mode"),
    help="Say of a substrate or a mode why it is in or out.",
)
@click.option("--limit", type=Whole(min=1), default=10, show_default=True, help="How many to show at most.")
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(context: click.Context, /, units: str, form: str, **asked: Any) -> None:
    """Find known-good print modes for a use, ranked, with the reasons.

    WORDS are looked for in everything that a mode, its substrate and its printer say, each as the beginning
    of a word; little ones, such as `for`, are not. What WORDS name by its title is better asked for by --for.

    A CONDITION is PATH, one of <= >= < > = != ~ (holds), and a value in the path's own unit. A path may
    begin with mode:, substrate: or printer:. Words of a scale compare by rank, as in print.pencil>=H or
    fire.en-13501-1.rating>=C. Where a list has parts of its own, * stands for any of them, as in
    layers.*.load_pct>150; a plain list is asked by its own path, as in widths_mm>=1500. One item that fits
    is enough, but with != none may be what is excluded.

    Every option, word and condition is a requirement, and what a record does not say meets none. Of what
    the use demands, only what is known not to be met keeps a mode out: one of which a demand is unknown is
    found below the others. What is computed of a lit print is met where its chance is at least 95 %, all
    bounds together, and it rests on nothing that nobody measured; not surely met, and found below what is,
    from 50 %. A demand of safety (a fire class, the highest web temperature) must be known to be
    met: until then the mode is not offered, and listed apart.

    Where nothing is found, it lists first what has all that is asked for and is kept out: it is withdrawn,
    on trial, or refused by guidance. Then come near misses, which fail a single requirement or demand; where
    something is kept out, only those that miss by a measure. What lacks a word that was typed is no near
    miss; where there is none, the few modes that say every word are listed with all that is in their way,
    else what leaves out the most. Words that nothing says count for none of this.

    Exit code: 0 where something was found, 1 where nothing was. With --why: 0 where the record is in, 1
    where it is out.

    JSON keys: commit, use (kind, record, revision, title, application, lighting, place, lamp_distance_mm,
    lamp_pitch_mm, size_mm, cautions, withdrawn), asked, found, finds, unproven (how many a safety that is not
    known keeps out), not_offered (they themselves), withheld (how many are kept out), kept_out, missed,
    near_misses, named, excluded (of, path, label, wanted, why, left_out), why, unheard (words that nothing
    says: word, near, use), found_without_unheard, little_words, unreadable (records that cannot be
    read, so that nothing is offered of them: record, why), named_place (a place that the words name: kind,
    record, title, words). Each of finds, not_offered, kept_out, near_misses, named and why: place,
    shared_with, reason, mode, revision, title, standing, settings_digest, revision_on_trial, substrate,
    substrate_title, printer, printer_title, in_the_way (of, path, label, wanted, why), requirements
    (those keys, answer: met, not surely, unmet or unknown, unit, found, margin, margin_in, margin_pct,
    copied: whether nobody has set it here, and of what is computed of a lit print low, high,
    standard_uncertainty, chance, shares: input, share of the variance, and never_measured), guidance (rule,
    level, applies, text, source), warnings, least_margin_pct, confirmed, confirmed_by_site and failed (site,
    times, last, note), seam (needed_mm, widest_mm), settings (mode, substrate: as recorded, by path; computed
    ones too).
    """
    request = Request(**{name: value for name, value in asked.items() if value is not None})
    answer = find(open_registry(context), request)
    _write(answer, form, units)
    _left_out(answer)
    found = any(offer.place for offer in answer.why) if request.why else answer.found
    sys.exit(0 if found else 1)
