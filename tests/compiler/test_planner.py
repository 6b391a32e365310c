"""solve(): the shortest plan, held against an exhaustive search, and what is let go when not all can be kept."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchproof.compiler.planner import solve
from benchproof.compiler.planning import Lag, NoPlan, Plan, Problem, Use
from tests.compiler.days import holds, shortest


def cook(*jobs: int) -> tuple[Use, ...]:
    return tuple(Use("cook", job, job) for job in jobs)


def follow(one: int, other: int, length: int) -> tuple[Lag, Lag]:
    """`other` after `one`, and no later."""
    return Lag(one, other, length), Lag(other, one, -length)


def net(
    lengths: tuple[int, ...], *pairs: tuple[int, int], tight: tuple[tuple[int, int], ...] = ()
) -> Problem:
    """Jobs that follow each other, some without a pause."""
    lags = tuple(Lag(one, other, lengths[one]) for one, other in (*pairs, *tight))
    return Problem(lengths, lags, tuple(Lag(other, one, -lengths[one]) for one, other in tight))


def using(problem: Problem, *uses: Use, **room: int) -> Problem:
    return Problem(problem.lengths, problem.lags, problem.deadlines, uses, room, problem.free)


def oven(first: int, last: int, state: str) -> Use:
    return Use("oven", first, last, state)


# ---------------------------------------------------------------- fifteen small days

SMALL = {
    "one job": (using(net((4,)), *cook(0)), 4),
    "two for one cook": (using(net((3, 4)), *cook(0, 1)), 7),
    "two for two cooks": (using(net((3, 4)), *cook(0, 1), cook=2), 4),
    "three for two cooks": (using(net((3, 4, 5)), *cook(0, 1, 2), cook=2), 7),
    "the long wait begins first": (using(net((2, 1, 9), (1, 2)), *cook(0, 1)), 10),
    "two proofs for one pair of hands": (
        using(net((4, 2, 4, 2), tight=((0, 1), (2, 3))), *cook(1, 3)),
        8,
    ),
    "two proofs and three loaves": (
        using(net((3, 2, 3, 2, 3, 2), tight=((0, 1), (2, 3), (4, 5))), *cook(1, 3, 5)),
        9,
    ),
    "one oven, one temperature": (using(net((5, 3)), oven(0, 0, "200"), oven(1, 1, "200")), 5),
    "one oven, two temperatures": (using(net((5, 3)), oven(0, 0, "200"), oven(1, 1, "150")), 8),
    "heated, then baked, twice": (
        using(net((2, 3, 2, 3), tight=((0, 1), (2, 3))), oven(0, 1, "200"), oven(2, 3, "150")),
        10,
    ),
    "two ovens": (
        using(net((5, 3, 4)), oven(0, 0, "200"), oven(1, 1, "150"), oven(2, 2, "100"), oven=2),
        7,
    ),
    "a bowl kept until it is empty": (
        using(net((1, 4, 1, 3), (0, 1), (1, 2)), *cook(0, 2, 3), Use("bowl", 0, 2), Use("bowl", 3, 3)),
        9,
    ),
    "two bowls": (
        using(
            net((1, 4, 1, 3), (0, 1), (1, 2)), *cook(0, 2, 3), Use("bowl", 0, 2), Use("bowl", 3, 3), bowl=2
        ),
        6,
    ),
    "a moment at the oven": (
        using(net((4, 0, 3, 3), tight=((0, 1),)), *cook(1, 2, 3)),
        6,
    ),
    "begun while another goes": (
        Problem((6, 2, 2), (Lag(0, 1, 0), Lag(1, 2, 2)), (), cook(0, 2)),
        8,
    ),
}


def turned(problem: Problem, plan: Plan) -> list[int]:
    """A plan of the mirrored problem, with time running forwards."""
    return [plan.length - start - own for start, own in zip(plan.starts, problem.lengths, strict=True)]


@pytest.mark.parametrize(("problem", "length"), SMALL.values(), ids=SMALL)
def test_it_is_the_shortest_there_is(problem: Problem, length: int) -> None:
    assert shortest(problem, 30) == length
    plan = solve(problem)
    assert (plan.length, plan.bound, plan.proven) == (length, length, True)
    assert plan.kept == problem.deadlines
    assert holds(problem, plan.starts, plan.kept)


@pytest.mark.parametrize(("problem", "length"), SMALL.values(), ids=SMALL)
def test_backwards_it_is_as_short(problem: Problem, length: int) -> None:
    plan = solve(problem.mirrored())
    assert (plan.length, plan.proven) == (length, True)
    assert holds(problem, turned(problem, plan), problem.deadlines)


# ---------------------------------------------------------------- any small day


@st.composite
def problems(draw: st.DrawFn, windows: bool = False) -> Problem:
    size = draw(st.integers(2, 4 if windows else 6))
    lengths = tuple(draw(st.sampled_from((0, 1, 1, 2, 2, 3))) for _ in range(size))
    lags: list[Lag] = []
    deadlines: list[Lag] = []
    uses: list[Use] = []
    for job in range(1, size):
        if not draw(st.booleans()):
            continue
        before = draw(st.integers(0, job - 1))
        wait = draw(st.sampled_from((lengths[before], lengths[before], lengths[before], 0)))
        lags.append(Lag(before, job, wait))
        if wait == lengths[before] and draw(st.booleans()):
            deadlines.append(Lag(job, before, -wait - draw(st.sampled_from((0, 0, 1)))))
        if wait == lengths[before] and draw(st.integers(0, 3)) == 0:
            uses.append(Use("oven", before, job, draw(st.sampled_from("AB"))))
    for job in range(size):
        kind = draw(st.sampled_from(("cook", "cook", "oven", "bowl", "nothing")))
        if kind != "nothing":
            uses.append(Use(kind, job, job, draw(st.sampled_from("AB")) if kind == "oven" else None))
    room = {thing: draw(st.sampled_from((1, 1, 2))) for thing in ("cook", "oven", "bowl")}
    free: dict[int, tuple[tuple[int, int], ...]] = {}
    if windows:
        first = draw(st.integers(0, 2))
        second = first + draw(st.integers(5, 8))
        stretches = ((first, first + 3), (second, second + 4), (second + 6, 60))
        free = {use.first: stretches for use in uses if use.thing == "cook"}
    return Problem(lengths, tuple(lags), tuple(deadlines), tuple(uses), room, free)


def is_true(problem: Problem) -> None:
    """What a plan says of itself holds, as far as an exhaustive search can tell."""
    try:
        plan = solve(problem)
    except NoPlan:
        loose = Problem(problem.lengths, problem.lags, (), problem.uses, problem.capacity, problem.free)
        assert shortest(loose, sum(problem.lengths) + (12 if problem.free else 0)) is None
        return
    assert holds(problem, plan.starts, plan.kept)
    ends = [start + own for start, own in zip(plan.starts, problem.lengths, strict=True)]
    assert plan.length == max(ends)
    assert set(plan.kept) <= set(problem.deadlines)
    if len(plan.kept) < len(problem.deadlines):
        assert not plan.proven
        assert shortest(problem, sum(problem.lengths) + (12 if problem.free else 0)) is None, "let go in vain"
        return
    least = shortest(problem, plan.length)
    assert least is not None
    assert plan.bound <= least
    assert not plan.proven or least == plan.length


@settings(max_examples=150, deadline=None)
@given(problems(), st.booleans())
def test_what_it_says_is_so(problem: Problem, back: bool) -> None:
    is_true(problem.mirrored() if back else problem)


@settings(max_examples=60, deadline=None)
@given(problems(windows=True))
def test_what_it_says_is_so_when_cooks_are_not_always_free(problem: Problem) -> None:
    is_true(problem)


@settings(max_examples=150, deadline=None)
@given(problems())
def test_all_early_and_all_late_are_plans_too(problem: Problem) -> None:
    """The orders it gives leave nobody in anybody's way, wherever between them each job is put."""
    try:
        plan = solve(problem)
    except NoPlan:
        return
    lags = (*problem.lags, *plan.kept, *plan.orders)
    early = [0] * len(problem.lengths)
    late = [plan.length - own for own in problem.lengths]
    for _ in range(len(early) ** 2):
        for lag in lags:
            early[lag.after] = max(early[lag.after], early[lag.before] + lag.wait)
            late[lag.before] = min(late[lag.before], late[lag.after] - lag.wait)
    assert holds(problem, early, plan.kept)
    assert holds(problem, late, plan.kept)
    assert all(one <= start <= other for one, start, other in zip(early, plan.starts, late, strict=True))


