"""The command line. The only module that knows both the compiler and the renderers.

Exit status: 0 fine; 1 findings at error level (with `--strict`, warnings too); 2 the call or the files could
not be read; 3 a fault of our own. Data goes to stdout, everything else to stderr, and files are written whole
or not at all.
"""

from __future__ import annotations

import os
import re
import sys
import tempfile
import textwrap
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, Literal, NoReturn, TypeVar, cast

import click

from benchproof.compiler.checks import check_kitchen, check_recipe, levels, sorted_findings
from benchproof.compiler.compile import Compiled, Compiler
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import KITCHEN_FILE, Kitchen, NotText, Recipe, kitchen_root, open_kitchen
from benchproof.compiler.request import Request, RequestError, money_of, times_of
from benchproof.compiler.rules import RULES, Rule
from benchproof.compiler.suggest import nearest

_F = TypeVar("_F", bound=Callable[..., Any])

UNREADABLE: Final = 2
_LISTED: Final = 10
OUR_FAULT: Final = 3
REPORT_TO: Final = "Please report it with the file and this line."


class Stop(click.ClickException):
    """The call or a file could not be read: one line for the cook, exit status 2."""

    exit_code = UNREADABLE

    def __init__(self, message: str, help: str = "") -> None:
        super().__init__(f"{message}\n{help}".rstrip())

    def show(self, file: Any = None) -> None:
        click.echo(self.format_message(), err=True)


def main() -> NoReturn:
    """Run the command; a fault of our own prints one line, never a traceback."""
    try:
        cli.main(standalone_mode=True)
    except Exception as error:  # the last door: whatever comes here is ours to mend
        if os.environ.get("BENCHPROOF_TRACEBACK"):
            raise
        click.echo(
            f"Benchproof has a fault of its own ({type(error).__name__}: {error}). {REPORT_TO}", err=True
        )
        sys.exit(OUR_FAULT)
    sys.exit(0)


# ---------------------------------------------------------------- finding a recipe


def _day(text: str | None) -> str | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise Stop(f"--on “{text}” is not a date.", "Write it year first: `--on 2026-11-20`.") from error


def _on(kitchen: Kitchen, asked: str | None) -> str:
    """The day of asking: what was asked, else what the kitchen says, else today."""
    return _day(asked) or kitchen.settings.costed_on or _this_day()


def _this_day() -> str:
    """Today where the cook is: the one place where the clock is read."""
    return date.today().isoformat()  # noqa: DTZ011 - a cook's day is the local one


def _open(path: Path) -> Kitchen:
    try:
        return open_kitchen(path)
    except NotText as error:
        raise Stop(f"{error}.", "Save it again as UTF-8.") from error
    except OSError as error:
        raise Stop(f"{error.filename or path} cannot be read: {error.strerror or error}.") from error


def _recipe(name: str) -> tuple[Kitchen, Recipe]:
    """A file with one recipe in it, or a recipe's name in the kitchen we stand in."""
    path = Path(name)
    if path.is_file():
        kitchen = _open(path)
        here = [one for one in kitchen.own_recipes() if one.source.path == path.resolve()]
        if len(here) == 1:
            return kitchen, here[0]
        if not here:
            _report([one for one in kitchen.findings if one.span.source.path == path.resolve()])
            raise Stop(f"{name} holds no recipe.", "A recipe begins with a line `recipe NAME`.")
        listed = ", ".join(f"“{one.name.text}”" for one in here)
        raise Stop(f"{name} holds {len(here)} recipes: {listed}.", "Ask for one of them by its name.")
    if path.suffix == ".bench" or os.sep in name:
        raise Stop(f"There is no file {name}.")
    kitchen = _open(Path())
    found = kitchen.recipe(name)
    if found is None:
        names = [one.name.text for one in kitchen.own_recipes()]
        near = nearest(name, names)
        if near:
            help = f"Did you mean “{near[0]}”?"
        elif names:
            more = f" and {len(names) - _LISTED} more" if len(names) > _LISTED else ""
            help = f"Here are: {', '.join(names[:_LISTED])}{more}."
        else:
            help = "Stand in a kitchen's folder, or name a file."
        raise Stop(f"No recipe here is called “{name}”.", help)
    return kitchen, found


