"""The command line. The only module that knows both the compiler and the renderers.

Exit status: 0 fine; 1 findings at error level (with `--strict`, warnings too); 2 the call or the files could
not be read; 3 a fault of our own. Data goes to stdout, everything else to stderr, and files are written whole
or not at all.
"""

from __future__ import annotations

import difflib
import os
import re
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, Literal, NoReturn, TypeAlias, TypeVar, cast

import click

from benchproof.compiler.checks import check_kitchen, judged
from benchproof.compiler.compile import Compiled, Compiler, equipment_of
from benchproof.compiler.day import Day
from benchproof.compiler.files import NotWritten, replace_file, rewrite
from benchproof.compiler.findings import Finding, Severity
from benchproof.compiler.kitchen import KITCHEN_FILE, Kitchen, NotText, Recipe, kitchen_root, open_kitchen
from benchproof.compiler.laid_out import lay_out, only_lines
from benchproof.compiler.plugins import own_checks
from benchproof.compiler.request import Request, RequestError, money_of, times_of
from benchproof.compiler.rules import RULES
from benchproof.compiler.source import Source
from benchproof.compiler.suggest import few, nearest
from benchproof.compiler.versions import NEWEST, upgraded

_F = TypeVar("_F", bound=Callable[..., Any])

DayPaper: TypeAlias = Literal["A4", "A5", "letter"]

UNREADABLE: Final = 2
_EVERY: Final = 200_000_000
"""ns between two signs of progress."""
_LONG: Final = 1_000_000_000
"""ns after which the first is shown."""
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
    own_checks()  # a kitchen may waive and level the rules of its own checks
    try:
        return open_kitchen(path)
    except NotText as error:
        raise Stop(f"{error}.", "Save it again as UTF-8.") from error
    except OSError as error:
        raise Stop(f"{error.filename or path} cannot be read: {error.strerror or error}.") from error


def _kitchens(paths: Sequence[str]) -> Iterator[tuple[Kitchen, set[str]]]:
    """The kitchens that files and folders (this one, when none is named) belong to, and the files meant of each."""
    roots: dict[Path, list[Path]] = {}
    for text in paths or (".",):
        path = Path(text)
        if not path.is_file() and not path.is_dir():
            raise Stop(f"There is no file or folder {text}.")
        path = path.resolve()
        roots.setdefault(kitchen_root(path) or path, []).append(path)
    for below in roots.values():
        kitchen = _open(below[0])
        yield (
            kitchen,
            {
                source.name
                for source in kitchen.sources
                if source.path is not None and any(source.path.is_relative_to(path) for path in below)
            },
        )


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
            help = f"Here are: {few(names)}."
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
    return judged(written, kitchen, here)


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
    try:
        path = path.resolve() if path.is_symlink() else path
        if path.exists() and not path.is_file():
            path.write_bytes(data)
        else:
            replace_file(path, data)
    except OSError as error:
        raise Stop(f"{path} cannot be written: {error.strerror or error}.") from error


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
@click.option("--mend", "mends", is_flag=True, help="First put right what can only be a slip of the pen.")
@click.option("--strict", is_flag=True, help="Warnings fail too.")
@click.option("--on", metavar="DATE", help="The day to judge prices on; else the kitchen's, else today.")
def check(paths: tuple[str, ...], form: str, mends: bool, strict: bool, on: str | None) -> None:
    """What a second pair of eyes would find in files and folders (in this folder when none is named).

    \b
    benchproof check recipes
    benchproof check --mend
    benchproof check --strict --as github
    """
    from benchproof.renderers import findings_report

    on, here = _day(on), Path.cwd()
    found: list[Finding] = []
    files = recipes = 0
    for kitchen, wanted in _kitchens(paths):
        if mends:
            kitchen = _mend(kitchen, _on(kitchen, on), wanted)
        files += len(wanted)
        recipes += sum(1 for recipe in kitchen.own_recipes() if recipe.source.name in wanted)
        with _progress() as done:
            findings = check_kitchen(kitchen, Compiler(kitchen), _on(kitchen, on), done)
        found += [one for one in findings if one.span.source.name in wanted or one.rule == "own-check-failed"]
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


