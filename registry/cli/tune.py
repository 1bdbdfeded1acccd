"""`litstock tune`: the ink load that a measured ladder calls for, and why."""

import sys
from pathlib import Path
from typing import Any

import click

from registry.cli.completion import complete_draft, complete_records, complete_resolutions
from registry.cli.contributing import Manner
from registry.cli.handed import handed, handed_path
from registry.cli.numbers import Number, Whole
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import figures, say, write_json, write_table
from registry.errors import RequestError

__all__ = ["command"]


@click.command()
@click.argument("ladder", metavar="LADDER", type=handed_path())
@click.option(
    "--substrate",
    required=True,
    metavar="SUBSTRATE",
    shell_complete=complete_records("substrate"),
    help="The material it was printed on.",
)
@click.option(
    "--printer",
    required=True,
    metavar="PRINTER",
    shell_complete=complete_records("printer"),
    help="The printer model that printed it.",
)
@click.option(
    "--for",
    "use",
    default="",
    metavar="APPLICATION|DISPLAY",
    shell_complete=complete_records("application", "display"),
    help="Where it is to hang: colours are computed under its lamp.",
)
@click.option(
    "--resolution",
    default="",
    metavar="DPI",
    shell_complete=complete_resolutions,
    help="Of the ladder, 720x720; the printer's first if not given.",
)
@click.option("--passes", type=Whole(1, 64), help="Only this pass count; else the fewest that allow it.")
@click.option(
    "--density",
    type=Number(0, 6, min_open=True),
    metavar="D",
    help="Target: visual density of the darkest solid, over the film.",
)
@click.option(
    "--contrast",
    type=Number(1, 1_000_000, min_open=True),
    metavar="RATIO",
    help="Target: contrast in ambient light of the place named by --for.",
)
@click.option(
    "--gain",
    type=Number(0, 6),
    default=0.02,
    show_default=True,
    metavar="D",
    help="Stop where ten more points of load add less density; 0 leaves it out.",
)
@click.option(
    "--hue",
    "hue_deg",
    type=Number(0, 360),
    default=6.0,
    show_default=True,
    metavar="DEG",
    help="Stop where hue has turned by so much since full front-lit ink; 0 leaves it out.",
)
@click.option(
    "--mottle",
    type=Number(0, 100),
    default=1.0,
    show_default=True,
    metavar="L",
    help="Stop where mottle (standard deviation of L*) passes this; 0 leaves it out.",
)
@click.option("--chroma/--no-chroma", default=True, show_default=True, help="Stop where chroma peaks.")
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Draw the curves: FILE.pdf, FILE.png or FILE.svg.",
)
@click.option(
    "--draft",
    metavar="MAKER/GRADE/MODE",
    shell_complete=complete_draft,
    help="Write a print mode on trial with this load.",
)
@click.option(
    "--like",
    metavar="MODE",
    shell_complete=complete_records("print-mode"),
    help="With --draft: take everything else from this mode.",
)
@click.option("--reason", default="", help="With --draft: why; it stays with the record for good.")
@click.option(
    "--site",
    envvar="LITSTOCK_SITE",
    metavar="SITE",
    shell_complete=complete_records("site"),
    help="With --draft: the site that writes.",
)
@click.option("--dry-run", is_flag=True, help="With --draft: check and show it; write nothing.")
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(context: click.Context, /, ladder: Path, units: str, form: str, **given: Any) -> None:
    """Find the ink load that a measured ladder calls for, and say why.

    LADDER is a measurement file (CGATS.17, ISO 28178) of solids read in transmission. Beside the spectra each
    set holds INK (C, or CMY for inks one upon another), LOAD_PCT (0 is the unprinted film), PASSES, DRIED and
    REWET (yes or no), and MOTTLE if it was judged.

    Density only rises with load; chroma peaks and falls, and hue turns. An ink stops paying where one of the
    criteria says so. The load is the largest that an ink asks for, or with a target the least that reaches
    it, and at most 5 % under the heaviest at which everything printed came dry and did not re-wet. Inks that
    stop earlier are held back in the linearisation. ± is a standard error: loads left out in turn, and
    readings drawn anew about their curve.

    --draft writes the load as a print mode on trial, with the limits of the inks held back and the ladder
    beside it, ready for review.

    Exit code: 0 where a load was found and any target is reached, 1 where the target is not reached, or where
    the material is withdrawn or refused by guidance.

    JSON keys: commit, substrate, printer, lamp, criteria, load_pct, error_pct, passes, volume_ml_m2,
    resolution, reached, reason, inks (ink, load_pct, error_pct, of_load_pct, density, words, stops
    (criterion, load_pct, error_pct, words)), dry (passes, heaviest_pct, first_failed_pct, failed, untried),
    fewer (passes, why), refused, guidance, doubts, contrast, drawn. With --draft the answer is that of
    litstock new instead.
    """
    from registry.cli.tune_words import COLUMNS, json_of, rows_of, text_of  # noqa: PLC0415 (numpy and scipy)
    from registry.tune.asking import TuneRequest, tune  # noqa: PLC0415
    from registry.tune.criteria import Asked  # noqa: PLC0415

    if given["draft"] and not given["reason"]:
        raise RequestError("a draft needs its reason: --reason TEXT")
    criteria = Asked(
        density=given["density"],
        gain=given["gain"] or None,
        chroma=given["chroma"],
        hue_deg=given["hue_deg"] or None,
        mottle=given["mottle"] or None,
        passes=given["passes"],
    )
    request = TuneRequest(
        given["substrate"], given["printer"], given["use"], given["contrast"], given["resolution"], criteria
    )
    data = handed(ladder)[1]
    answer = tune(open_registry(context), data, request)
    drawn = None
    if given["output"]:
        from registry.cli.tune_drawing import draw  # noqa: PLC0415 (matplotlib, only where it draws)

        drawn = draw(answer, given["output"])
    manner = Manner(given["site"], given["dry_run"], "text" if form != "json" else "json")
    if form == "json" and not given["draft"]:
        write_json(figures(json_of(answer, drawn)))
    elif form in {"csv", "markdown"}:
        write_table(rows_of(answer), COLUMNS, form)
    elif form == "text":
        for line in text_of(answer, units, drawn):
            say(line)
    if given["draft"]:
        from registry.cli.tune_draft import write_draft  # noqa: PLC0415

        write_draft(context, manner, answer, (ladder.name, data), given)
    sys.exit(0 if answer.choice.reached and not answer.against else 1)
