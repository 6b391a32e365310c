"""Mending a kitchen's texts: what is put right unseen, what is left alone, and the promise that is held to."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler import mend as mend_module
from benchproof.compiler.blocks import cut
from benchproof.compiler.checks import check_kitchen
from benchproof.compiler.compile import Compiler
from benchproof.compiler.files import with_ends_of
from benchproof.compiler.findings import Edit, Finding, Severity
from benchproof.compiler.kitchen import Kitchen
from benchproof.compiler.mend import Mended, mend
from benchproof.compiler.request import Request
from benchproof.compiler.source import Place, Source, Span
from tests.compiler.checks.checking import ON

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
TEXTS = {
    path.relative_to(ROOT).as_posix(): path.read_bytes().decode("utf-8").partition("\n----\n")[0] + "\n"
    for path in sorted(
        [
            *(HERE / "messages").glob("*.txt"),
            *(HERE / "checks" / "golden").glob("*.txt"),
            *(ROOT / "recipes" / "broken").glob("*.bench"),
        ]
    )
}

LIST = "ingredients\n  white rice:  200 g\n  water:       300 g\n"
BOIL = "\nstep Boil\n  Simmer [the white rice] in [the water], [15 min hands-off].\n"
RICE = f"recipe Rice\n  serves:  3\n\n{LIST}{BOIL}"
PRICES = "prices at Quay Market on 2026-11-02\n  white rice:  3.20 for 1 kg\n  water:       free\n\n"


def kitchen_of(*texts: str) -> Kitchen:
    return Kitchen([Source(text, f"{'abcdef'[at]}.bench") for at, text in enumerate(texts)])


def day(kitchen: Kitchen) -> str:
    return kitchen.settings.costed_on or ON


def mended(*texts: str) -> Mended:
    kitchen = kitchen_of(*texts)
    return mend(kitchen, day(kitchen))


def after(*texts: str) -> list[str]:
    """The texts as they are once mended."""
    new = {file.source.name: file.text for file in mended(*texts).files}
    return [new.get(source.name, source.text) for source in kitchen_of(*texts).sources]


def comments(text: str) -> list[str]:
    source = Source(text)
    return [
        source.text[raw.place.offset + a : raw.place.offset + b]
        for raw in cut(source)
        for a, b in sorted(raw.comments)
    ]


def loud(kitchen: Kitchen) -> set[tuple[str, str, int]]:
    found = check_kitchen(kitchen, Compiler(kitchen), day(kitchen))
    return {(one.rule, one.span.source.name, one.span.line) for one in found if one.severity > Severity.HINT}


def weighed(kitchen: Kitchen) -> set[str]:
    """The recipes that have a Batch."""
    compiler = Compiler(kitchen)
    return {
        recipe.name.text
        for recipe in kitchen.own_recipes()
        if compiler.compile(recipe, Request(on=day(kitchen))).batch is not None
    }


def assert_promise(text: str) -> None:
    before = kitchen_of(text)
    result = mended(text)
    if not result.files:
        assert result.revealed == ()
        return
    new = result.files[0].text
    assert after(new) == [new], "twice is not the same as once"
    assert comments(new) == comments(text)
    assert new.count("\n") == before.sources[0].text.count("\n")
    now = kitchen_of(new)
    assert weighed(now) >= weighed(before)
    revealed = {(one.rule, one.span.source.name, one.span.line) for one in result.revealed}
    assert loud(now) - loud(before) == revealed
    if weighed(before) == {recipe.name.text for recipe in before.own_recipes()}:
        assert revealed == set(), "nothing was hidden"


# ---------------------------------------------------------------- what is put right


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("  white rice:  200 g", "\twhite rice:  200 g"),
        ("  white rice:  200 g", "  white rice:  200\u00a0g"),
        ("  white rice:  200 g", "  white rice:  ２００ g"),
        ("  white rice:  200 g", "  white\u200b rice:  200 g"),
        ("  white rice:  200 g", "  white rice:  200 G.".replace(" G.", " grams.")),
        ("  white rice:  200 g", "  white rice  200 g"),
        ("  white rice:  200 g", "  white rice:  “200 g”"),
        ("  water:       300 g", "  water:       0,3 Kg"),
        ("recipe Rice", "Recipe Rice"),
        ("recipe Rice", "recipe: Rice"),
        ("recipe Rice", "reicpe Rice"),
        ("  serves:  3", "serves:  3"),
        ("  serves:  3", "  serves:3"),
        ("  serves:  3", "  serves  3"),
        ("  serves:  3", "  servse:  3"),
        ("ingredients\n", "INGREDIENTS\n"),
        ("[15 min hands-off]", "[for 15 min hands-off]"),
        ("[15 min hands-off]", "[hands-off 15 min]"),
    ],
)
def test_a_sure_slip_is_put_right(wrong: str, right: str) -> None:
    text = RICE.replace(wrong, right)
    assert text != RICE
    assert mended(text).files[0].applied
    assert loud(kitchen_of(after(text)[0])) == set()
    assert_promise(text)


def test_all_of_a_kitchen_at_once() -> None:
    one = RICE.replace("serves:  3", "serves:3").replace("  water", "\twater")
    other = RICE.replace("Rice\n", "More rice\n", 1).replace("15 min", "15 mins")
    result = mended(PRICES.replace("3.20 for 1 kg", "3,20 for 1 Kg"), one, other)
    assert [(file.source.name, {found.rule for found in file.applied}) for file in result.files] == [
        ("a.bench", {"decimal-comma", "unit-case"}),
        ("b.bench", {"missing-blank", "tab-indent"}),
        ("c.bench", {"unknown-unit"}),
    ]
    assert (result.left, result.revealed) == ((), ())


def test_only_what_was_asked_for() -> None:
    kitchen = kitchen_of(
        RICE.replace("serves:  3", "serves:3"), RICE.replace("Rice\n", "reis\n").replace(" g", " gm")
    )
    assert [file.source.name for file in mend(kitchen, ON, only={"b.bench"}).files] == ["b.bench"]
    assert mend(kitchen, ON, only=()).files == ()


def test_edits_that_overlap_wait_for_the_next_round() -> None:
    """One edit sets all lines of the block straight, and the others lie inside it."""
    text = RICE.replace(
        "  white rice:  200 g\n  water:       300 g", "\twhite rice:  200 Gm\n\twater:       300 ML\n"
    )
    assert "  white rice:  200 g\n  water:       300 ml\n" in after(text)[0]


def test_a_comment_stays() -> None:
    text = RICE.replace("serves:  3", "serves:3   # 1,5 Kg for“six”\t[about\u00a05 min").replace(
        "200 g", "200 gms"
    )
    new = after(text)[0]
    assert "serves: 3   # 1,5 Kg for“six”\t[about\u00a05 min\n" in new
    assert "200 g\n" in new


def test_what_a_merge_left_is_not_indented() -> None:
    text = (
        "recipe Rice\nserves: 3\n<<<<<<< ours\n  makes: 3 bowls\n"
        "=======\n  makes: 2 bowls\n>>>>>>> theirs\ntags: rice\n\n" + LIST
    )
    new = after(text)[0]
    assert "\n<<<<<<< ours\n" in new
    assert "\n=======\n" in new
    assert "\n  tags: rice\n" in new


# ---------------------------------------------------------------- what is left alone


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("white rice:  200 g", "white rise:  200 g"),  # a food's name is a question
        ("white rice:  200 g", "white rice:  1,200 g"),  # two readings
        ("white rice:  200 g", "white rice:  1 200 g"),  # or one of 200 g
        ("white rice:  200 g", "white rice:  nearly 200 g"),
        ("white rice:  200 g", "white rice:  200 g heaped"),
        ("white rice:  200 g", "white rice:  \u202e200 g"),  # what is seen is not what stands there
        ("serves:  3", "makes:  12 balls (480 g)"),  # each, or together
        ("serves:  3", "sreve:  3"),
        ("[15 min hands-off]", "[15-10 min hands-off]"),
        ("[15 min hands-off]", "[15,20 min hands-off]"),
        ("[15 min hands-off]", "[15 min hands off]"),
        ("[15 min hands-off]", "[75 C in the middle]"),
        ("[15 min hands-off]", "[180 C/300 F oven], [15 min hands-off]"),
        ("[15 min hands-off]", "15 min"),
    ],
)
def test_what_may_mean_something_else_is_left_to_the_cook(wrong: str, right: str) -> None:
    text = RICE.replace(wrong, right)
    assert text != RICE
    assert mended(text).files == ()


@pytest.mark.parametrize("sign", ["€", "$", "EUR "])
def test_a_currency_is_not_dropped(sign: str) -> None:
    assert mended(PRICES.replace("3.20", f"{sign}3.20") + RICE).files == ()


def test_a_mend_that_brings_something_on_is_left_alone_and_said() -> None:
    text = RICE.replace("water:       300 g", "water:       1,5 %")
    result = mended(text)
    assert result.files == ()
    (left,) = result.left
    assert (left.finding.rule, left.reason) == (
        "decimal-comma",
        "It would bring on percent-without-base: Water is 1.5 %, but nothing says of what.",
    )


def test_beside_one_that_is_left_alone_the_others_are_made() -> None:
    text = RICE.replace("water:       300 g", "water:       1,5 %").replace("serves:  3", "serves:3")
    result = mended(text)
    assert [one.rule for file in result.files for one in file.applied] == ["missing-blank"]
    assert [one.finding.rule for one in result.left] == ["decimal-comma"]


def test_a_price_that_would_be_a_slip_itself_is_left_alone() -> None:
    elsewhere = "prices at Harbour Stores on 2026-10-02\n  white rice:  0.31 for 1 kg\n\n"
    result = mended(elsewhere + PRICES.replace("3.20", "3,20") + RICE)
    assert result.files == ()
    assert result.left[0].reason.startswith("It would bring on price-slipped: ")


def test_a_style_that_it_does_not_keep_is_left_alone() -> None:
    loaf = (
        "recipe Loaf\n  makes:  1 loaf\n  base:   strong flour\n  style:  lean heart bread\n\ningredients\n"
        "  strong flour:   500 g\n  water:          68 %\n  fine salt:      3.4 %\n  instant yeast:  0.6 %\n"
    )
    assert mended(loaf).left[0].reason.startswith("It would bring on ratio-outside-style: ")
    assert mended(loaf.replace("3.4", "2")).files[0].text == loaf.replace("3.4", "2").replace(
        "heart", "hearth"
    )


def test_what_was_never_looked_for_comes_to_light() -> None:
    """A recipe that could not be read was not checked: what is found in it now was there all along."""
    text = RICE.replace("serves:  3", "makes:2 bowls of 300 g")
    result = mended(text)
    assert [one.rule for file in result.files for one in file.applied] == ["missing-blank"]
    assert [one.rule for one in result.revealed] == ["yield-does-not-add-up"]


# ---------------------------------------------------------------- edits that break the promise


Faulty = Callable[[str, str, str], None]


@pytest.fixture
def faulty(monkeypatch: pytest.MonkeyPatch) -> Faulty:
    """Adds a finding whose edit is anything but safe: `faulty(rule, old, new)` wherever `old` stands."""

    def install(rule: str, old: str, new: str) -> None:
        def found(kitchen: Kitchen, compiler: Compiler, on: str) -> Iterable[Finding]:
            findings = check_kitchen(kitchen, compiler, on)
            for source in kitchen.sources:
                at = source.text.find(old)
                if at >= 0:
                    span = Span(Place(source), at, at + len(old))
                    findings.append(Finding(rule, Severity.HINT, span, "Odd.", "Mend.", edit=Edit(span, new)))
            return findings

        monkeypatch.setattr(mend_module, "check_kitchen", found)

    return install


def test_what_was_read_must_be_read_the_same(faulty: Faulty) -> None:
    faulty("no-break-space", "200 g", "210 g")
    result = mended(RICE)
    assert result.files == ()
    assert result.left[0].reason == "It would change what is worked out for “Rice”."


def test_another_recipe_is_not_touched(faulty: Faulty) -> None:
    faulty("waiver-unused", "  serves:  7\n\n" + LIST, "  serves:  8\n\n" + LIST)
    other = RICE.replace("recipe Rice", "recipe More rice").replace("serves:  3", "serves:  7")
    assert [file.source.name for file in mended(RICE, other).files] == ["b.bench"], "its own"
    faulty("waiver-unused", "white rice:  3.20 for 1 kg", "white rice:  3.30 for 1 kg")
    assert len(mended(PRICES + RICE).files) == 1, "a price may change a cost"
    faulty("waiver-unused", "recipe Rice\n  serves:  3", "recipe Rice\n  serves:  4")
    joined = mended("checks\n  price-stale:  error\n\n" + RICE)
    assert len(joined.files) == 1


def test_a_finding_changes_no_recipe_but_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nor does one in a block that no recipe is worked out from."""
    checks = "checks\n  price-stale:  error\n\n"
    other = RICE.replace("recipe Rice", "recipe More rice")

    def found(kitchen: Kitchen, compiler: Compiler, on: str) -> list[Finding]:
        here, there = kitchen.sources
        at = there.text.find("200 g")
        if at < 0:
            return []
        edit = Edit(Span(Place(there), at, at + 5), "300 g")
        return [Finding("waiver-unused", Severity.HINT, Span(Place(here), 0, 6), "Odd.", "Mend.", edit=edit)]

    monkeypatch.setattr(mend_module, "check_kitchen", found)
    for text in (RICE, checks + RICE):
        result = mended(text, other)
        assert result.files == ()
        assert {one.reason for one in result.left} == {"It would change what is worked out for “More rice”."}


