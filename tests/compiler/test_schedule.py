"""The day: one cook, hands-off work by itself. The plans in the examples were drawn by hand."""

import itertools
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchproof.compiler.batch import Extent, Stretch
from benchproof.compiler.schedule import Piece, Task, elapsed, lay_out, span_of
from tests.compiler.bench import DEMO, batch_of, demo_batch


def on(low: int, high: int | None = None) -> Piece:
    return Piece(Extent(Fraction(low), Fraction(low if high is None else high)), hands_off=False)


def off(low: int, high: int | None = None) -> Piece:
    return Piece(Extent(Fraction(low), Fraction(low if high is None else high)), hands_off=True)


def task(number: int, *pieces: Piece, after: tuple[int, ...] = (), during: int | None = None) -> Task:
    return Task(number, after, during, pieces)


def plan(*tasks: Task) -> list[tuple[int, int, int]]:
    return [(one.step, int(one.start), int(one.end)) for one in lay_out(tasks, lambda extent: extent.high)]


# ---------------------------------------------------------------- by hand


def test_nothing_takes_no_time() -> None:
    assert elapsed([]) == (Extent(Fraction(0), Fraction(0)), ())
    assert elapsed([task(1), task(2, after=(1,))])[0] == Extent(Fraction(0), Fraction(0))


def test_one_after_the_other() -> None:
    assert plan(task(1, on(5)), task(2, on(3), after=(1,))) == [(1, 0, 5), (2, 5, 8)]


def test_hands_on_work_waits_for_the_cook_and_not_only_for_the_step_before() -> None:
    # Both may begin at once; there is one cook.
    assert plan(task(1, on(5)), task(2, on(3))) == [(1, 0, 5), (2, 5, 8)]


def test_hands_off_work_runs_beside_anything() -> None:
    assert sorted(plan(task(1, off(60)), task(2, off(40)), task(3, on(10)))) == [
        (1, 0, 60), (2, 0, 40), (3, 0, 10),
    ]  # fmt: skip


def test_the_griddle_morning() -> None:
    # Wake (10 off) | dry side (2) during it | batter (3, 25 off) after both | cook (5 off, 21) after that.
    tasks = (
        task(1, off(5, 10)),
        task(2, on(2), during=1),
        task(3, on(3), off(20, 25), after=(1, 2)),
        task(4, off(5), on(21, 24), after=(3,)),
    )
    assert plan(*tasks) == [(1, 0, 10), (2, 0, 2), (3, 10, 13), (3, 13, 38), (4, 38, 43), (4, 43, 67)]
    assert elapsed(tasks)[0] == Extent(Fraction(5 + 3 + 20 + 5 + 21), Fraction(67))


def test_during_starts_no_earlier_and_may_last_longer() -> None:
    assert plan(task(1, on(5)), task(2, off(10), after=(1,)), task(3, off(30), during=2)) == [
        (1, 0, 5), (2, 5, 15), (3, 5, 35),
    ]  # fmt: skip


def test_a_step_waits_for_the_longest_of_several() -> None:
    tasks = (task(1, off(30)), task(2, off(45)), task(3, on(1)), task(4, on(2), after=(1, 2, 3)))
    assert plan(*tasks)[-1] == (4, 45, 47)


def test_a_wait_in_the_middle_of_a_step_frees_the_cook() -> None:
    # Knead 10, rest 30, knead 5; meanwhile a sauce of 20 goes in between.
    assert sorted(plan(task(1, on(10), off(30), on(5)), task(2, on(20)))) == [
        (1, 0, 10), (1, 10, 40), (1, 40, 45), (2, 10, 30),
    ]  # fmt: skip


def test_work_begun_is_finished_before_what_could_begin_later() -> None:
    # The sauce of 40 begins at 10, when the cook is free, and the second kneading waits for it.
    assert sorted(plan(task(1, on(10), off(30), on(5)), task(2, on(40)))) == [
        (1, 0, 10), (1, 10, 40), (1, 50, 55), (2, 10, 50),
    ]  # fmt: skip


def test_the_order_of_the_method_decides_between_equals() -> None:
    assert [one[0] for one in plan(task(1, on(1)), task(2, on(1)), task(3, on(1)))] == [1, 2, 3]


def test_a_task_without_a_duration_passes_its_waits_on() -> None:
    assert plan(task(1, on(5)), task(2, after=(1,)), task(3, on(1), after=(2,))) == [(1, 0, 5), (3, 5, 6)]


