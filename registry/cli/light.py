"""`litstock light`: how modes will look, lit, in a display."""

import sys
from pathlib import Path
from typing import Any

import click

from registry.cli.completion import complete_records
from registry.cli.numbers import Number, number_of
from registry.cli.opening import open_registry
from registry.cli.options import TABLE_FORMATS, format_option, units_option
from registry.cli.output import figures, say, write_json, write_table
from registry.model.shape import shape_of
from registry.model.typed import typed_number

__all__ = ["command"]

_LAMPS = shape_of("display").settings["lamp.illuminant"].words


class _PanelType(click.ParamType):  # type: ignore[type-arg]
    """A panel to try: `none`, `front:92` or `behind:47:40` (percent through, percent thrown back)."""

    name = "panel"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        from registry.lit.panel import Panel  # noqa: PLC0415 (numpy, only where it is asked for)

        position, *numbers = str(value).split(":")
        try:
            shares = [typed_number(each) / 100 for each in numbers]
        except ValueError:
            shares = []
        if position == "none" and not numbers:
            return Panel("none")
        good = (
            position in {"front", "behind"} and len(shares) in {1, 2} and shares[0] > 0 and sum(shares) <= 1
        )
        if not good or min(shares) < 0:
            self.fail(
                f"{value!r} is no panel: write none, front:92 (it lets 92 % through) or behind:47:40 (47 % "
                "through, 40 % thrown back; together at most 100)",
                param,
                ctx,
            )
        return Panel(position, *shares)


@click.command()
@click.argument(
    "use", metavar="DISPLAY|APPLICATION", shell_complete=complete_records("application", "display")
)
@click.argument(
    "modes", metavar="MODE[@WHEN]...", nargs=-1, required=True, shell_complete=complete_records("print-mode")
)
@click.option("--lamp", type=click.Choice(_LAMPS), help="Try this CIE illuminant instead of its lamps.")
@click.option(
    "--ambient",
    "ambient_lx",
    type=number_of("display", "ambient_lx"),
    metavar="LX",
    help="Try this light on the face.",
)
@click.option(
    "--luminance",
    "luminance_cd_m2",
    type=number_of("display", "luminance.points_cd_m2", above_min=True),
    metavar="CD_M2",
    help="Try a box whose bare face is this bright.",
)
@click.option(
    "--panel", type=_PanelType(), metavar="PANEL", help="Try another panel: none, front:92 or behind:47:40."
)
@click.option(
    "--dark",
    "dark_pct",
    type=Number(0, 100),
    metavar="PCT",
    help="Try an image of which so much is as dark as its darkest patch; else it is taken as white.",
)
@click.option(
    "--beside",
    default="",
    metavar="DISPLAY|APPLICATION",
    shell_complete=complete_records("application", "display"),
    help="Say how far apart the same prints look in this other place.",
)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Draw it: FILE.pdf, FILE.png or FILE.svg.",
)
@units_option
@format_option(*TABLE_FORMATS)
@click.pass_context
def command(
    context: click.Context,
    /,
    use: str,
    modes: tuple[str, ...],
    beside: str,
    output: Path | None,
    units: str,
    form: str,
    **tried: Any,
) -> None:
    """Compute how modes will look, lit, in a display: how bright, how deep, how colourful.

    Each mode is computed from its reference measurement in transmission: the spectra of its patches under
    the display's own lamp, the box's light going to and fro between film and box, the panel, and ambient
    light thrown back by the face. Modes stand side by side; of one on trial the last known-good revision is
    taken unless you name it. Every number is a model's estimate, no measurement: judge the print lit, in
    the real box.

    --lamp, --ambient, --luminance, --panel and --dark try something else than what is recorded: ink that
    looks into the box takes light from it, so how bright the white is depends on the image. Of a front-lit
    print it says what would become of it, lit. --beside turns the other place's colours by CAT16 into what
    looks the same here, and gives ΔE00.

    Behind a number stands where it lies with a chance of 95 %, by seeded draws of all that it rests on; what
    nobody measured is named first, with what settles it. A demand is met where its chance is at least 95 %
    and it rests on nothing unmeasured, not surely met from 50 %.

    Exit code: 0 where what the place demands of the lit print is met, or nothing is demanded; 1 where a
    demand is not surely met, unmet or cannot be told, or a mode cannot be computed.

    JSON keys: commit, use (kind, record, revision, title), tried, lamp, face (least, mean, most, in cd/m²),
    ambient_lx, quantities (path, label, unit, how), modes (mode, revision, title, see_through, values by
    path, certainty by path (value, low, high, standard_uncertainty, method, shares: input, label, share of
    the variance, measured), patches (name, luminance_cd_m2, lab, lab_in_ambient, lab_unlit, de00 to
    the first mode with de00_low and de00_high, beside: ΔE00 in the other place with beside_low and
    beside_high), demands (path, label, wanted, why, answer, chance, never_measured, found), unknown (paths,
    why), rests_on, assumed, why_not, twin (front, lit, load_pct, how)), beside (title, whites), left_out,
    drawn.
    """
    from registry.cli.light_json import columns, json_of, rows_of  # noqa: PLC0415 (numpy and scipy)
    from registry.cli.light_words import demanded, text_of  # noqa: PLC0415
    from registry.lit.asking import light  # noqa: PLC0415
    from registry.lit.scene import WhatIf  # noqa: PLC0415

    registry = open_registry(context)
    answer = light(registry, use, modes, WhatIf(**tried), other=beside)
    judged = demanded(registry, answer)
    drawn = None
    if output is not None:
        from registry.cli.light_drawing import draw  # noqa: PLC0415 (matplotlib, only where it draws)

        drawn = draw(answer, judged, output)
    if form == "json":
        write_json(figures(json_of(answer, judged, tried, drawn)))
    elif form == "text":
        for line in text_of(answer, judged, units, drawn):
            say(line)
    else:
        write_table(list(rows_of(answer)), columns(answer), form)
    unmet = any(each.answer != "met" for mode in judged for each in mode)
    told = all(mode.appearance and mode.appearance.values for mode in answer.modes)
    sys.exit(0 if told and not unmet else 1)