def test_a_price_list_changes_costs_only(faulty: Faulty) -> None:
    spread = PRICES.rstrip() + "\n\n" + RICE
    faulty("waiver-unused", "free\n\nrecipe Rice\n  serves:  3", "free\n\nrecipe Rice\n  serves:  4")
    result = mended(spread)
    assert result.files == ()
    assert result.left[0].reason == "It would change what is worked out for “Rice”."


def test_a_batch_is_not_lost(faulty: Faulty) -> None:
    faulty("waiver-unused", "recipe Rice", "# no more")
    result = mended(RICE)
    assert result.files == ()
    assert len(result.left) == 1


def test_lines_are_not_moved(faulty: Faulty) -> None:
    faulty("waiver-unused", "  serves:  3\n", "")
    result = mended(RICE)
    assert (result.files, result.left[0].reason) == ((), "It would move the lines below it.")


def test_a_comment_is_not_changed(faulty: Faulty) -> None:
    faulty("waiver-unused", "# mine", "# ours")
    result = mended("# mine\n" + RICE)
    assert (result.files, result.left[0].reason) == ((), "It would change a comment.")


def test_mends_without_end_are_none(monkeypatch: pytest.MonkeyPatch) -> None:
    def found(kitchen: Kitchen, compiler: Compiler, on: str) -> list[Finding]:
        source = kitchen.sources[0]
        at = source.text.index("summary:  ") + 10
        span = Span(Place(source), at, at + 1)
        edit = Edit(span, "a" if span.text == "b" else "b")
        return [Finding("waiver-unused", Severity.HINT, span, "Odd.", "Mend.", edit=edit)]

    monkeypatch.setattr(mend_module, "check_kitchen", found)
    result = mended(RICE.replace("  serves", "  summary:  a\n  serves"))
    assert result.files == ()
    assert {one.reason for one in result.left} == {"One mend here brings on the next without end."}


