"""Which variety into which place: the best there is, held against trying everything, and sums by hand."""

from __future__ import annotations

from random import Random

import msgspec
import pytest
from random_choosing import assignments, best_by_trying_all, large_choosing, random_choosing

from tendwork.planning.graft_assignment import best_assignment
from tendwork.planning.graft_question import Choice, Choosing, NoRoom, Worth, worth_of


def check(seed: int) -> None:
    task = random_choosing(seed)
    found = best_assignment(task)
    assert found.pairs in set(assignments(task)), seed
    assert found.worth == worth_of(task, found.pairs), seed
    assert found.worth == best_by_trying_all(task), seed


@pytest.mark.parametrize("hundred", range(2))
def test_nothing_better_is_found_by_trying_everything(hundred: int) -> None:
    for seed in range(hundred * 100, hundred * 100 + 100):
        check(seed)


@pytest.mark.slow
def test_nothing_better_is_found_by_trying_everything_in_2000_cases() -> None:
    for seed in range(2000):
        check(seed)


def question(*choices: Choice, most: int = 9, covered: frozenset[int] = frozenset(), **more: object) -> Choosing:
    """Two places on one tree that takes two, and a season of six weeks."""
    task = Choosing(6, covered, choices, (0, 0), (2,), most)
    return msgspec.structs.replace(task, **more)


def test_weeks_without_fruit_go_before_everything_else() -> None:
    # Weeks 0 to 5. The long one covers four of them though it suits no place well; the copy covers none that is bare.
    long, copy = Choice((1, 4), (2, 2), wood=3), Choice((5, 5), (0, 0), copies=1)
    found = best_assignment(question(long, copy, most=1, covered=frozenset({5})))
    assert found.pairs == ((0, 0),)
    assert found.worth == Worth(bare=1, longest=1, lacking=0, misfit=2, copies=0, placed=-1, wood=3)


def test_of_as_many_bare_weeks_the_shorter_runs_are_better() -> None:
    # One may be chosen: the edge leaves weeks 1 to 5, five on end; the middle leaves 0 and 1, and 3 to 5.
    found = best_assignment(question(Choice((0, 0), (0, 0)), Choice((2, 2), (0, 0)), most=1))
    assert found.pairs == ((1, 0),)
    assert (found.worth.bare, found.worth.longest) == (5, 3)


def test_a_variety_without_a_partner_is_left_out_unless_its_partner_comes_too() -> None:
    full = frozenset(range(6))
    needy, partner = Choice(None, (0, 0), needs=True, partners=frozenset({1})), Choice(None, (0, 0))
    assert best_assignment(question(needy, partner, covered=full)).pairs == ((0, 0), (1, 1))
    assert best_assignment(question(needy, covered=full)).pairs == ()
    assert best_assignment(question(needy, partner, covered=full, most=1)).pairs == ((1, 0),)


def test_what_is_here_without_a_partner_draws_one() -> None:
    full = frozenset(range(6))
    dear, cheap = Choice(None, (1, 1), wood=3), Choice(None, (0, 0))
    task = question(cheap, dear, most=1, covered=full, waiting=(frozenset({1}),))
    assert best_assignment(task).pairs == ((1, 0),)


def test_a_misfit_is_worse_than_a_copy_left_out() -> None:
    found = best_assignment(question(Choice(None, (1, 1), copies=1), covered=frozenset(range(6))))
    assert found.pairs == ()


def test_each_goes_where_it_fits() -> None:
    strong, weak = Choice(None, (1, 0)), Choice(None, (0, 1))
    assert best_assignment(question(strong, weak)).pairs == ((0, 1), (1, 0))


def test_no_tree_takes_more_than_its_room() -> None:
    choices = tuple(Choice(None, (0, 0, 0)) for _ in range(3))
    found = best_assignment(Choosing(6, frozenset(), choices, (0, 0, 1), (1, 1), 9))
    assert sorted(place for _, place in found.pairs) == [0, 2]


@pytest.mark.parametrize("pins", [((0, 0), (1, 0)), ((0, 0), (0, 1)), ((0, 0), (1, 1), (2, 1))])
def test_pins_that_do_not_go_together_are_refused(pins: tuple[tuple[int, int], ...]) -> None:
    choices = tuple(Choice(None, (0, 0)) for _ in range(3))
    with pytest.raises(NoRoom):
        best_assignment(question(*choices, pins=pins))


def test_a_pin_is_kept_even_where_it_suits_ill() -> None:
    for seed in range(200):
        task = random_choosing(seed)
        found = best_assignment(task)
        assert set(task.pins) <= set(found.pairs), seed


def test_a_place_that_is_forbidden_is_not_used() -> None:
    for seed in range(100):
        task = random_choosing(seed)
        for choice, place in best_assignment(msgspec.structs.replace(task, pins=())).pairs:
            held = task.choices[choice]
            misfits = (*held.misfits[:place], None, *held.misfits[place + 1 :])
            other = msgspec.structs.replace(held, misfits=misfits)
            choices = (*task.choices[:choice], other, *task.choices[choice + 1 :])
            found = best_assignment(msgspec.structs.replace(task, choices=choices, pins=()))
            assert (choice, place) not in found.pairs, seed


def test_more_wood_never_makes_it_worse() -> None:
    chance = Random(7)
    for seed in range(150):
        task = msgspec.structs.replace(random_choosing(seed), pins=())
        before = best_assignment(task).worth
        more = random_choosing(seed + 5000).choices[0]
        misfits = tuple(chance.choice((None, 0, 1)) for _ in task.trees)
        more = msgspec.structs.replace(more, misfits=misfits, partners=frozenset())
        assert best_assignment(msgspec.structs.replace(task, choices=(*task.choices, more))).worth <= before, seed
        nearer = tuple(msgspec.structs.replace(one, wood=0) for one in task.choices)
        assert best_assignment(msgspec.structs.replace(task, choices=nearer)).worth <= before, seed


def test_more_places_or_more_time_never_make_it_worse() -> None:
    for seed in range(100):
        task = msgspec.structs.replace(random_choosing(seed), pins=())
        before = best_assignment(task).worth
        assert best_assignment(msgspec.structs.replace(task, most=task.most + 1)).worth <= before, seed
        roomy = msgspec.structs.replace(task, room=tuple(room + 1 for room in task.room))
        assert best_assignment(roomy).worth <= before, seed


def test_the_same_question_has_the_same_answer() -> None:
    task = large_choosing(3)
    assert best_assignment(task) == best_assignment(task)


def test_a_large_orchard_is_within_what_its_trees_take() -> None:
    task = large_choosing(5, most=20, room=4)
    found = best_assignment(task)
    assert found.worth == worth_of(task, found.pairs)
    assert len(found.pairs) == 20
    by_tree = [task.trees[place] for _, place in found.pairs]
    assert max(by_tree.count(tree) for tree in by_tree) <= 4
    assert all(task.choices[choice].misfits[place] is not None for choice, place in found.pairs)
