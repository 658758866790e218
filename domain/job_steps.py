"""The steps of a job that belong to no one piece: coats, delivery to the house, cleaning up, handing over."""

from collections.abc import Iterator, Mapping
from datetime import timedelta

from domain.figure import count
from domain.finish import dry_to_handle, full_cure, recoat_closes, recoat_opens
from domain.part import FinishChoice, Stage, Step, TaskKind, Wait, Work
from domain.practice import ShopPractice, slug
from domain.take_off import FinishArea, TakeOff
from domain.task import duration_of
from domain.words import first_lower, ordinal

INSTALL_DAY, DELIVER, CLEAN_UP, HAND_OVER = "job.install_day", "job.deliver", "job.clean_up", "job.hand_over"
NEEDS_SANDING = "it needs sanding"


def job_steps(take_off: TakeOff, practice: ShopPractice) -> tuple[Step, ...]:
    """Return the job's own steps in order, for the estimate and the plan alike; none for a job without pieces.

    Their keys are whole (`finish-hardwax_oil.coat-1`, `job.deliver`); their waits name each other by these keys.
    """
    if not take_off.pieces:
        return ()
    coats = {name: finish_steps(area, name, practice) for name, area in named_finishes(take_off).items()}
    return (
        *(step for steps in coats.values() for step in steps if step.stage is Stage.SHOP_FINISH),
        Step(INSTALL_DAY, "Day to install, agreed with the client", TaskKind.MILESTONE, Stage.INSTALL),
        _step(DELIVER, "Deliver and carry in", "deliver", "Trips", Stage.INSTALL, INSTALL_DAY, crew=2),
        *(step for steps in coats.values() for step in steps if step.stage is Stage.SITE_FINISH),
        _step(CLEAN_UP, "Clean up at the client's", "clean-up", "Visits", Stage.SITE_FINISH, DELIVER),
        _step(HAND_OVER, "Walk through and hand over", "hand-over", "Jobs", Stage.SITE_FINISH, CLEAN_UP),
    )


def named_finishes(take_off: TakeOff) -> Mapping[str, FinishArea]:
    """Return the finishes by a name that stays the same when sizes or the number of coats change.

    Two finishes of a job that differ in nothing but their coats are told apart by these.
    """
    named: dict[str, FinishArea] = {}
    for area in sorted(take_off.finishes, key=lambda each: each.choice.coats):
        name = _name(area.choice)
        named[f"{name}-{area.choice.coats}_coats" if name in named else name] = area
    return named


def _name(choice: FinishChoice) -> str:
    parts = [f"finish-{slug(choice.family)}"]
    if choice.colour:
        parts.append(slug(choice.colour))
    if choice.on_site:
        parts.append("site")
    return "-".join(parts)


def finish_steps(area: FinishArea, name: str, practice: ShopPractice) -> tuple[Step, ...]:
    """Return the steps of one finish: colour first, each coat within its recoat window, then the full cure.

    name: of the finish, from named_finishes(). Scuffing between coats is a step only where the shop always
    does it; else job_tasks() adds it once the window of a coat has closed.
    """
    choice = area.choice
    stage = Stage.SITE_FINISH if choice.on_site else Stage.SHOP_FINISH
    always = bool(practice.value("scuff_between_coats"))
    steps = list(_colour(area, name, stage))
    for number in range(1, choice.coats + 1):
        waits = _coat_waits(choice, name, number, practice)
        if number > 1 and always and waits[0].at_most is not None:
            steps.append(scuff_step(area, name, number, practice))
            waits = (Wait(steps[-1].key),)
        title = f"{ordinal(number)} coat of {_spoken(choice.family)}"
        work = (Work("coat", area.area),)
        steps.append(Step(f"{name}.coat-{number}", title, TaskKind.COAT, stage, work, after=waits))
    return (*steps, *_cure(area, name, stage, steps[-1].key, practice))


def scuff_step(area: FinishArea, name: str, number: int, practice: ShopPractice) -> Step:
    """Return the scuffing before a coat, once the one before it is dry. number: of the coat that follows."""
    stage = Stage.SITE_FINISH if area.choice.on_site else Stage.SHOP_FINISH
    dry = duration_of(recoat_opens(area.choice.family, practice))
    waits = (Wait(f"{name}.coat-{number - 1}", dry, why="the coat is dry enough to sand"),)
    title = f"Scuff before the {ordinal(number).lower()} coat of {_spoken(area.choice.family)}"
    return Step(f"{name}.scuff-{number}", title, TaskKind.SAND, stage, (Work("scuff", area.area),), after=waits)


def handled_after(area: FinishArea, practice: ShopPractice) -> timedelta:
    """Return how long after the last coat a piece can be carried."""
    return duration_of(dry_to_handle(area.choice.family, practice))


def _colour(area: FinishArea, name: str, stage: Stage) -> Iterator[Step]:
    if area.choice.colour:
        title = f"Colour with {_spoken(area.choice.colour)}"
        yield Step(f"{name}.colour", title, TaskKind.COAT, stage, (Work("stain", area.area),))


def _coat_waits(choice: FinishChoice, name: str, number: int, practice: ShopPractice) -> tuple[Wait, ...]:
    """Return the recoat window of a coat after the one before it; the first coat waits for the colour only."""
    if number == 1 and not choice.colour:
        return ()
    if number == 1:
        dry = duration_of(recoat_opens(choice.colour, practice, under=choice.family))
        return (Wait(f"{name}.colour", dry, why="the colour dries under the finish"),)
    opens, closes = recoat_opens(choice.family, practice), recoat_closes(choice.family, practice)
    at_least = duration_of(opens)
    at_most = max(duration_of(closes), at_least) if closes else None
    missed = NEEDS_SANDING if closes else ""
    return (Wait(f"{name}.coat-{number - 1}", at_least, at_most, "the coat before it dries", missed),)


def _cure(area: FinishArea, name: str, stage: Stage, last: str, practice: ShopPractice) -> Iterator[Step]:
    cured = full_cure(area.choice.family, practice)
    if cured:
        title = f"Full cure of {_spoken(area.choice.family)}"
        yield Step(f"{name}.cure", title, TaskKind.CURE, stage, elapsed=cured, after=(Wait(last),), trails=True)


def _step(key: str, name: str, operation: str, label: str, stage: Stage, after: str, *, crew: int = 1) -> Step:
    work = (Work(operation, count(label, 1, "one for the job")),)
    return Step(key, name, TaskKind.OTHER, stage, work, after=(Wait(after),), crew=crew)


def _spoken(family: str) -> str:
    """Return a family as it reads within a sentence: `hardwax oil`."""
    return first_lower(family.split(",")[0].split("(")[0].strip())