def test_many_mends_that_never_come_to_rest_are_none(monkeypatch: pytest.MonkeyPatch) -> None:
    def found(kitchen: Kitchen, compiler: Compiler, on: str) -> list[Finding]:
        source = kitchen.sources[0]
        at = source.text.index("summary:  ") + 10
        span = Span(Place(source), at, at + 1)
        return [Finding("waiver-unused", Severity.HINT, span, "Odd.", "Mend.", edit=Edit(span, "aa"))]

    monkeypatch.setattr(mend_module, "check_kitchen", found)
    assert mended(RICE.replace("  serves", "  summary:  a\n  serves")).files == ()


# ---------------------------------------------------------------- the promise


@pytest.mark.parametrize("name", TEXTS)
def test_the_promise_is_kept(name: str) -> None:
    assert_promise(TEXTS[name])


SLIPS: tuple[Callable[[str], str], ...] = (
    lambda line: line.replace("  ", "\t", 1),
    lambda line: line.replace(" ", "\u00a0"),
    lambda line: line.replace(": ", ":", 1),
    lambda line: line.replace(":", "", 1),
    lambda line: line.replace(".", ",", 1),
    lambda line: line.replace(" g", " Gr."),
    lambda line: line.replace(" min", " mins"),
    lambda line: line.replace("[", "[about ", 1),
    lambda line: line.replace("hands-off", ", hands-off"),
    lambda line: line.lstrip(),
    lambda line: line[:1].upper() + line[1:],
    lambda line: line.replace("re", "er", 1),
    lambda line: line + "   # a note: 1,5 Kg",
    lambda line: line + "\u200b",
    lambda line: line.translate(str.maketrans("0123456789", "０１２３４５６７８９")),
    lambda line: "",
    lambda line: line + ",",
    lambda line: line.replace("] ", " or so] ", 1),
)

