"""Boards and sheets of a job: its layouts, the way it reckons, the search for better ones, the cut, paper and CSV."""

from dataclasses import replace

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.responses import RedirectResponse

from domain.cutting import cut_up
from domain.problem import Problem
from domain.rack import Cutting, RackPiece, RackPlace, so_many
from domain.take_off import WasteChoice, WasteMethod
from domain.terms import Terms
from domain.words import counted
from webapp import desk
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import layout as forms
from webapp.render import fragments, page
from webapp.routes.layout_page import MaterialView, layout_page, searcher, show, shown_with, view_of
from webapp.store import rack as rack_store
from webapp.store import shop as shop_store
from webapp.store import terms as terms_store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job

router = APIRouter()

OTHERS_NOW = Problem(
    "",
    "Nothing was stored: these layouts are others now, because a part, the rack or a price changed or a better layout "
    "was found. Here they are as they stand; look at them and press again.",
)


@router.get("/jobs/{job_id}/layout")
def show_layout(request: Request, job_id: int) -> Response:
    return show(request, job_id)


@router.post("/jobs/{job_id}/layout/reckon")
def reckon(request: Request, job_id: int, posted: Posted) -> Response:
    """Reckon boards and sheets by layouts, or by a factor again; all other terms stay."""
    method, problems = forms.read_way(posted)
    if problems:
        return show(request, job_id, problems=problems, status=422)
    with writing(request, _reckoned(method), job_id=job_id) as db:
        usual, terms = shop_store.load_terms(db), terms_store.load_terms(db, job_id)
        factor = usual.waste if usual.waste.method is not WasteMethod.LAYOUT else WasteChoice()
        wanted = replace(terms, waste=factor if method is None else WasteChoice(method))
        own = None if _same(wanted, usual) else wanted
        terms_store.save_terms(db, job_id, own, version=version_of(posted))
        leads_to(db, f"/jobs/{job_id}/layout")
    return see_other(request, f"/jobs/{job_id}/layout")


def _reckoned(method: WasteMethod | None) -> str:
    if method is WasteMethod.LAYOUT:
        return "Boards and sheets bought by their layouts"
    return f"Boards reckoned by the {'yield of our own jobs' if method else 'factor again'}"


def _same(wanted: Terms, usual: Terms) -> bool:
    """Whether terms say the same; where they are set does not count."""
    return shop_store.placed(wanted, where="", version=0) == shop_store.placed(usual, where="", version=0)


@router.post("/jobs/{job_id}/layout/search")
def search(request: Request, job_id: int) -> Response:
    """Look for better layouts of every material that may have one, beside the pages."""
    with reading(request) as db:
        shown = layout_page(db, job_id, desk.now(request))
    searcher(request).ask(job_id, [view.material for view in shown.materials if view.can_improve])
    return RedirectResponse(f"/jobs/{job_id}/layout#search", status_code=303)


@router.post("/jobs/{job_id}/layout/search/stop")
def stop_search(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        load_job(db, job_id)
    searcher(request).stop(job_id)
    return RedirectResponse(f"/jobs/{job_id}/layout#search", status_code=303)


@router.get("/jobs/{job_id}/layout/search")
def look_again(request: Request, job_id: int) -> Response:
    """Say how far the search is; once it is over, show the layouts as they are now."""
    if not desk.is_htmx(request):
        return RedirectResponse(f"/jobs/{job_id}/layout#search", status_code=303)
    values = shown_with(request, job_id)
    names = ("search",) if values["under_way"] else ("search", "materials")
    return fragments(request, "layout", *names, **values)


@router.post("/jobs/{job_id}/layout/here")
def bring_here(request: Request, job_id: int, posted: Posted) -> Response:
    """Move boards of the yard to the shop, set aside for this job."""
    with writing(request, "Boards came to the shop", job_id=job_id) as db:
        view = _seen(request, db, job_id, posted)
        if view is not None:
            for piece in view.at_yard:
                rack_store.save_rack_piece(db, replace(piece, place=RackPlace.SHOP, set_aside_for=job_id))
        leads_to(db, f"/jobs/{job_id}/layout")
    return _moved(request, job_id, view)


@router.post("/jobs/{job_id}/layout/aside")
def set_aside(request: Request, job_id: int, posted: Posted) -> Response:
    """Keep boards of the rack for this job."""
    with writing(request, "Boards set aside for this job", job_id=job_id) as db:
        view = _seen(request, db, job_id, posted)
        if view is not None:
            for piece in view.to_set_aside:
                rack_store.save_rack_piece(db, replace(piece, set_aside_for=job_id))
        leads_to(db, f"/jobs/{job_id}/layout")
    return _moved(request, job_id, view)


def _seen(request: Request, db: Session, job_id: int, posted: Posted) -> MaterialView | None:
    """Return the material that is posted; None when its layouts are not those the person saw. Raises Missing."""
    view = view_of(layout_page(db, job_id, desk.now(request)), posted.get("material", ""))
    return view if view.seen == posted.get("seen", "") else None


def _moved(request: Request, job_id: int, view: MaterialView | None) -> Response:
    if view is None:
        return show(request, job_id, problems=[OTHERS_NOW], status=409)
    return see_other(request, f"/jobs/{job_id}/layout#{view.anchor}")


@router.get("/jobs/{job_id}/layout/cut")
def ask_what_is_cut(request: Request, job_id: int, material: str = "") -> Response:
    with reading(request) as db:
        shown = layout_page(db, job_id, desk.now(request))
        view, unit = view_of(shown, material), shop_store.load_shop(db).unit
    typed = forms.fill(view.boards, unit)
    return page(request, "layout_cut", job=shown.job, view=view, typed=typed, problems=[])


@router.post("/jobs/{job_id}/layout/cut")
def cut(request: Request, job_id: int, posted: Posted) -> Response:
    """Say that boards are cut: they are done with, and their offcuts lie on the rack."""
    key = posted.get("material", "")
    with reading(request) as db:
        shown = layout_page(db, job_id, desk.now(request))
        view, unit = view_of(shown, key), shop_store.load_shop(db).unit
    said, problems = forms.read(posted, view.boards, unit)
    if view.seen != posted.get("seen", ""):
        typed = forms.fill(view.boards, unit)
        return page(request, "layout_cut", status=409, job=shown.job, view=view, typed=typed, problems=[OTHERS_NOW])
    if problems:
        typed = forms.typed_again(posted, view.boards, unit)
        return page(request, "layout_cut", status=422, job=shown.job, view=view, typed=typed, problems=problems)
    with writing(request, _cut_words(view, said), job_id=job_id) as db:
        now_seen = _seen(request, db, job_id, posted)
        if now_seen is not None:
            _store_cut(db, job_id, now_seen, said)
        leads_to(db, f"/jobs/{job_id}/layout")
    return _moved(request, job_id, now_seen)


def _store_cut(db: Session, job_id: int, view: MaterialView, said: forms.Cut) -> None:
    rack: tuple[RackPiece, ...] = rack_store.load_rack(db, cut_up=True)
    done = cut_up(view.plan, said.boards, said.offcuts, rack, job_id=job_id)
    for piece in done.used:
        rack_store.save_rack_piece(db, piece)
    for layout in done.layouts:
        rack_store.add_cutting(db, job_id, Cutting(0, view.material, layout))
    rack_store.add_rack_pieces(db, done.offcuts)


def _cut_words(view: MaterialView, said: forms.Cut) -> str:
    words = f"{so_many(len(said.boards), view.material.kind)} of {view.material.title} cut"
    kept = len(said.offcuts)
    return f"{words}, {counted(kept, 'offcut')} put on the rack" if kept else words
