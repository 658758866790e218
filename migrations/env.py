"""Runs migrations on the connection the app hands over; from the command line, on the file named by -x path=FILE."""

from pathlib import Path

from alembic import context
from sqlalchemy import Connection

from webapp.store.schema import changing
from webapp.store.tables import Row


def run(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=Row.metadata,
        render_as_batch=True,
        compare_type=True,
        transaction_per_migration=False,
        transactional_ddl=False,  # who hands the connection over begins and commits
    )
    context.run_migrations()


if handed_over := context.config.attributes.get("connection"):
    run(handed_over)
else:
    with changing(Path(context.get_x_argument(as_dictionary=True)["path"])) as opened:
        run(opened)