# ---------------------------------------------------------------- shared options

_RECIPE_OPTIONS: Final = (
    click.option("--makes", metavar="YIELD", help="How much to make: '24 rounds', '1.2 kg'."),
    click.option("--times", metavar="N", help="How many times what is written: 2, 1.5, 1/2."),
    click.option("--base", metavar="WEIGHT", help="Weigh this much of what is 100 %: '730 g'."),
    click.option(
        "--tin", metavar="SIZE", help="For another tin than the recipe's: '20 cm round, 6 cm deep'."
    ),
    click.option(
        "--have",
        multiple=True,
        metavar="'NAME AMOUNT'",
        help="The largest batch that this allows: 'strong flour 730 g'. May be given again.",
    ),
    click.option("--spend", metavar="MONEY", help="What this much buys of the ingredients used: 5.00."),
    click.option("--whole", metavar="NAME", help="Round the batch to whole pieces of this: eggs."),
    click.option("--on", metavar="DATE", help="The day to cost it for; else the kitchen's, else today."),
    click.option(
        "--temperatures",
        type=click.Choice(["C", "F"], case_sensitive=False),
        help="Which degrees come first.",
    ),
    click.option("--anyway", is_flag=True, help="Go on in spite of findings at error level."),
)


def _recipe_options(command: _F) -> _F:
    for option in reversed(_RECIPE_OPTIONS):
        command = option(command)
    return command


def _request(options: dict[str, Any]) -> Request:
    times, spend = options.get("times"), options.get("spend")
    try:
        return Request(
            makes=options.get("makes"),
            times=times_of(times) if times is not None else None,
            base=options.get("base"),
            tin=options.get("tin"),
            have=tuple(options.get("have") or ()),
            spend=money_of(spend) if spend is not None else None,
            whole=options.get("whole"),
            on=_day(options.get("on")),
            temperatures=cast(Literal["C", "F"] | None, options.get("temperatures")),
        )
    except RequestError as error:
        raise Stop(str(error), error.help) from error


def _compile(
    kitchen: Kitchen, compiler: Compiler, recipe: Recipe, request: Request, *, anyway: bool
) -> Compiled:
    """Compile a recipe for a request; findings at error level stop here unless asked not to."""
    request = replace(request, on=_on(kitchen, request.on))
    try:
        compiled = compiler.compile(recipe, request)
    except RequestError as error:
        raise Stop(str(error), error.help) from error
    errors = [
        one for one in _findings_of(kitchen, compiler, compiled, request) if one.severity is Severity.ERROR
    ]
    if errors:
        _report(errors, err=True)
    if compiled.batch is None or (errors and not anyway):
        click.echo(f"“{recipe.name.text}” was not made: mend what stands above first.", err=True)
        sys.exit(1)
    return compiled


def _findings_of(
    kitchen: Kitchen, compiler: Compiler, compiled: Compiled, request: Request
) -> Iterable[Finding]:
    """What there is to say of one recipe as written, and of the text it stands in."""
    written = compiler.compile(compiled.recipe, Request(on=request.on))
    here = [one for one in kitchen.findings if one.span.source is compiled.recipe.source]
    found = list(dict.fromkeys([*here, *check_recipe(written, kitchen)]))
    return sorted_findings(levels.apply(kitchen, found, only=compiled.recipe), kitchen)


# ---------------------------------------------------------------- output


def _colour(stream: Any) -> bool:
    return bool(stream.isatty()) and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _width(stream: Any) -> int | None:
    """The terminal's width; None in a pipe, or where a terminal does not know it: then the layout is fixed."""
    if not stream.isatty():
        return None
    with suppress(OSError):
        return os.get_terminal_size(stream.fileno()).columns or None
    return None


def _report(findings: Sequence[Finding], *, err: bool = False) -> None:
    from benchproof.renderers.findings_report import findings_text

    stream = sys.stderr if err else sys.stdout
    if findings:
        _write(stream, findings_text(findings, colour=_colour(stream), root=Path.cwd()))


