"""What the page of boards and sheets shows: each material's layouts, what they take, and both ways side by side."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from hashlib import sha256
from typing import Any

from fastapi import Request, Response
from sqlmodel import Session

from domain.buying import MaterialPlan, Round, SizeUsed, Stand
from domain.buying.cost import cost_of
from domain.buying.shape import less_by_layout
from domain.buying.take_off import bought_lines
from domain.buying.words import bound_words
from domain.caution import GOVERNS, cautions_for
from domain.cutting import BoardToCut, boards_to_cut, bound_of_cut, rack_used, seen_as
from domain.figure import Figure, add_up
from domain.job import Job
from domain.layout.choose import has_solver
from domain.layout.shape import Layout
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.part import TaskKind
from domain.price import PriceBook
from domain.problem import Problem
from domain.rack import KEEP, RackPiece, RackPlace
from domain.search import Search, SearchState
from domain.shop import Shop
from domain.take_off import TakeOff, WasteChoice, WasteMethod
from domain.take_off.shape import CutLine
from webapp import desk
from webapp.desk import reading
from webapp.drawing.drawn import Drawn
from webapp.drawing.layout import layout_drawing
from webapp.links import anchor
from webapp.render import page
from webapp.search import Searcher
from webapp.store.buying import load_both_ways
from webapp.store.job import load_job
from webapp.store.rows import Missing
from webapp.store.terms import load_terms
from webapp.working import PAGES


@dataclass(frozen=True)
class MaterialView:
    """One material. seen: tells its layouts from any others; lines: parts; offcuts: worth keeping, with how many are
    alike, width and length; at_yard, to_set_aside: boards that the layouts take; costs: None without a price.
    """

    plan: MaterialPlan
    difference: Figure | None
    cost_by_factor: Figure | None
    cost: Figure | None
    seen: str
    lines: tuple[CutLine, ...]
    boards: tuple[BoardToCut, ...]
    offcuts: tuple[tuple[int, Length, Length], ...]
    at_yard: tuple[RackPiece, ...]
    to_set_aside: tuple[RackPiece, ...]

    @property
    def material(self) -> Material:
        return self.plan.material

    @property
    def anchor(self) -> str:
        return anchor(self.material.key)

    @property
    def keep_where(self) -> str:
        """Return where the shop says which offcuts are worth keeping."""
        return f"practice:{KEEP[self.material.kind][0]}"

    @property
    def is_cut(self) -> bool:
        """Whether all of it is cut already."""
        return bool(self.plan.rounds) and not self.boards and not self.plan.problems

    @property
    def bound(self) -> str:
        """Return how far the layouts can be from the best, or could have been; of several rounds each says its own."""
        if len(self.plan.rounds) > 1:
            return ""
        return self.plan.bound or bound_of_cut(self.plan.rounds, self.material)

    def bound_of(self, each: Round) -> str:
        """Return the same of one round of several."""
        if len(self.plan.rounds) == 1:
            return ""
        return bound_words((each,), self.material) or bound_of_cut((each,), self.material)

    def where_from(self, size: SizeUsed) -> str:
        """Return where boards of a size come from, in words."""
        piece, is_cut = size.piece, size.source.key not in {board.laid.source for board in self.boards}
        if piece is None:
            return "cut up" if is_cut else "to buy"
        if not piece.is_whole:
            return "cut up"
        if piece.place is RackPlace.YARD:
            return f"at the yard, {piece.supplier}" if piece.supplier else "at the yard"
        words = "on the rack, an offcut" if piece.offcut_of else "on the rack"
        return f"{words}, set aside" if piece.set_aside_for else words

    @property
    def can_improve(self) -> bool:
        return not self.plan.is_improved

    @property
    def cut_already(self) -> tuple[Round, ...]:
        return tuple(one for one in self.plan.rounds if one.stand is Stand.CUT)


@dataclass(frozen=True)
class LayoutPage:
    """waste: how the job reckons; factor: the other way; version: of its terms; own: yields of the shop's own jobs."""

    job: Job
    materials: tuple[MaterialView, ...]
    problems: tuple[Problem, ...]
    waste: WasteChoice
    factor: WasteChoice
    version: int
    own: tuple[Figure, ...]
    cost_by_factor: Figure | None
    cost: Figure | None
    difference: Figure | None

    @property
    def by_layout(self) -> bool:
        return self.waste.method is WasteMethod.LAYOUT

    @property
    def has_solver(self) -> bool:
        """Whether the extra that proves layouts is installed."""
        return has_solver()

    @property
    def can_improve(self) -> bool:
        return any(view.can_improve for view in self.materials)