# ---------------------------------------------------------------- what cannot all be kept


def test_what_contradicts_itself_has_no_plan() -> None:
    with pytest.raises(NoPlan):
        solve(Problem((1, 1), (Lag(0, 1, 5), Lag(1, 0, -4)), (), cook(0, 1)))


def test_work_longer_than_any_free_time_has_no_plan() -> None:
    with pytest.raises(NoPlan):
        solve(Problem((5,), uses=cook(0), free={0: ((0, 4), (6, 10))}))


def test_two_proofs_that_end_at_once_cannot_both_be_served() -> None:
    pairs = [follow(0, 1, 3), follow(0, 2, 3)]
    problem = Problem((3, 4, 4), tuple(lag for lag, _ in pairs), tuple(one for _, one in pairs), cook(1, 2))
    plan = solve(problem)
    assert len(plan.kept) == 1
    assert not plan.proven
    assert plan.length == 11
    assert holds(problem, plan.starts, plan.kept)


def test_dough_that_is_due_while_nobody_is_free_waits_for_them() -> None:
    # mixed at 0 it would be ready at 6, and the cook is away from 4 to 9
    dough = net((1, 5, 2), tight=((0, 1), (1, 2)))
    away = dict.fromkeys((0, 2), ((0, 4), (9, 12)))
    problem = Problem(dough.lengths, dough.lags, dough.deadlines, cook(0, 2), free=away)
    plan = solve(problem)
    assert plan.kept == problem.deadlines
    assert plan.starts == (3, 4, 9), "it is begun later, so that it is ready when they are back"


