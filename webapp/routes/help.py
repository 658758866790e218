"""Help: how to go about it, the usual cautions, where the data lies, and what Benchday does not know."""

from fastapi import APIRouter, Request, Response

from domain.caution import CAUTIONS, GOVERNS
from webapp.desk import store
from webapp.render import page
from webapp.store import backup

router = APIRouter()


@router.get("/help")
def show_help(request: Request) -> Response:
    file = store(request).path.resolve()
    return page(request, "help", cautions=CAUTIONS, governs=GOVERNS, file=file, backups=backup.folder(file))