def _write(stream: Any, text: str) -> None:
    """Text as it is, in UTF-8 whatever the locale, with its own line ends."""
    stream.flush()
    data = text.encode("utf-8", "replace")
    buffer = getattr(stream, "buffer", None)
    if buffer is None:
        stream.write(text)
    else:
        buffer.write(data)
    stream.flush()


def _target(out: str) -> Path:
    """Where an output goes. Never over a recipe: that is the cook's own writing."""
    path = Path(out)
    if path.suffix == ".bench":
        raise Stop(f"--out {out} would write over a recipe file.", "Give the output another name.")
    return path


def _save(path: Path, data: bytes) -> None:
    """Write a file whole or not at all; through a link, to what it points at.

    What is there and is no file (a device, a pipe) is written to and never put out of its place.
    """
    name = ""
    try:
        path = path.resolve() if path.is_symlink() else path
        if path.exists() and not path.is_file():
            path.write_bytes(data)
            return
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        Path(name).chmod(mode)
        Path(name).replace(path)
    except OSError as error:
        if name:
            with suppress(OSError):
                Path(name).unlink()
        raise Stop(f"{path} cannot be written: {error.strerror or error}.") from error


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _file_name(name: str) -> str:
    """A recipe's name as a file name: small letters, digits and hyphens."""
    words = re.findall(r"[^\W_]+", name.casefold())
    return "-".join(words)[:80] or "recipe"


# ---------------------------------------------------------------- the commands


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="benchproof", prog_name="benchproof")
def cli() -> None:
    """Recipes as text: checked, scaled, timed, costed and printed."""


@cli.command(short_help="What a second pair of eyes would find.")
@click.argument("paths", nargs=-1, metavar="[PATH]...")
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "json", "sarif", "github"]),
    default="text",
    show_default=True,
    help="github prints annotations, sarif a SARIF 2.1.0 log.",
)
@click.option("--strict", is_flag=True, help="Warnings fail too.")
@click.option("--on", metavar="DATE", help="The day to judge prices on; else the kitchen's, else today.")
def check(paths: tuple[str, ...], form: str, strict: bool, on: str | None) -> None:
    """What a second pair of eyes would find in files and folders (in this folder when none is named).

    \b
    benchproof check recipes
    benchproof check --strict --as github
    """
    from benchproof.renderers import findings_report

    on, here = _day(on), Path.cwd()
    roots: dict[Path, list[Path]] = {}
    for text in paths or (".",):
        path = Path(text)
        if not path.is_file() and not path.is_dir():
            raise Stop(f"There is no file or folder {text}.")
        path = path.resolve()
        roots.setdefault(kitchen_root(path) or path, []).append(path)
    found: list[Finding] = []
    files = recipes = 0
    for below in roots.values():
        kitchen = _open(below[0])
        wanted = {
            source.name
            for source in kitchen.sources
            if source.path is not None and any(source.path.is_relative_to(path) for path in below)
        }
        files += len(wanted)
        recipes += sum(1 for recipe in kitchen.own_recipes() if recipe.source.name in wanted)
        findings = check_kitchen(kitchen, Compiler(kitchen), _on(kitchen, on))
        found += [one for one in findings if one.span.source.name in wanted]
    found = list(
        {(one.span.source.path, one.span.first, one.span.last, one.rule): one for one in found}.values()
    )
    if not files:
        raise Stop("There is no .bench file here.", "Name the folder your recipes are in.")
    if form == "json":
        _write(sys.stdout, findings_report.findings_json(found))
    elif form == "sarif":
        _write(sys.stdout, findings_report.findings_sarif(found, root=here))
    elif form == "github":
        _write(sys.stdout, findings_report.findings_github(found, root=here))
    else:
        _report(found)
        if found or sys.stderr.isatty():
            click.echo(findings_report.summary(found, files, recipes), err=True)
    worst = max((one.severity for one in found), default=Severity.HINT)
    if worst >= (Severity.WARNING if strict else Severity.ERROR):
        sys.exit(1)