# ---------------------------------------------------------------- larger ones


def loaves(many: int) -> Problem:
    """So many loaves of two kinds, each mixed, proved and baked, in one oven at two temperatures."""
    lengths = (3, 10, 1, 12) * many
    tight = tuple((4 * one + at, 4 * one + at + 1) for one in range(many) for at in range(3))
    uses = [Use("cook", 4 * one + at, 4 * one + at) for one in range(many) for at in (0, 2)]
    uses += [oven(4 * one + 3, 4 * one + 3, "AB"[one % 2]) for one in range(many)]
    return using(net(lengths, tight=tight), *uses)


@pytest.mark.parametrize("back", [False, True])
def test_a_day_too_large_to_be_searched_is_planned_and_says_how_good_it_is(back: bool) -> None:
    problem = loaves(12)
    problem = problem.mirrored() if back else problem
    plan = solve(problem, most_nodes=50)
    assert plan.kept == problem.deadlines
    assert holds(problem, plan.starts, plan.kept)
    assert plan.bound <= plan.length <= sum(problem.lengths)


def test_a_pair_that_must_take_so_long_is_a_bound_for_all() -> None:
    # two loaves fight over the oven; a third recipe is in nobody's way, but it is in the problem
    pair = using(
        net((1, 9, 6, 2, 9, 3), tight=((0, 1), (1, 2), (3, 4), (4, 5))), oven(1, 1, "A"), oven(4, 4, "B")
    )
    lengths = (*pair.lengths, 2, 2)
    lags = (*pair.lags, Lag(6, 7, 2))
    whole = Problem(lengths, lags, pair.deadlines, (*pair.uses, *cook(6, 7)))
    plan = solve(whole)
    assert plan.proven
    assert plan.length == shortest(whole, 30)


def test_the_same_every_time() -> None:
    assert solve(loaves(7)) == solve(loaves(7))


def test_lengths_of_any_size() -> None:
    month = 30 * 86400 * 7
    problem = using(net((1, month, 1), tight=((0, 1), (1, 2))), *cook(0, 2))
    assert solve(problem).length == month + 2


def test_nothing_to_do_takes_no_time() -> None:
    plan = solve(Problem(()))
    assert (plan.length, plan.proven) == (Fraction(0), True)
