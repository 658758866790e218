"""The card of one glue-up for the bench: boards with their marks, stages, what to have at hand, care, and times."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from domain.adhesive import glue_for
from domain.caution import Caution, cautions_for
from domain.clamp import clamps_apart
from domain.cure import clamp_time, cold_factor, cure_before_machining, least_temperature
from domain.figure import Figure, Rule, Unit, count
from domain.glue_problem import glue_problems
from domain.glue_stage import GluePlan, GlueStage, joined
from domain.glue_up import Fastening, fastener_places, kept_clear
from domain.material import Material, MaterialKind
from domain.part import Built, Part, TaskKind
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.words import listing


@dataclass(frozen=True, slots=True)
class CardBoard:
    """A board where it lies. number: from 1 at the back; mark: to write on it, empty where a row is no one part."""

    number: int
    mark: str
    width: Figure


@dataclass(frozen=True, slots=True)
class CardStage:
    """One glue-up as the card tells it. joins: what lies side by side; after: what it waits for, empty for nothing;
    glue: for it [fl oz], None where its spread is not known; to_spare: open time left once it is closed [min];
    is_whole: it makes the whole panel; fits_planer: what it makes goes through the planer.
    """

    stage: GlueStage
    joins: tuple[str, ...]
    after: str
    glue: Figure | None
    to_spare: Figure
    is_late: bool
    is_whole: bool
    fits_planer: bool


@dataclass(frozen=True, slots=True)
class GlueCard:
    """How one panel is glued up at the bench.

    name: of the panel within its piece, empty where there is but one; below, above: clamps on either side; apart:
    between clamps [in], None without; fasteners: their places in each joint [in]; clear: from the left and the right
    end no fastener stands [in]; shop, least: temperatures [°F]; clamped, machined: when clamps come off and when a
    machine may touch it [h]; colder: how many times as long that takes.
    """

    placed: PlacedPiece
    name: str
    plan: GluePlan
    boards: tuple[CardBoard, ...]
    stages: tuple[CardStage, ...]
    below: Figure
    above: Figure
    apart: Figure | None
    fasteners: tuple[Figure, ...]
    clear: tuple[Figure, ...]
    shop: Figure
    least: Figure
    clamped: Figure
    machined: Figure
    colder: Figure
    at_hand: tuple[str, ...]
    cautions: tuple[Caution, ...]
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return f"{self.placed.name}, {self.name}" if self.name else self.placed.name

    @property
    def key(self) -> str:
        """Return what tells it from others of its job, as an id on a page."""
        return f"glue-{self.placed.id}" + (f"-{self.name.replace(' ', '-')}" if self.name else "")

    @property
    def has_all_marks(self) -> bool:
        return all(board.mark for board in self.boards)

    @property
    def is_even(self) -> bool:
        """Whether all boards are of one width."""
        return len({board.width.value for board in self.boards}) == 1


def glue_cards(placed: PlacedPiece, built: Built, practice: ShopPractice) -> tuple[GlueCard, ...]:
    """Return a card for every panel that a piece is glued up from. built: one of it."""
    parts = list(built.parts)
    pounds = built.weight.value if built.weight else None
    found = []
    for step in built.steps:
        if step.panel:
            name = step.key.partition("-")[0] if not step.key.startswith("glue-up") else ""
            found.append(_Making(placed, f"{name} leg" if name else "", step.panel, practice).card(parts, pounds))
    return tuple(found)


class _Making:
    """One card being made."""

    def __init__(self, placed: PlacedPiece, name: str, plan: GluePlan, practice: ShopPractice) -> None:
        self.placed, self.name, self.plan, self.practice = placed, name, plan, practice
        self.panel = plan.panel

    def card(self, parts: list[Part], pounds: Fraction | None) -> GlueCard:
        plan, panel, practice = self.plan, self.panel, self.practice
        clamps = plan.clamps
        below = count("Clamps below", (clamps.value + 1) // 2, "every other one, the first below", clamps)
        boards = tuple(self._boards(parts))
        glue = Material(MaterialKind.GLUE, panel.family)
        return GlueCard(
            placed=self.placed,
            name=self.name,
            plan=plan,
            boards=boards,
            stages=tuple(self._stage(stage, boards) for stage in plan.in_turn),
            below=below,
            above=count("Clamps above", clamps.value - below.value, "the others", clamps, below),
            apart=clamps_apart(panel.length, clamps, practice) if clamps.value >= 2 else None,
            fasteners=self._fasteners(),
            clear=kept_clear(panel.length, practice, extra_length=panel.extra, ends_cut=panel.ends_cut)
            if panel.fastener
            else (),
            shop=practice.figure("shop_temperature"),
            least=least_temperature(panel.family, practice),
            clamped=clamp_time(panel.family, practice),
            machined=cure_before_machining(panel.family, practice),
            colder=cold_factor(practice),
            at_hand=tuple(self._at_hand()),
            cautions=cautions_for([TaskKind.GLUE_UP], [glue], pounds),
            problems=glue_problems(plan, practice),
        )

    def _boards(self, parts: list[Part]) -> Iterator[CardBoard]:
        """Yield the boards with their marks; those of a group come from the first part of their size left over."""
        number = 0
        for many, width in self.panel.boards:
            part = self._part(parts, many, width)
            for place in range(1, many + 1):
                number += 1
                yield CardBoard(number, self._mark(part, place), width)

    def _part(self, parts: list[Part], many: int, width: Figure) -> Part | None:
        for part in parts:
            if (part.count, part.width, part.length) == (many, width.length, self.panel.along.length):
                parts.remove(part)
                return part
        return None

    def _mark(self, part: Part | None, place: int) -> str:
        if part is None:
            return ""
        return f"{self.placed.id}{part.mark}{place if part.count > 1 else ''}"

    def _stage(self, stage: GlueStage, boards: Sequence[CardBoard]) -> CardStage:
        plan, practice = self.plan, self.practice
        glue = glue_for(stage.area, self.panel.family, practice)
        spare = plan.open_time.value - stage.closed.value
        rule = Rule("open assembly time − closed after")
        return CardStage(
            stage=stage,
            joins=tuple(_joins(stage, boards)),
            after=_after(stage),
            glue=replace(glue, label="Glue for this glue-up") if isinstance(glue, Figure) else None,
            to_spare=Figure("To spare", spare, Unit.MINUTE, rule, (plan.open_time, stage.closed)),
            is_late=plan.is_late(stage),
            is_whole=stage is plan.in_turn[-1],
            fits_planer=stage.width.value <= practice.value("planer_width"),
        )

    def _fasteners(self) -> tuple[Figure, ...]:
        if not self.panel.fastener:
            return ()
        kind, panel = Fastening(self.panel.fastener), self.panel
        return fastener_places(kind, panel.length, self.practice, extra_length=panel.extra, ends_cut=panel.ends_cut)

    def _at_hand(self) -> Iterator[str]:
        """Yield what lies ready before the glue is opened. Source: common practice, no source."""
        glue = self.panel.family.casefold()
        if self.plan.clamps.value:
            yield "clamps, opened to width, and pads for their jaws"
            yield "cauls, straight, waxed or taped where glue comes out, with a small clamp for each of their ends"
            yield "wax paper or tape under every joint, and between glue and steel: iron stains wet wood"
        yield "roller or brush that spreads both edges of a joint in one go"
        if self.panel.fastener:
            yield f"{self.panel.fastener}s, tried dry"
        yield "straightedge, mallet with a block, pencil, a clock in sight"
        if "polyurethane" in glue:
            yield "gloves, and a damp rag to wet one edge of each joint"
        elif "epoxy" in glue:
            yield "gloves, scale, pots and sticks to mix as its label says"
        elif "hide" in glue:
            yield "hot pot, and warm boards"
        else:
            yield "damp rag and clean water"
        yield "scraper, for the squeeze-out once it is like rubber"


def _joins(stage: GlueStage, boards: Sequence[CardBoard]) -> Iterator[str]:
    for part in stage.group.parts:
        if part.stage:
            yield f"glue-up {part.stage} (boards {part.first} to {part.last})"
        else:
            yield boards[part.first - 1].mark or f"row {part.first}"


def _after(stage: GlueStage) -> str:
    """Return what must be out of the clamps before this glue-up, empty for nothing."""
    before = [str(number) for number in joined(stage.group)]
    if not before:
        return ""
    glue_ups = "glue-up" if len(before) == 1 else "glue-ups"
    return f"Once the clamps are off {glue_ups} {listing(before, most=len(before))}."