CLEAN = (
    "# The house\nkitchen Saltmarsh\n  currency:  NZD\n  scales:  0.1 g to 500 g, 1 g to 5 kg\n\n"
    "prices at Quay Market on 2026-11-02\n  strong flour:   2.40 for 1.5 kg\n  fine salt:  1.10 for 500 g\n"
    "  instant yeast:  6.50 for 125 g\n  water:  free\n\n"
    "recipe Loaf\n  makes:  2 loaves of 426.5 g\n  base:   strong flour\n  style:  lean hearth bread\n\n"
    "ingredients\n  strong flour:   500 g\n  water:          68 %\n  fine salt:      2 %\n  instant yeast:  0.6 %\n\n"
    "step Mix\n  Stir [the strong flour], [the fine salt] and [the instant yeast] together.\n"
    "  Add [the water] at [30-35 C] and knead, [10 min].\n\n"
    "step Rise, after Mix\n  Cover and leave [60-90 min hands-off] until twice the size.\n\n"
    "step Bake\n  Divide into [2 loaves], shape, and leave [30-40 min hands-off].\n"
    "  Bake at [220 C oven], [30-35 min hands-off].\n"
)


@st.composite
def slipped(draw: st.DrawFn) -> str:
    lines = CLEAN.split("\n")
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, len(lines) - 1))
        lines[at] = draw(st.sampled_from(SLIPS))(lines[at])
    return "\n".join(lines).rstrip("\n") + draw(st.sampled_from(["", "\n"]))