@contextmanager
def _progress() -> Iterator[Callable[[int, int], None] | None]:
    """What shows somebody who waits how far it is: a line on a terminal, from the first second on, then gone."""
    if not sys.stderr.isatty():
        yield None
        return
    begun = shown = time.monotonic_ns()

    def done(number: int, of: int) -> None:
        nonlocal shown
        now = time.monotonic_ns()
        if now - begun >= _LONG and now - shown >= _EVERY:
            shown = now
            click.echo(f"\r{number} of {of} recipes checked", nl=False, err=True)

    try:
        yield done
    finally:
        if shown > begun:
            click.echo("\r\033[K", nl=False, err=True)


def _mend(kitchen: Kitchen, on: str, wanted: set[str]) -> Kitchen:
    """Write the safe edits of these files, say what was done and what was not, and open the kitchen anew."""
    from benchproof.compiler.mend import mend

    mended = mend(kitchen, on, only=wanted)
    for file in mended.files:
        where = _near(file.source.path or Path(file.source.name))
        try:
            rewrite(file.source, file.text, kitchen.root or Path())
        except NotWritten as error:
            click.echo(str(error), err=True)
            continue
        for finding in file.applied:
            edit = finding.edit
            assert edit is not None
            old, new = edit.span.text.strip(), edit.text.strip()
            what = f": {old} -> {new}" if old and new and "\n" not in old + new else ""
            click.echo(f"{where}:{edit.span.line}: mended {finding.rule}{what}", err=True)
    for left in mended.left:
        span = left.finding.span
        where = _near(span.source.path or Path(span.source.name))
        click.echo(f"{where}:{span.line}: left as it is, {left.finding.rule}: {left.reason}", err=True)
    root = kitchen.root
    return (
        _open(root)
        if mended.files and root is not None and (root / KITCHEN_FILE).is_file()
        else _reopened(kitchen)
    )


def _reopened(kitchen: Kitchen) -> Kitchen:
    """The same files, read again."""
    return Kitchen(
        [Source.read(one.path, one.name) if one.path is not None else one for one in kitchen.sources],
        kitchen.root,
    )


@cli.command("format", short_help="One layout for every file; what it says stays the same.")
@click.argument("paths", nargs=-1, metavar="[PATH]...")
@click.option(
    "--check", "only_check", is_flag=True, help="Change nothing; fail where a file is laid out otherwise."
)
@click.option("--diff", is_flag=True, help="Change nothing; show what would be changed.")
@click.option("--lines", metavar="FIRST-LAST", help="Only these lines of one file: 10-25.")
def format_(paths: tuple[str, ...], only_check: bool, diff: bool, lines: str | None) -> None:
    """One layout for every file: columns, units and dashes as everybody writes them. What it says stays the same.

    With `-` it reads from stdin and writes to stdout. A line that cannot be read stays as it is.

    \b
    benchproof format
    benchproof format --diff recipes
    """
    between = _line_range(lines)
    if paths == ("-",):
        _format_stdin(between)
        return
    if between is not None and (len(paths) != 1 or not Path(paths[0]).is_file()):
        raise Stop("--lines is for one file.", "Name the file: `benchproof format --lines 10-25 loaf.bench`.")
    files = changed = failed = 0
    for kitchen, wanted in _kitchens(paths):
        for one in lay_out(kitchen, _on(kitchen, None), wanted):
            files += 1
            text = one.text if between is None else only_lines(one.source, one.text, *between)
            if text == one.source.text:
                continue
            where = one.source.path or Path(one.source.name)
            if not one.keeps:
                failed += 1
                click.echo(f"{_near(where)}: not laid out: it would not say the same. {REPORT_TO}", err=True)
                continue
            changed += 1
            if diff:
                _write(sys.stdout, _difference(one.source.text, text, _near(where)))
            elif not only_check:
                try:
                    rewrite(one.source, text, kitchen.root or where.parent)
                except NotWritten as error:
                    failed += 1
                    click.echo(str(error), err=True)
                    continue
            if not diff:
                click.echo(_near(where), err=True)
    if not files:
        raise Stop("There is no .bench file here.", "Name the folder your recipes are in.")
    if only_check or diff:
        told = f"{changed} of {files} files are laid out otherwise." if changed else "All files are laid out."
    else:
        told = f"{changed} of {files} files changed." if changed else "Nothing to change."
    click.echo(told, err=True)
    if failed or (changed and (only_check or diff)):
        sys.exit(1)


