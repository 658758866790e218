"""The usual cautions of one task, by its kind of work and what its piece or finish is made with; and of a whole job."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from domain.caution import Caution, cautions_for
from domain.job_steps import DELIVER, named_finishes
from domain.material import Material, MaterialKind
from domain.part import TaskKind
from domain.take_off import BuiltPiece, TakeOff
from domain.task import Task


def job_cautions(tasks: Iterable[Task], needs: TakeOff) -> tuple[Caution, ...]:
    """Return the usual cautions for all tasks of a job, with the weight of its heaviest piece."""
    materials = [line.material for line in needs.lines]
    return cautions_for([task.kind for task in tasks], materials, _pounds(needs.heaviest))


def task_cautions(task: Task, needs: TakeOff) -> tuple[Caution, ...]:
    """Return the usual cautions for one task. A load is weighed where it is carried: in delivering and installing."""
    if task.part == DELIVER:
        return cautions_for([task.kind], (), _pounds(needs.heaviest))
    lifted = _pounds(_piece(task, needs)) if task.kind is TaskKind.INSTALL else None
    return cautions_for([task.kind], _materials(task, needs), lifted)


def _materials(task: Task, needs: TakeOff) -> Iterator[Material]:
    """Yield what a task may handle: what its piece is made of, or the finish it puts on."""
    if task.piece_id is not None:
        for line in needs.lines:
            is_finish = line.material.kind is MaterialKind.FINISH
            if not is_finish and any(ref.piece_id == task.piece_id for ref in line.parts):
                yield line.material
        return
    area = named_finishes(needs).get(task.part.partition(".")[0])
    for family in (area.choice.family, area.choice.colour) if area else ():
        if family:
            yield Material(MaterialKind.FINISH, family)


def _piece(task: Task, needs: TakeOff) -> BuiltPiece | None:
    return next((built for built in needs.pieces if built.placed.id == task.piece_id), None)


def _pounds(built: BuiltPiece | None) -> Fraction | None:
    return built.weight.value if built and built.weight else None
