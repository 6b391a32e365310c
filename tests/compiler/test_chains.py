"""Chains of jobs that may not wait, and the quick way to lay them out."""

from benchproof.compiler.chains import chains, lay_out
from benchproof.compiler.planning import Lag, Problem, Use
from tests.compiler.days import holds


def follow(one: int, other: int, length: int) -> tuple[Lag, Lag]:
    """`other` after `one`, and no later."""
    return Lag(one, other, length), Lag(other, one, -length)


def test_what_may_not_wait_is_one_chain() -> None:
    lag, deadline = follow(0, 1, 3)
    found, kept = chains(Problem((3, 4, 5), (lag,), (deadline,)))
    assert sorted(tuple(one.jobs.items()) for one in found) == [((0, 0), (1, 3)), ((2, 0),)]
    assert kept == (deadline,)


def test_a_greatest_time_with_room_makes_no_chain() -> None:
    deadline = Lag(1, 0, -9)
    found, kept = chains(Problem((3, 4), (Lag(0, 1, 3),), (deadline,)))
    assert len(found) == 2
    assert kept == (deadline,)


def test_two_in_each_others_way_cannot_be_one_chain() -> None:
    # both are to begin when the first ends, and there is one cook
    pairs = [follow(0, 1, 3), follow(0, 2, 3)]
    uses = (Use("cook", 1, 1), Use("cook", 2, 2))
    problem = Problem((3, 4, 4), tuple(lag for lag, _ in pairs), tuple(one for _, one in pairs), uses)
    assert chains(problem)[1] == (pairs[0][1],), "the first counts for more"


def test_two_proofs_that_end_at_one_bake_are_one_chain_when_both_can_be_kept() -> None:
    pairs = [follow(0, 2, 3), follow(1, 2, 5)]
    problem = Problem((3, 5, 4), tuple(lag for lag, _ in pairs), tuple(one for _, one in pairs))
    found, kept = chains(problem)
    assert [one.jobs for one in found] == [{0: 2, 2: 5, 1: 0}]
    assert len(kept) == 2


def laid(problem: Problem) -> tuple[int, ...] | None:
    found, kept = chains(problem)
    starts = lay_out(problem, found, 0)
    assert starts is None or holds(problem, starts, kept)
    return starts


def test_a_chain_moves_as_one() -> None:
    lag, deadline = follow(0, 1, 3)
    uses = (Use("cook", 1, 1), Use("cook", 2, 2))
    starts = laid(Problem((3, 4, 5), (lag,), (deadline,), uses))
    assert starts is not None
    assert starts[1] == starts[0] + 3


def test_nobody_gets_between_taking_and_giving_back() -> None:
    uses = (Use("bowl", 0, 1), Use("bowl", 2, 2), Use("cook", 0, 0), Use("cook", 1, 1), Use("cook", 2, 2))
    assert laid(Problem((2, 2, 3), (Lag(0, 1, 6),), uses=uses)) is not None


def test_what_was_taken_too_early_is_taken_later() -> None:
    # going backwards, a bake is put in before it is known that the oven must have been heated for it by then:
    # the other dish is in the oven in between
    bake, heat, prove, rest, other, cool = range(6)
    tight, deadline = follow(bake, prove, 5)
    uses = (Use("oven", bake, heat, "200"), Use("oven", other, other, "150"))
    lags = (Lag(bake, heat, 5), Lag(heat, prove, -8), tight, Lag(rest, other, 5), Lag(other, cool, 9))
    assert laid(Problem((5, 4, 12, 5, 9, 20), lags, (deadline,), uses)) is not None


def test_two_cooks_keep_one_free_for_a_moment() -> None:
    lag, deadline = follow(0, 1, 5)
    uses = tuple(Use("cook", job, job) for job in (1, 2, 3))
    starts = laid(Problem((5, 0, 8, 8), (lag,), (deadline,), uses, {"cook": 2}))
    assert starts is not None


def test_it_waits_until_somebody_is_free() -> None:
    lag, deadline = follow(0, 1, 5)
    problem = Problem((5, 3), (lag,), (deadline,), (Use("cook", 1, 1),), free={1: ((0, 4), (9, 12))})
    assert laid(problem) == (4, 9)


def test_no_room_at_all_is_no_layout() -> None:
    assert laid(Problem((5,), uses=(Use("cook", 0, 0),), free={0: ((0, 4),)})) is None