@cli.command(short_help="Write older files anew for the newest language.")
@click.argument("path", required=False, default=".")
def upgrade(path: str) -> None:
    """Write a kitchen's files anew for the newest version of the language, if they are in an older one."""
    for kitchen, _ in _kitchens((path,)):
        written_in = kitchen.settings.language
        if written_in == NEWEST:
            click.echo(f"Everything is in version {NEWEST}, the newest.", err=True)
            continue
        if written_in > NEWEST:
            raise Stop(
                f"This kitchen is in version {written_in}, and this program knows no later one than {NEWEST}.",
                "Update the program.",
            )
        for source in kitchen.sources:
            text = upgraded(source, written_in)
            if text == source.text:
                continue
            try:
                rewrite(source, text, kitchen.root or Path())
            except NotWritten as error:
                raise Stop(str(error)) from error
            click.echo(_near(source.path or Path(source.name)), err=True)


def _line_range(text: str | None) -> tuple[int, int] | None:
    if text is None:
        return None
    match = re.fullmatch(r"(\d{1,9})(?:-(\d{1,9}))?", text)
    if match is None or int(match[2] or match[1]) < int(match[1]):
        raise Stop(
            f"--lines {text} is no stretch of lines.", "Write the first and the last: `--lines 10-25`."
        )
    return int(match[1]), int(match[2] or match[1])


def _format_stdin(between: tuple[int, int] | None) -> None:
    try:
        source = Source(sys.stdin.buffer.read().decode("utf-8"), "stdin")
    except UnicodeDecodeError as error:
        raise Stop("What comes in is not plain text in UTF-8.", "Save it again as UTF-8.") from error
    (one,) = lay_out(Kitchen([source]), _this_day())
    text = one.text if between is None else only_lines(source, one.text, *between)
    _write(sys.stdout, (text if one.keeps else source.text).replace("\n", source.newline))
    if not one.keeps:
        click.echo(f"Not laid out: it would not say the same. {REPORT_TO}", err=True)
        sys.exit(1)


def _near(path: Path) -> str:
    """A path as seen from here."""
    here = Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else str(path)


def _difference(old: str, new: str, name: str) -> str:
    lines = difflib.unified_diff(
        old.splitlines(keepends=True), new.splitlines(keepends=True), f"{name} as it is", f"{name} laid out"
    )
    return "".join(line if line.endswith("\n") else f"{line}\n" for line in lines)


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
    from benchproof.renderers.card import Paper, card_html, card_pdf
    from benchproof.renderers.press import PageError

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
    except PageError as error:
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


