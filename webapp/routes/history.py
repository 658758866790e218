"""What was done, newest first, and undo."""

from fastapi import APIRouter, Request, Response

from webapp.desk import Posted, reading, see_other, writing
from webapp.links import own_path
from webapp.render import page
from webapp.store import history as store
from webapp.store.form_key import leads_to
from webapp.store.rows import Missing

router = APIRouter()


@router.get("/history")
def show_history(request: Request) -> Response:
    with reading(request) as db:
        actions = store.load_actions(db)
    return page(request, "history", actions=actions)


@router.post("/history/{action_id}/undo")
def undo(request: Request, action_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        action = store.load_action(db, action_id)
    if action is None:
        raise Missing(f"action {action_id}")
    with writing(request, f"Undone: {action.words}", job_id=action.job_id) as db:
        store.undo(db, action_id)
        back = leads_to(db, own_path(posted.get("back", ""), "/history"))
    return see_other(request, back)