def test_the_day_of_a_recipe() -> None:
    batch = batch_of(
        "recipe T\n\ningredients\n  water: 1 g\n\nstep Dough\n  [the water], [10 min].\n\n"
        "step Rise\n  [60-90 min hands-off]\n\nstep Oven, during Rise\n  [20 min hands-off]\n\n"
        "step Filling, during Rise\n  [15 min]\n\n"
        "step Bake, after Rise, Oven and Filling\n  [5 min], [30 min hands-off]\n\n"
        "step Eat\n  x\n"
    )
    times = batch.times
    assert times.elapsed == Extent(Fraction(105 * 60), Fraction(135 * 60))
    assert times.hands_on == Extent(Fraction(30 * 60), Fraction(30 * 60))
    assert times.hands_off == Extent(Fraction(110 * 60), Fraction(140 * 60))
    assert times.untimed == 1


# ---------------------------------------------------------------- properties

pieces = st.builds(
    lambda low, more, hands_off: Piece(Extent(Fraction(low), Fraction(low + more)), hands_off),
    st.integers(0, 60),
    st.integers(0, 30),
    st.booleans(),
)


@st.composite
def networks(draw: st.DrawFn) -> list[Task]:
    tasks: list[Task] = []
    for number in range(1, draw(st.integers(1, 9)) + 1):
        above = list(range(1, number))
        after = draw(st.lists(st.sampled_from(above), unique=True, max_size=3)) if above else []
        during = draw(st.none() | st.sampled_from(above)) if above else None
        tasks.append(Task(number, tuple(after), during, tuple(draw(st.lists(pieces, max_size=4)))))
    return tasks


def check_plan(tasks: list[Task], stretches: tuple[Stretch, ...], end: str) -> None:
    busy = sorted((one.start, one.end) for one in stretches if not one.hands_off)
    for (_, stop), (start, _) in itertools.pairwise(busy):
        assert stop <= start, "one cook in two places"
    begun: dict[int, Fraction] = {}
    done: dict[int, Fraction] = {}
    for one in tasks:
        mine = [stretch for stretch in stretches if stretch.step == one.number]
        assert [(s.end - s.start, s.hands_off) for s in mine] == [
            (getattr(piece.duration, end), piece.hands_off) for piece in one.pieces
        ]
        for before, after in itertools.pairwise(mine):
            assert before.end <= after.start
        ready = max(
            [Fraction(0), *(done[n] for n in one.after), *([begun[one.during]] if one.during else [])]
        )
        if mine:
            assert mine[0].start >= ready
        begun[one.number] = mine[0].start if mine else ready
        done[one.number] = mine[-1].end if mine else ready


@given(networks())
def test_any_plan_can_be_kept(tasks: list[Task]) -> None:
    check_plan(tasks, lay_out(tasks, lambda extent: extent.high), "high")
    check_plan(tasks, lay_out(tasks, lambda extent: extent.low), "low")


@given(networks())
def test_the_whole_is_no_shorter_than_its_parts_and_no_longer_than_all_in_a_row(tasks: list[Task]) -> None:
    whole, stretches = elapsed(tasks)
    assert Fraction(0) <= whole.low <= whole.high == span_of(stretches)
    hands_on = sum(piece.duration.high for one in tasks for piece in one.pieces if not piece.hands_off)
    in_a_row = sum(piece.duration.high for one in tasks for piece in one.pieces)
    longest = max((sum(piece.duration.high for piece in one.pieces) for one in tasks), default=Fraction(0))
    assert max(hands_on, longest) <= whole.high <= in_a_row


@given(networks())
def test_nobody_stands_idle_while_work_is_ready(tasks: list[Task]) -> None:
    # A gap in the whole plan, when nothing at all is going on, is time lost for nothing.
    stretches = lay_out(tasks, lambda extent: extent.high)
    covered = Fraction(0)
    for start, end in sorted((one.start, one.end) for one in stretches):
        assert start <= covered
        covered = max(covered, end)


@pytest.mark.parametrize("stem", DEMO)
def test_a_demo_recipe_s_plan_can_be_kept(stem: str) -> None:
    batch = demo_batch(stem)
    busy = sorted((one.start, one.end) for one in batch.times.plan if not one.hands_off)
    assert all(stop <= start for (_, stop), (start, _) in itertools.pairwise(busy))
    steps = {step.number: step for step in batch.steps}
    first = {
        number: min((s.start for s in batch.times.plan if s.step == number), default=None) for number in steps
    }
    last = {
        number: max((s.end for s in batch.times.plan if s.step == number), default=None) for number in steps
    }
    for step in batch.steps:
        start = first[step.number]
        if start is None:
            continue
        for number in step.after:
            if (end := last[number]) is not None:
                assert end <= start
        if step.during is not None and (begun := first[step.during]) is not None:
            assert begun <= start
    assert batch.times.elapsed.high == max(one.end for one in batch.times.plan)
    assert batch.times.elapsed.low <= batch.times.elapsed.high
    assert batch.times.hands_on.high <= batch.times.elapsed.high
