"""The exact search: bounds, orders, and what it proves."""

import pytest

from benchproof.compiler.order_search import Search
from benchproof.compiler.planning import Lag, Problem, Use
from tests.compiler.days import holds


def cook(*jobs: int) -> tuple[Use, ...]:
    return tuple(Use("cook", job, job) for job in jobs)


def search(problem: Problem) -> Search:
    return Search(problem, problem.deadlines)


def test_nobody_in_the_way_is_a_plan_at_once() -> None:
    problem = Problem((3, 4), (Lag(0, 1, 3),), uses=cook(0, 1))
    plan = search(problem).unhindered
    assert plan is not None
    assert (plan.starts, plan.length, plan.proven) == ((0, 3), 7, True)


def test_somebody_in_the_way_is_no_plan_at_once() -> None:
    assert search(Problem((3, 4), uses=cook(0, 1))).unhindered is None


def test_one_cook_does_one_after_another() -> None:
    plan = search(Problem((3, 4), uses=cook(0, 1))).run(100, None)
    assert plan is not None
    assert (plan.length, plan.proven) == (7, True)


def test_the_floor_counts_the_work_of_one_pair_of_hands() -> None:
    assert search(Problem((3, 4, 5), uses=cook(0, 1, 2))).floor == 12


def test_the_floor_counts_what_comes_before_and_after_the_work() -> None:
    # each has two minutes to wait for before, and one has nine after it
    problem = Problem((2, 3, 4, 9), (Lag(0, 1, 2), Lag(0, 2, 2), Lag(1, 3, 3)), uses=cook(1, 2))
    assert search(problem).floor == 14


def test_the_floor_counts_an_oven_that_two_dishes_want_at_two_temperatures() -> None:
    uses = (Use("oven", 0, 1, "200"), Use("oven", 2, 2, "150"))
    assert search(Problem((1, 9, 5), (Lag(0, 1, 1),), uses=uses)).floor == 15


def test_the_floor_lets_dishes_of_one_temperature_share_the_oven() -> None:
    uses = (Use("oven", 0, 0, "200"), Use("oven", 1, 1, "200"))
    assert search(Problem((9, 5), uses=uses)).floor == 9


def test_what_contradicts_itself_has_no_floor_and_no_plan() -> None:
    found = search(Problem((1, 1), (Lag(0, 1, 5), Lag(1, 0, -4))))
    assert found.floor is None
    assert found.run(10, None) is None


def test_a_job_that_fits_no_free_time_has_no_plan() -> None:
    assert search(Problem((5,), uses=cook(0), free={0: ((0, 4), (6, 10))})).run(10, None) is None


def test_a_job_waits_for_the_free_time_it_fits_in() -> None:
    plan = search(Problem((5,), uses=cook(0), free={0: ((0, 4), (6, 12))})).run(10, None)
    assert plan is not None
    assert plan.starts == (6,)


@pytest.mark.parametrize("room", [1, 2])
def test_a_moment_needs_somebody_who_is_in_the_midst_of_nothing(room: int) -> None:
    # out of the oven after five, then four to cool: of two long works one must leave a cook free for it
    lags = (Lag(0, 1, 5), Lag(1, 4, 0))
    problem = Problem((5, 0, 8, 8, 4), lags, (Lag(1, 0, -5),), cook(1, 2, 3), {"cook": room})
    plan = search(problem).run(500, None)
    assert plan is not None
    assert plan.proven
    assert holds(problem, plan.starts, problem.deadlines)
    assert plan.length == {1: 16, 2: 12}[room]


def test_a_few_cases_give_a_plan_that_is_not_proven() -> None:
    lags = (Lag(0, 3, 4), Lag(1, 4, 3), Lag(2, 5, 5))
    problem = Problem(
        (4, 3, 5, 9, 2, 6), lags, uses=(*cook(0, 1, 2), Use("oven", 3, 3, "A"), Use("oven", 5, 5, "B"))
    )
    few = search(problem).run(3, [100 + 20 * job for job in range(6)])
    assert few is not None
    assert few.bound <= few.length
    whole = search(problem).run(5000, None)
    assert whole is not None
    assert whole.proven
    assert few.bound <= whole.length <= few.length


def test_it_says_who_waits_for_whom() -> None:
    plan = search(Problem((3, 4), uses=cook(0, 1))).run(100, [0, 3])
    assert plan is not None
    assert plan.orders == (Lag(0, 1, 3),)


def test_a_plan_that_is_none_is_not_allowed() -> None:
    problem = Problem((3, 4), (Lag(0, 1, 1),), uses=cook(0, 1), free={0: ((0, 3),)})
    found = search(problem)
    assert found.allows((0, 3))
    assert not found.allows((0, 2)), "the cook is busy"
    assert not found.allows((4, 9)), "the cook is not free"
    assert not found.allows((0, 0)), "out of order"


def test_the_search_leaves_no_trace() -> None:
    found = search(Problem((3, 4, 5), uses=cook(0, 1, 2)))
    before = [list(lags) for lags in found.next]
    assert found.run(2, None) is None or found.next == before
    assert found.next == before
