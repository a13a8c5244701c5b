"""The cuts against the rule that what ends first goes first, and back to where they were."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tendwork.planning.fit_cuts import Cuts

WORK = st.lists(st.tuples(st.integers(1, 127), st.booleans(), st.integers(0, 40)), max_size=8)
TIME = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=7, max_size=7)


@settings(deadline=None)
@given(
    jobs=st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(1, 20)), max_size=8),
    time=st.lists(st.integers(0, 20), min_size=7, max_size=7),
)
def test_work_with_windows_fits_if_and_only_if_the_earliest_end_first_rule_fits_it(
    jobs: list[tuple[int, int, int]], time: list[int]
) -> None:
    """The rule is Horn's (1974): one worker, work that may be broken off, each with a first and a last day."""
    spans = [(min(opens, closes), max(opens, closes), amount) for opens, closes, amount in jobs]
    cuts = Cuts(time, time)
    left = []
    for opens, closes, amount in spans:
        cuts.demand(sum(1 << day for day in range(opens, closes + 1)), False, amount)
        left.append([closes, opens, amount])
    for day, minutes in enumerate(time):
        for job in sorted(job for job in left if job[1] <= day <= job[0]):
            done = min(minutes, job[2])
            job[2] -= done
            minutes -= done
    assert cuts.fits == all(job[2] == 0 for job in left)


@settings(deadline=None)
@given(work=WORK, time=TIME)
def test_taking_back_what_was_asked_and_used_leaves_every_cut_as_it_was(
    work: list[tuple[int, bool, int]], time: list[tuple[int, int]]
) -> None:
    """`work` is days as bits, ladder or not, and time."""
    cuts = Cuts([whole for whole, _ in time], [min(held) for held in time])
    before = cuts.slack
    for days, ladder, amount in work:
        cuts.demand(days, ladder, amount)
        cuts.use(days.bit_length() - 1, ladder, amount)
    for days, ladder, amount in work:
        cuts.demand(days, ladder, -amount)
        cuts.use(days.bit_length() - 1, ladder, -amount)
    assert cuts.slack == before