@given(slipped())
@settings(max_examples=25)
def test_the_promise_is_kept_for_whatever_slips(text: str) -> None:
    assert_promise(text)


@given(
    slipped(),
    st.lists(st.sampled_from(["\n", "\r\n"]), min_size=60, max_size=60) | st.just(["\r"] * 60),
    st.booleans(),
)
@settings(max_examples=10)
def test_each_line_keeps_its_end(text: str, ends: list[str], mark: bool) -> None:
    lines = text.split("\n")
    pairs = zip(lines, [*ends[: len(lines) - 1], ""], strict=True)
    raw = "\ufeff" * mark + "".join(line + end for line, end in pairs)
    new = after(raw)[0]
    assert after(text) == [new], "the ends of lines change no mend"
    written = with_ends_of(raw, new)
    assert Source(written).text == new
    plain = written.removeprefix("\ufeff")
    assert written.startswith("\ufeff") == mark
    for line, end in zip(new.split("\n"), [*ends[: len(lines) - 1], ""], strict=True):
        assert plain.startswith(line + end)
        plain = plain[len(line + end) :]
    assert plain == ""


def test_a_clean_kitchen_is_left_as_it_is() -> None:
    assert loud(kitchen_of(CLEAN)) == set()
    result: Any = mended(CLEAN)
    assert (result.files, result.left, result.revealed) == ((), (), ())
