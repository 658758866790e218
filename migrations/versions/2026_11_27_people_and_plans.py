"""people and plans: who works when, links between any ends, kept plans, phones that were let in"""

import sqlalchemy as sa
from alembic import op

revision = "people_and_plans"
down_revision = "boards_and_layouts"

AS_BEFORE = {"sqlite_autoincrement": True, "sqlite_strict": True}
"""What a table is while it is rebuilt: reflection forgets it."""


def upgrade() -> None:
    _people()
    op.create_table(
        "kept_plan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("facts", sa.Text(), nullable=False),
        sa.Column("kept", sa.Text(), nullable=False),
        sa.Column("kept_at", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(kept)", name=op.f("ck_kept_plan_kept_json")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kept_plan")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "device",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("token", sa.Text(), nullable=False),
        sa.Column("paired_at", sa.Text(), nullable=False),
        sa.Column("seen_at", sa.Text(), nullable=False),
        sa.Column("forgotten_at", sa.Text(), nullable=True),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_device_name_given")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
        sa.UniqueConstraint("token", name="uq_device_token"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    _tasks()
    with op.batch_alter_table("job", recreate="always", table_kwargs=AS_BEFORE) as table:
        table.add_column(sa.Column("matters", sa.Text(), nullable=False, server_default="as usual"))
        table.create_check_constraint(op.f("ck_job_matters_known"), "matters IN ('as usual', 'more', 'most')")
    with op.batch_alter_table("job", recreate="always", table_kwargs=AS_BEFORE) as table:
        table.alter_column("matters", server_default=None)


def _people() -> None:
    op.create_table(
        "extra_hours",
        *_changeable(),
        sa.Column("day", sa.Text(), nullable=False),
        sa.Column("starts", sa.Text(), nullable=False),
        sa.Column("ends", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.CheckConstraint("ends > starts", name=op.f("ck_extra_hours_ends_after_start")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_extra_hours")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "person",
        *_changeable(),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("skills", sa.Text(), nullable=False),
        sa.Column("helps_only", sa.Integer(), nullable=False),
        sa.Column("weekly", sa.Text(), nullable=True),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_person_name_given")),
        sa.CheckConstraint("helps_only IN (0, 1)", name=op.f("ck_person_helps_only_yes_no")),
        sa.CheckConstraint("weekly IS NULL OR json_valid(weekly)", name=op.f("ck_person_weekly_json")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "absence",
        *_changeable(),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("starts_at", sa.Text(), nullable=False),
        sa.Column("ends_at", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.CheckConstraint("ends_at > starts_at", name=op.f("ck_absence_ends_after_start")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_absence_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_absence")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_absence_person_id"), "absence", ["person_id"], unique=False)


def _tasks() -> None:
    with op.batch_alter_table("task", recreate="always", table_kwargs=AS_BEFORE) as table:
        table.add_column(sa.Column("pinned_at", sa.Text(), nullable=True))
        table.add_column(sa.Column("who", sa.Text(), nullable=False, server_default=""))
        table.add_column(sa.Column("best", sa.Integer(), nullable=True))
        table.add_column(sa.Column("worst", sa.Integer(), nullable=True))
        table.create_check_constraint(op.f("ck_task_best_not_negative"), "best IS NULL OR best >= 0")
        table.create_check_constraint(op.f("ck_task_worst_not_less"), "worst IS NULL OR best IS NULL OR worst >= best")
    with op.batch_alter_table("task", recreate="always", table_kwargs=AS_BEFORE) as table:
        table.alter_column("who", server_default=None)
    with op.batch_alter_table("link", recreate="always", table_kwargs=AS_BEFORE) as table:
        for name, usual in (("clock", "day and night"), ("leaves", "finish"), ("reaches", "start")):
            table.add_column(sa.Column(name, sa.Text(), nullable=False, server_default=usual))
        known = "leaves IN ('start', 'finish') AND reaches IN ('start', 'finish')"
        table.create_check_constraint(op.f("ck_link_ends_known"), known)
        table.create_check_constraint(op.f("ck_link_clock_known"), "clock IN ('day and night', 'shop hours')")
    with op.batch_alter_table("link", recreate="always", table_kwargs=AS_BEFORE) as table:
        for name in ("clock", "leaves", "reaches"):
            table.alter_column(name, server_default=None)


def _changeable() -> tuple[sa.Column, ...]:
    return (
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
    )
