"""What is refused of a call before a command begins: an option that is given twice, options that contradict."""

from __future__ import annotations

import click
from click.core import ParameterSource

from cordpath.errors import UsageRefused

TWICE = "cordpath takes one value for it, and the last would silently win"
CURES = {
    "symbols": "run it once for each office, each with an --out of its own",
    "code": "compare several editions with 'cordpath compare'",
    "pages": "write all pages in one list, such as 1,3-5",
}
NO_MAPPING = (
    "It names the mapping file, which says how the symbols are drawn: 'cordpath learn SHEETS' writes one from your "
    "sheets"
)
AGAINST = {  # options of which the second would have no effect
    ("quiet", "verbose"): "-q says nothing, and -v a line for each sheet",
    ("quiet", "progress"): "-q says nothing, and --progress asks how to say it",
    ("verbose", "progress"): "-v is a line of text for each sheet, and --progress another way to say it",
    ("cluster", "jobs"): "a cluster has the workers that it has, and --jobs counts those of this machine",
}


class Call(click.Command):
    """A command that refuses what a call says in vain, instead of passing it over.  Raises UsageRefused."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        _, _, given = self.make_parser(ctx).parse_args(args=list(args))
        for option in given:
            single = isinstance(option, click.Option) and not (option.multiple or option.is_flag)
            if single and given.count(option) > 1:
                cure = CURES.get(option.name or "", "give it once")
                raise UsageRefused(f"{option.opts[-1]} is given twice: {TWICE}", cure=cure)
        try:
            rest = super().parse_args(ctx, args)
        except click.MissingParameter as error:
            if error.param is not None and error.param.name == "symbols":
                raise click.MissingParameter(NO_MAPPING, error.ctx, error.param) from None
            raise
        _refuse_contradictions(ctx)
        return rest


def _refuse_contradictions(ctx: click.Context) -> None:
    for pair, why in AGAINST.items():
        if all(ctx.get_parameter_source(name) is ParameterSource.COMMANDLINE for name in pair):
            raise UsageRefused(f"{why}", cure="leave one of the two out")
