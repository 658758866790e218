"""The solver at work: always the same way, aside, and stopped as soon as somebody asks for it."""

from collections.abc import Callable, Iterator
from queue import Empty, SimpleQueue
from threading import Thread
from typing import Any

from domain.schedule.prove_model import Model

SEED = 1
ASKED_EVERY = 0.02
"""Seconds between two questions whether to stop."""

Placed = tuple[int, int, tuple[int, ...]]
"""Start, finish and team of an activity."""


def settle(solver: Any, effort: float, seed: int, *, counted: bool) -> None:
    """Let the solver search the same way each time it is asked the same. seed: 0 for the long search;
    counted: hands are kept to on the time that they work, where the work of several shows that they are too few.
    """
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED + seed
    solver.parameters.max_deterministic_time = effort
    # Probing takes longer than what it saves: windows are narrow already. So does all presolving in a short search,
    # and where work is counted in open slots.
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.cp_model_presolve = not seed and not counted
    solver.parameters.use_timetable_edge_finding_in_cumulative = counted
    if seed or counted:
        solver.parameters.linearization_level = 0


def solutions(
    cp_model: Any, solver: Any, model: Model, stop: Callable[[], bool], ended: list[Any]
) -> Iterator[list[Placed]]:
    """Yield each solution, and put into ended how it ended.

    The solver works aside, so that it can be told to stop within an eye's blink.
    """
    queue: SimpleQueue[list[Placed] | None] = SimpleQueue()

    class Listener(cp_model.CpSolverSolutionCallback):  # type: ignore[misc]
        def on_solution_callback(self) -> None:
            queue.put(_values(model, self.value))

    def work() -> None:
        try:
            ended.append(solver.solve(model.model, Listener()))
        finally:
            queue.put(None)

    aside = Thread(target=work, daemon=True)
    aside.start()
    try:
        while True:
            try:
                values = queue.get(timeout=ASKED_EVERY)
            except Empty:
                if stop():
                    solver.stop_search()
                continue
            if values is None:
                return
            yield values
            if stop():
                solver.stop_search()
    finally:
        while aside.is_alive():
            solver.stop_search()
            aside.join(ASKED_EVERY)


def _values(model: Model, value: Callable[[Any], int]) -> list[Placed]:
    """Return start, finish and team of each activity of the part."""
    return [model.placed(number, value) for number in range(len(model.who))]