@cli.command(short_help="When to do what: one recipe, or several together.")
@click.argument("recipes", nargs=-1, required=True, metavar="RECIPE...")
@_recipe_options
@click.option("--ready-at", metavar="TIME", help="When all is to be ready: 08:00, or '2026-11-21 08:00'.")
@click.option("--start-at", metavar="TIME", help="When the cooks begin, at the earliest.")
@click.option(
    "--between",
    multiple=True,
    metavar="TIME-TIME",
    help="When the cooks are free, each day: 06:00-07:30. May be given again.",
)
@click.option("--cooks", type=click.IntRange(1, 20), default=1, show_default=True, help="How many there are.")
@click.option("--zone", metavar="NAME", help="The time zone, if not the kitchen's: Pacific/Auckland.")
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "json", "ical", "svg", "html", "pdf"]),
    default="text",
    show_default=True,
    help="ical is for calendars (RFC 5545), svg the timeline alone.",
)
@click.option("--paper", type=click.Choice(["A4", "A5", "letter"]), default="A4", show_default=True)
@click.option("--out", metavar="FILE", help="Where to put it; else stdout.")
def day(
    recipes: tuple[str, ...],
    ready_at: str | None,
    start_at: str | None,
    between: tuple[str, ...],
    cooks: int,
    zone: str | None,
    form: str,
    paper: str,
    out: str | None,
    **options: Any,
) -> None:
    """When to do what: one recipe, or several together, with what must not wait and what can.

    \b
    benchproof day "Lighthouse loaf" --ready-at 08:00
    benchproof day "Harbour griddle rounds" "Rhubarb compote" --ready-at 08:00 --between 06:00-08:00
    """
    from benchproof.compiler.plan_day import CannotPlan, DayRequest, plan_day

    request = _request(options)
    batches = []
    kitchens = []
    for name in recipes:
        kitchen, found = _recipe(name)
        compiled = _compile(kitchen, Compiler(kitchen), found, request, anyway=options["anyway"])
        assert compiled.batch is not None
        batches.append(compiled.batch)
        kitchens.append(kitchen)
    first = kitchens[0]
    try:
        plan = plan_day(
            batches,
            DayRequest(
                on=batches[0].asked.on,
                cooks=cooks,
                start_at=start_at,
                ready_at=ready_at,
                between=between,
                zone=zone or first.settings.zone,
                stock=equipment_of(first.equipment),
                room=first.settings.room,
                kitchen=first.settings.name,
            ),
        )
    except CannotPlan as error:
        raise Stop(str(error), error.help) from error
    _deliver_day(plan, form, cast(DayPaper, paper), out)
    if any(note.kind == "cannot-be-ready" for note in plan.notes):
        sys.exit(1)


def _deliver_day(plan: Day, form: str, paper: DayPaper, out: str | None) -> None:
    """Each form's renderer is imported only when it is asked for: some bring heavy libraries with them."""
    match form:
        case "text":
            from benchproof.renderers.day.text import day_text

            plain = out is not None
            colour = not plain and _colour(sys.stdout)
            _deliver(day_text(plan, colour, None if plain else _width(sys.stdout)), out)
        case "json":
            from benchproof.compiler.day_json import day_json

            _deliver(day_json(plan), out)
        case "svg":
            from benchproof.renderers.day.timeline import timeline_svg

            _deliver(timeline_svg(plan), out)
        case _:
            _deliver_day_page(plan, form, paper, out)


def _deliver_day_page(plan: Day, form: str, paper: DayPaper, out: str | None) -> None:
    from benchproof.renderers.press import PageError

    try:
        if form == "ical":
            from benchproof.renderers.day.calendar import day_ical

            _deliver_bytes(day_ical(plan, date.fromisoformat(plan.on)), out)
            return
        from benchproof.renderers.day.page import day_html, day_pdf

        if form == "html":
            _deliver(day_html(plan, paper=paper), out)
        else:
            _deliver_bytes(day_pdf(plan, paper=paper), out)
    except PageError as error:
        raise Stop(str(error)) from error


def _deliver_bytes(data: bytes, out: str | None) -> None:
    if out is None or out == "-":
        sys.stdout.buffer.write(data)
    else:
        _save(_target(out), data)
        click.echo(out, err=True)