def layout_page(db: Session, job_id: int, _: datetime) -> LayoutPage:
    """Return how a job's boards and sheets are cut and what they come to. Raises Missing."""
    job, terms, both = load_job(db, job_id), load_terms(db, job_id), load_both_ways(db, job_id)
    prices = both.on_hand.prices
    views = tuple(_view(one, both.by_factor, prices) for one in both.plan.materials)
    before = _all("By factor", [view.cost_by_factor for view in views])
    after = _all("By layout", [view.cost for view in views])
    woods = {(view.material.name, view.material.grade) for view in views}
    own = tuple(share for wood, share in both.on_hand.yields.items() if wood in woods)
    return LayoutPage(
        job, views, both.plan.problems, terms.waste, both.factor, terms.version, own, before, after,
        less_by_layout(before, after),
    )  # fmt: skip


PAGES["layout"] = layout_page


def _view(plan: MaterialPlan, by_factor: TakeOff, prices: PriceBook) -> MaterialView:
    title = plan.material.title
    factor_lines = [line for line in by_factor.lines if line.material == plan.material]
    boards = boards_to_cut(plan)
    return MaterialView(
        plan=plan,
        difference=plan.difference,
        cost_by_factor=cost_of(f"{title} by factor", factor_lines, prices),
        cost=cost_of(f"{title} by layout", bought_lines(plan), prices),
        seen=seen_as(plan),
        lines=tuple(line for line in by_factor.cut_list if line.part.material == plan.material),
        boards=boards,
        offcuts=_alike(boards),
        at_yard=rack_used(plan, RackPlace.YARD),
        to_set_aside=tuple(one for one in rack_used(plan, RackPlace.SHOP) if one.set_aside_for is None),
    )


def _alike(boards: Iterable[BoardToCut]) -> tuple[tuple[int, Length, Length], ...]:
    many: dict[tuple[Length, Length], int] = {}
    for offcut in (offcut for board in boards for offcut in board.offcuts):
        many[offcut.width, offcut.length] = many.get((offcut.width, offcut.length), 0) + 1
    return tuple((count, width, length) for (width, length), count in many.items())


def _all(label: str, costs: list[Figure | None]) -> Figure | None:
    """Return the sum of costs; None where there are none or one is not known."""
    known = [cost for cost in costs if cost is not None]
    return add_up(label, known, known[0].unit) if known and len(known) == len(costs) else None


def view_of(shown: LayoutPage, key: str) -> MaterialView:
    """Return the view of the material with this key. Raises Missing."""
    found = next((view for view in shown.materials if view.material.key == key), None)
    if found is None:
        raise Missing(f"material {key}")
    return found


def drawings_of(view: MaterialView, shop: Shop, *, cut: bool = False) -> Iterator[tuple[Round, tuple[Drawn, ...]]]:
    """Yield the layouts of a material as drawn, those that are to be cut, or those that were."""
    called = tuple((one.source.key, one.piece.mark if one.piece else one.title) for one in view.plan.sizes)
    first = 1
    for place, each in enumerate(view.plan.rounds):
        if (each.stand is Stand.CUT) is cut and each.layout.laid:
            seen = _Seen(sha256(repr(each.layout).encode()).hexdigest(), each.layout)
            yield each, _drawn(seen, called, shop, view.material.kind, f"{view.anchor}-{place}", first)
            first += len(each.layout.laid)


@dataclass(frozen=True)
class _Seen:
    """A layout that is told from others by a digest: it is looked up far sooner than drawn."""

    digest: str
    layout: Layout = field(compare=False)


@lru_cache(maxsize=128)
def _drawn(
    seen: _Seen, called: tuple[tuple[str, str], ...], shop: Shop, kind: MaterialKind, key: str, first: int
) -> tuple[Drawn, ...]:
    return layout_drawing(seen.layout, dict(called), shop, kind, key=key, first=first)


def searcher(request: Request) -> Searcher:
    found: Searcher = request.app.state.searcher
    return found


def shown_with(request: Request, job_id: int) -> Mapping[str, Any]:
    """Return what the templates of the page and its fragments are given. Raises Missing.

    Searches are asked before layouts are read, so that what a search that is through has found is among them.
    """
    searches: Mapping[str, Search] = searcher(request).of(job_id)
    with reading(request) as db:
        shown = layout_page(db, job_id, desk.now(request))
    told = [one for view in shown.materials if (one := searches.get(view.material.key)) and _still_holds(one, view)]
    return {
        "job": shown.job,
        "page": shown,
        "searches": told,
        "under_way": any(search.is_under_way for search in told),
        "drawings_of": drawings_of,
        "cautions": cautions_for([TaskKind.CUT], [view.material for view in shown.materials if view.boards]),
        "governs": GOVERNS,
    }


def _still_holds(search: Search, view: MaterialView) -> bool:
    """Whether what is told of a search is still so: one that is through says nothing of parts that changed since."""
    return search.state is not SearchState.DONE or not view.can_improve


def show(request: Request, job_id: int, *, problems: Iterable[Problem] = (), status: int = 200) -> Response:
    """Return the page, with what was wrong with a form on it."""
    return page(request, "layout", status=status, problems=list(problems), **shown_with(request, job_id))
