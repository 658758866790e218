"""Runs migrations on the connection the app hands over; from the command line, on --x path=FILE."""

from alembic import context
from sqlalchemy import create_engine

from webapp.store.tables import SQLModel

connection = context.config.attributes.get("connection")
if connection is None:
    connection = create_engine(f"sqlite:///{context.get_x_argument(as_dictionary=True)['path']}").connect()

context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    render_as_batch=True,
    compare_type=True,
    transaction_per_migration=False,
    transactional_ddl=False,
)
context.run_migrations()