@cli.command(short_help="What changed, as a baker reads it: ratios first.")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="[NEW]", required=False)
@click.option("--from", "from_", metavar="REV", help="The file OLD at this git revision: HEAD~3.")
@click.option("--to", metavar="REV", help="Against this revision; else against the file as it is.")
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "json", "markdown", "lines"]),
    default="text",
    show_default=True,
    help="markdown is for a pull request, lines for git's own diff (see the manual).",
)
@click.option("--on", metavar="DATE", help="The day to cost for, where the kitchen names none; else today.")
@click.option("--out", metavar="FILE", help="Where to put it; else stdout.")
def compare(
    old: str, new: str | None, from_: str | None, to: str | None, form: str, on: str | None, out: str | None
) -> None:
    """What changed between two files, or in one file between two git revisions, as a baker reads it.

    \b
    benchproof compare loaf.bench loaf-2.bench
    benchproof compare loaf.bench --from HEAD~3 --as markdown
    """
    day = _day(on) or _this_day()
    if form == "lines" and new is None and from_ is None:
        _write(sys.stdout, _lines_for_git(Path(old), day))
        return
    from benchproof.compiler import past
    from benchproof.compiler.comparison import Comparisons
    from benchproof.compiler.git import GitError
    from benchproof.compiler.ratio_diff import compare as compared
    from benchproof.renderers.comparison import Form, comparison

    if (new is None) is (from_ is None) or form == "lines":
        raise Stop(
            "Compare two files, or one file with `--from REV`.",
            "Write `benchproof compare OLD NEW`, or `benchproof compare FILE --from HEAD~3`.",
        )
    for path in filter(None, (old, new)):
        if from_ is None and not Path(path).is_file():
            raise Stop(f"There is no file {path}.")
    try:
        if new is not None:
            pairs = past.sides_of_files(Path(old), Path(new), day)
        else:
            pairs = past.sides_of_revisions(Path(old), from_ or "", to, day)
    except GitError as error:
        raise Stop(str(error), error.help) from error
    except (NotText, UnicodeDecodeError) as error:
        raise Stop("One of the two is not plain text in UTF-8.", "Save it again as UTF-8.") from error
    except OSError as error:
        raise Stop(f"{error.filename} cannot be read: {error.strerror}.") from error
    plain = out is not None or form != "text"
    _deliver(
        comparison(
            Comparisons(tuple(compared(*pair) for pair in pairs)),
            cast(Form, form),
            width=None if plain else _width(sys.stdout),
            colour=not plain and _colour(sys.stdout),
        ),
        out,
    )


def _lines_for_git(path: Path, on: str) -> str:
    """A file as git's own diff shows it; whatever is wrong with it, as it is: a diff must not fail."""
    from benchproof.compiler.past import plainly
    from benchproof.renderers.batch_lines import batch_lines

    try:
        return batch_lines(plainly(path, Path.cwd(), on))
    except Exception:  # noqa: BLE001 - git takes any failure for a broken diff: the text itself is never wrong
        return path.read_bytes().decode("utf-8", "replace")


