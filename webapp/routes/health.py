"""Whether the app is up, for whoever started it."""

from importlib.metadata import version

from fastapi import APIRouter, Request

from webapp.desk import store

router = APIRouter()


@router.get("/health")
def health(request: Request) -> dict[str, str]:
    return {"status": "ok", "version": version("benchday"), "schema": store(request).revision}
