"""Where there are too few layouts to choose from, each kind that is lacking is sought in turn."""

from app.arranging.best_layouts import Looks
from app.arranging.judging import NOT_OF_THE_KIND
from app.arranging.lacking_kinds import STEPS_A_KIND, LackingKinds
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from tests.arranging.test_search import SEED
from tests.arranging.test_sought_walls import garage


def test_each_kind_that_is_lacking_has_its_turn() -> None:
    search = Search(Problem(Task(garage())), SEED, 0)
    # three walls have room for the rack, and the garage of 5 x 4 m is parted into left and right
    kinds = LackingKinds(search.problem, search.proposals, 0)
    shown = [Looks("back", "left")]
    sought = [kinds.sought(shown) for _ in range(5 * STEPS_A_KIND)]
    each = sought[::STEPS_A_KIND]
    assert set(each) == {(wall, half) for wall in ("back", "left", "right") for half in HALVES} - {
        ("back", "left")
    }
    assert all(sought[i] == each[i // STEPS_A_KIND] for i in range(len(sought)))
    every = [Looks(wall, half) for wall in ("back", "left", "right") for half in HALVES]
    assert kinds.sought(every) is None


HALVES = ("left", "right")


def test_a_layout_of_another_kind_than_is_sought_is_worth_less_and_kept_as_it_is() -> None:
    search = Search(Problem(Task(garage())), SEED, 1)
    search.step()
    judging, state = search.judging, search.state
    assert state is not None
    plain = judging.judged(state.layout)
    kind = next(looks.place[:2] for looks, known in judging.kept.items() if known.value)
    for sought, less in ((kind, 0.0), (("no such wall", "left"), NOT_OF_THE_KIND)):
        judging.kind = sought
        assert round(plain.value - judging.judged(state.layout).value, 6) == less
    assert judging.kept[next(iter(judging.kept))].value == plain.value