@cli.command(short_help="Ratios and trials over a recipe's commits, one line each.")
@click.argument("recipe")
@click.option("--as", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--on", metavar="DATE", help="The day to cost for; else the kitchen's, else today.")
@click.option("--out", metavar="FILE", help="Where to put it; else stdout.")
def history(recipe: str, form: str, on: str | None, out: str | None) -> None:
    """Ratios and trials over the commits of a recipe's file, one line each.

    \b
    benchproof history "Lighthouse loaf"
    """
    from benchproof.compiler.git import GitError
    from benchproof.compiler.past import history_of
    from benchproof.renderers.history_table import Form, history_table

    kitchen, found = _recipe(recipe)
    try:
        told = history_of(kitchen, found, _on(kitchen, on))
    except GitError as error:
        raise Stop(str(error), error.help) from error
    plain = out is not None or form != "text"
    width = None if plain else _width(sys.stdout)
    _deliver(
        history_table(told, cast(Form, form), width=width, colour=not plain and _colour(sys.stdout)), out
    )


@cli.command(short_help="What the notebook's trials say against what was worked out.")
@click.argument("recipe")
@click.option("--as", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--on", metavar="DATE", help="The day to cost for; else the kitchen's, else today.")
@click.option("--out", metavar="FILE", help="Where to put it; else stdout.")
def trials(recipe: str, form: str, on: str | None, out: str | None) -> None:
    """What a recipe's trials weighed, measured and took, against what was worked out.

    After a few of them it offers this kitchen's own friction, losses and times, with the lines to paste. It changes
    nothing by itself.
    """
    from benchproof.compiler.past import notebook_of
    from benchproof.renderers.trials_table import Form, trials_table

    kitchen, found = _recipe(recipe)
    compiler = Compiler(kitchen)
    told = notebook_of(compiler, found, _on(kitchen, on))
    if told is None:
        request = Request(on=_on(kitchen, on))
        _report(list(_findings_of(kitchen, compiler, compiler.compile(found, request), request)), err=True)
        click.echo(f"“{found.name.text}” was not made: mend what stands above first.", err=True)
        sys.exit(1)
    plain = out is not None or form != "text"
    width = None if plain else _width(sys.stdout)
    _deliver(trials_table(told, cast(Form, form), width=width, colour=not plain and _colour(sys.stdout)), out)


@cli.command(short_help="A page in the browser that follows what you write.")
@click.argument("recipe")
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Which port; else a free one.")
@click.option(
    "--also-ipv6", is_flag=True, help="Listen on ::1 too. It never listens anywhere but on this machine."
)
@click.option("--open", "opens", is_flag=True, help="Open a browser; else the address is printed.")
def watch(recipe: str, port: int | None, also_ipv6: bool, opens: bool) -> None:
    """Card, costs, findings and day of a recipe on a page of this machine, live while you write.

    The page is for you alone: its address holds a secret, and nothing outside this machine is asked or told.
    """
    from benchproof.compiler.preview_server import CannotServe, run_watch
    from benchproof.compiler.watch import Watch
    from benchproof.renderers.preview import preview_page, preview_part

    own_checks()
    start = Path(recipe)
    name: str | None = None
    if not start.is_file():
        _, found = _recipe(recipe)
        start, name = found.source.path or Path(), recipe
    try:
        run_watch(
            Watch(start, name, _this_day),
            preview_page,
            preview_part,
            lambda line: click.echo(line, err=True),
            port=port or 0,
            token=os.environ.get("BENCHPROOF_WATCH_TOKEN"),
            also_v6=also_ipv6,
            opens=opens,
        )
    except CannotServe as error:
        raise Stop(str(error), error.help) from error


@cli.command("language-server", short_help="For editors, over stdin and stdout.")
def language_server() -> None:
    """Serve an editor over stdin and stdout (LSP 3.17). How to set one up: grammar/editors/README.md."""
    from benchproof.compiler.language_server import run_language_server

    run_language_server(_this_day)


@cli.command(short_help="What a finding means and what to do.")
@click.argument("rule", required=False)
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "markdown"]),
    default="text",
    show_default=True,
    help="markdown gives every rule with the message its example prints.",
)
def explain(rule: str | None, form: str) -> None:
    """What a finding means, why it matters and what to do; without a name, all of them.

    \b
    benchproof explain yeast-too-hot
    benchproof explain --as markdown
    """
    from benchproof.compiler.catalogue import catalogue, shown
    from benchproof.renderers.rule_catalogue import catalogue_markdown, explained

    own_checks()

    if rule is None and form == "markdown":
        _write(sys.stdout, catalogue_markdown(catalogue()))
        return
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
    if form == "markdown":
        _write(sys.stdout, catalogue_markdown([shown(found)]))
    else:
        _write(
            sys.stdout, explained(shown(found), colour=_colour(sys.stdout), width=_width(sys.stdout) or 88)
        )


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