@cli.command(short_help="The bench card: one recipe on paper.")
@click.argument("recipe")
@_recipe_options
@click.option(
    "--sizes", metavar="N,N", help="Further batch sizes as columns, as times what is written: 1,2,4."
)
@click.option("--paper", type=click.Choice(["A4", "A5", "letter", "5x8"]), default="A5", show_default=True)
@click.option("--as", "form", type=click.Choice(["pdf", "html"]), default="pdf", show_default=True)
@click.option("--out", metavar="FILE", help="Where to put it; `-` for stdout. Else the recipe's name, here.")
def card(recipe: str, sizes: str | None, paper: str, form: str, out: str | None, **options: Any) -> None:
    """The bench card: one recipe on paper, what to weigh, what to do and when.

    RECIPE is a file with one recipe in it, or a recipe's name in the kitchen you stand in.

    \b
    benchproof card "Lighthouse loaf" --makes '4 loaves' --paper A4
    benchproof card recipes/slack-tide-rice.bench --sizes 1,2,4 --out rice.pdf
    """
    from benchproof.renderers.card import CardError, Paper, card_html, card_pdf

    request = _request(options)
    kitchen, found = _recipe(recipe)
    compiler = Compiler(kitchen)
    first = _compile(kitchen, compiler, found, request, anyway=options["anyway"])
    assert first.batch is not None
    batches = [first.batch]
    for times in _sizes(sizes):
        if times != first.batch.asked.times:
            more = Request(times=times, on=first.batch.asked.on, temperatures=request.temperatures)
            other = compiler.compile(found, more)
            assert other.batch is not None
            batches.append(other.batch)
    size = cast(Paper, paper)
    try:
        data = card_pdf(batches, paper=size) if form == "pdf" else card_html(batches, paper=size).encode()
    except CardError as error:
        raise Stop(str(error)) from error
    if out == "-":
        sys.stdout.buffer.write(data)
        return
    path = _target(out or f"{_file_name(found.name.text)}.{form}")
    _save(path, data)
    click.echo(f"{path}", err=True)


def _sizes(text: str | None) -> list[Fraction]:
    if text is None:
        return []
    try:
        return list(dict.fromkeys(times_of(one) for one in text.split(",")))
    except RequestError as error:
        raise Stop(f"--sizes: {error}", "Write numbers with commas between them: `--sizes 1,2,4`.") from error


@cli.command(short_help="The cost table.")
@click.argument("recipes", nargs=-1, required=True, metavar="RECIPE...")
@_recipe_options
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "csv", "json", "markdown", "html"]),
    default="text",
    show_default=True,
)
@click.option("--out", metavar="FILE", help="Where to put it; else stdout.")
def cost(recipes: tuple[str, ...], form: str, out: str | None, **options: Any) -> None:
    """The cost table: each line, the batch, each piece, and the shop's own beside it.

    \b
    benchproof cost "Lighthouse loaf" --on 2026-11-20
    benchproof cost recipes/*.bench --as csv --out costs.csv
    """
    from benchproof.renderers.cost_table import Form, cost_table

    request = _request(options)
    batches = []
    for name in recipes:
        kitchen, found = _recipe(name)
        compiled = _compile(kitchen, Compiler(kitchen), found, request, anyway=options["anyway"])
        assert compiled.batch is not None
        batches.append(compiled.batch)
    plain = out is not None or form != "text"
    text = cost_table(
        batches,
        cast(Form, form),
        width=None if plain else _width(sys.stdout),
        colour=not plain and _colour(sys.stdout),
    )
    _deliver(text, out)


def _deliver(text: str, out: str | None) -> None:
    if out is None or out == "-":
        _write(sys.stdout, text)
    else:
        _save(_target(out), text.encode("utf-8"))
        click.echo(out, err=True)


