from importlib.metadata import version

from fastapi.testclient import TestClient

from webapp.store import schema


def test_health_says_status_version_and_schema(client: TestClient) -> None:
    reply = client.get("/health")
    assert reply.status_code == 200
    assert reply.json() == {"status": "ok", "version": version("benchday"), "schema": schema.newest_revision()}