@cli.command(short_help="All that was worked out for a batch.")
@click.argument("recipe")
@_recipe_options
@click.option("--as", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--out", metavar="FILE", help="Where to put it; else stdout.")
def batch(recipe: str, form: str, out: str | None, **options: Any) -> None:
    """All that was worked out for a batch: weights, ratios, method, times, cost.

    \b
    benchproof batch "Lighthouse loaf" --have 'strong flour 730 g'
    benchproof batch "Lighthouse loaf" --as json
    """
    from benchproof.compiler.batch_json import batch_json
    from benchproof.renderers.batch_text import batch_text

    request = _request(options)
    kitchen, found = _recipe(recipe)
    compiled = _compile(kitchen, Compiler(kitchen), found, request, anyway=options["anyway"])
    assert compiled.batch is not None
    if form == "json":
        _deliver(batch_json(compiled.batch), out)
    elif out is not None:
        _deliver(batch_text(compiled.batch), out)
    else:
        _deliver(batch_text(compiled.batch, _colour(sys.stdout), _width(sys.stdout)), None)


@cli.command(short_help="What a finding means and what to do.")
@click.argument("rule", required=False)
def explain(rule: str | None) -> None:
    """What a finding means, why it matters and what to do; without a name, all of them."""
    if rule is None:
        for family in dict.fromkeys(one.family for one in RULES.values()):
            click.echo(f"{family}")
            for one in sorted(
                (one for one in RULES.values() if one.family == family), key=lambda one: one.name
            ):
                click.echo(f"  {one.name:<24} {one.meaning}")
        return
    found = RULES.get(rule.strip().casefold())
    if found is None:
        near = [name for name in RULES if rule.casefold() in name.split("-")] or nearest(rule, RULES)
        raise Stop(
            f"No finding is called “{rule}”.",
            f"Did you mean {', '.join(near)}?" if near else "`benchproof explain` lists them all.",
        )
    click.echo(_explained(found))


def _explained(rule: Rule) -> str:
    paragraphs = [
        f"{rule.name}  ({rule.severity.word}, about {rule.family})",
        rule.meaning,
        f"Why it matters: {rule.why}",
        f"What to do: {rule.mend}",
    ]
    if rule.source:
        paragraphs.append(f"Source: {rule.source}")
    if rule.safety:
        paragraphs.append(
            "It is about safety: it can be waived in a recipe with a reason, but not turned off."
        )
    return "\n\n".join(textwrap.fill(one, 88) for one in paragraphs)


_NEW_RECIPE: Final = """\
# {name}: change what stands here to what you make.
recipe {name}
  makes:      2 loaves of 420 g
  base:       strong flour          # this weight is 100 %
  date:       {today}

ingredients
  strong flour:     500 g
  water:             65 %
  fine salt:          2 %
  instant yeast:      1 %

step Mix
  # What stands in square brackets is taken from the list, timed, or converted.
  Stir [the strong flour], [the fine salt] and [the instant yeast] together.
  Add [the water] at [30-35 C] and knead, [10 min].

step Rise
  Cover and leave [60-90 min hands-off] until twice the size.

step Bake
  Divide into [2 loaves], shape, and leave [30-40 min hands-off].
  Bake at [220 C oven], [30-35 min hands-off].
"""

_NEW_KITCHEN: Final = """\
# The house rules: every .bench file in this folder and below it belongs to this kitchen.
kitchen {name}
  language:   1
  measures:   metric                  # which cup and spoon: metric, US, UK, Australian
  scales:     0.1 g to 500 g, 1 g to 5 kg
  # currency: NZD
  # food law: European Union          # whose list of allergens; without it, all lists are joined
  # prices go stale after: 90 days
"""


@cli.command(short_help="A new recipe to begin from.")
@click.argument("name")
@click.option("--kitchen", "whole", is_flag=True, help="Begin a kitchen of that name instead of a recipe.")
def new(name: str, whole: bool) -> None:
    """A new recipe to begin from, in this folder (or, with --kitchen, the house rules)."""
    if re.search(r"[\[\]:#\n\r]", name) or not name.strip():
        raise Stop(f"“{name}” cannot be a name.", "Use words, without brackets, colons or #.")
    path = Path(KITCHEN_FILE if whole else f"{_file_name(name)}.bench")
    if path.exists():
        raise Stop(f"{path} is there already.", "Choose another name.")
    text = _NEW_KITCHEN if whole else _NEW_RECIPE
    _save(path, text.format(name=" ".join(name.split()), today=_this_day()).encode("utf-8"))
    click.echo(f"{path}", err=True)


if __name__ == "__main__":
    main()
