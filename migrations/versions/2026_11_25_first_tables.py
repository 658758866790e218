"""first tables"""

import sqlalchemy as sa
from alembic import op

revision = "first_tables"
down_revision = None

FROZEN = ("quote", "answer")
"""Insert-only tables; a migration that rebuilds one makes its triggers again."""


def upgrade() -> None:
    op.create_table(
        "client",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("email", sa.Text(), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_client_name_given")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_client")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "closed_day",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("day", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_closed_day")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "form_key",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("led_to", sa.Text(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_form_key")),
        sqlite_strict=True,
    )
    op.create_table(
        "hours",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("weekday", sa.Integer(), nullable=False),
        sa.Column("starts", sa.Text(), nullable=False),
        sa.Column("ends", sa.Text(), nullable=False),
        sa.CheckConstraint("ends > starts", name=op.f("ck_hours_ends_after_start")),
        sa.CheckConstraint("weekday BETWEEN 0 AND 6", name=op.f("ck_hours_weekday_in_week")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hours")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "operation",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("setup", sa.Text(), nullable=True),
        sa.Column("each", sa.Text(), nullable=True),
        sa.Column("crew", sa.Integer(), nullable=False),
        sa.CheckConstraint("crew >= 1", name=op.f("ck_operation_crew_some")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_operation")),
        sqlite_strict=True,
    )
    op.create_table(
        "practice",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practice")),
        sqlite_strict=True,
    )
    op.create_table(
        "price",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("description", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("package", sa.Text(), nullable=False),
        sa.Column("package_quantity", sa.Text(), nullable=False),
        sa.Column("whole", sa.Integer(), nullable=False),
        sa.Column("price", sa.Integer(), nullable=False),
        sa.Column("priced_on", sa.Text(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=False),
        sa.Column("taxed", sa.Integer(), nullable=False),
        sa.CheckConstraint("lead_days >= 0", name=op.f("ck_price_lead_not_negative")),
        sa.CheckConstraint("price >= 0", name=op.f("ck_price_price_not_negative")),
        sa.CheckConstraint("taxed IN (0, 1)", name=op.f("ck_price_taxed_yes_no")),
        sa.CheckConstraint("whole IN (0, 1)", name=op.f("ck_price_whole_yes_no")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_price")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("price", schema=None) as batch_op:
        batch_op.create_index("ix_price_material", ["material"], unique=False)

    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("profile", sa.Text(), nullable=False),
        sa.Column("terms", sa.Text(), nullable=True),
        sa.CheckConstraint("id = 1", name=op.f("ck_shop_only_one")),
        sa.CheckConstraint("json_valid(profile)", name=op.f("ck_shop_profile_json")),
        sa.CheckConstraint("terms IS NULL OR json_valid(terms)", name=op.f("ck_shop_terms_json")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_table(
        "job",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("promised_on", sa.Text(), nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("invented", sa.Integer(), nullable=False),
        sa.Column("terms", sa.Text(), nullable=True),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "state IN ('enquiry', 'quoted', 'accepted', 'in progress', 'installed', 'closed')",
            name=op.f("ck_job_state_known"),
        ),
        sa.CheckConstraint("invented IN (0, 1)", name=op.f("ck_job_invented_yes_no")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_job_name_given")),
        sa.ForeignKeyConstraint(["client_id"], ["client.id"], name=op.f("fk_job_client_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_job_client_id"), ["client_id"], unique=False)

    op.create_table(
        "action",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("undoable", sa.Integer(), nullable=False),
        sa.Column("undoes", sa.Integer(), nullable=True),
        sa.CheckConstraint("undoable IN (0, 1)", name=op.f("ck_action_undoable_yes_no")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_action_job_id")),
        sa.ForeignKeyConstraint(["undoes"], ["action.id"], name=op.f("fk_action_undoes")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_action")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("action", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_action_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_action_undoes"), ["undoes"], unique=False)

    op.create_table(
        "cost",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(line)", name=op.f("ck_cost_line_json")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_cost_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cost")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("cost", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_cost_job_id"), ["job_id"], unique=False)

    op.create_table(
        "link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.Column("at_least", sa.Integer(), nullable=False),
        sa.Column("at_most", sa.Integer(), nullable=True),
        sa.CheckConstraint("at_least >= 0", name=op.f("ck_link_least_not_negative")),
        sa.CheckConstraint("at_most IS NULL OR at_most >= at_least", name=op.f("ck_link_most_not_less")),
        sa.CheckConstraint("before <> after", name=op.f("ck_link_not_itself")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_link_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("link", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_link_job_id"), ["job_id"], unique=False)

    op.create_table(
        "option",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("change", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(change)", name=op.f("ck_option_change_json")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_option_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_option")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("option", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_option_job_id"), ["job_id"], unique=False)

    op.create_table(
        "piece",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("belongs_to", sa.Integer(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("choices", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(choices)", name=op.f("ck_piece_choices_json")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_piece_name_given")),
        sa.CheckConstraint("quantity >= 1", name=op.f("ck_piece_quantity_some")),
        sa.ForeignKeyConstraint(["belongs_to"], ["piece.id"], name=op.f("fk_piece_belongs_to")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_piece_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_piece")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("piece", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_piece_belongs_to"), ["belongs_to"], unique=False)
        batch_op.create_index(batch_op.f("ix_piece_job_id"), ["job_id"], unique=False)

    op.create_table(
        "purchase",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=False),
        sa.Column("ordered_at", sa.Text(), nullable=True),
        sa.Column("expected_on", sa.Text(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.CheckConstraint("lead_days >= 0", name=op.f("ck_purchase_lead_not_negative")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_purchase_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_purchase")),
        sa.UniqueConstraint("number", name="uq_purchase_number"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("purchase", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_purchase_job_id"), ["job_id"], unique=False)

    op.create_table(
        "quote",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("replaces", sa.Integer(), nullable=True),
        sa.Column("frozen_at", sa.Text(), nullable=False),
        sa.Column("valid_until", sa.Text(), nullable=False),
        sa.Column("total", sa.Integer(), nullable=False),
        sa.Column("frozen", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(frozen)", name=op.f("ck_quote_frozen_json")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_quote_job_id")),
        sa.ForeignKeyConstraint(["replaces"], ["quote.id"], name=op.f("fk_quote_replaces")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quote")),
        sa.UniqueConstraint("number", name="uq_quote_number"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("quote", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_quote_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_quote_replaces"), ["replaces"], unique=False)

    op.create_table(
        "run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("measured", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(measured)", name=op.f("ck_run_measured_json")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_run_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_run_job_id"), ["job_id"], unique=False)

    op.create_table(
        "stock",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("quantity", sa.Text(), nullable=False),
        sa.Column("set_aside_for", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["set_aside_for"], ["job.id"], name=op.f("fk_stock_set_aside_for")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("stock", schema=None) as batch_op:
        batch_op.create_index("ix_stock_material", ["material"], unique=False)
        batch_op.create_index(batch_op.f("ix_stock_set_aside_for"), ["set_aside_for"], unique=False)

    op.create_table(
        "task",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("own", sa.Integer(), nullable=False),
        sa.Column("dropped", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=True),
        sa.Column("minutes", sa.Integer(), nullable=True),
        sa.Column("crew", sa.Integer(), nullable=True),
        sa.Column("position", sa.Integer(), nullable=True),
        sa.Column("not_before", sa.Text(), nullable=True),
        sa.Column("started_at", sa.Text(), nullable=True),
        sa.Column("finished_at", sa.Text(), nullable=True),
        sa.CheckConstraint("dropped IN (0, 1)", name=op.f("ck_task_dropped_yes_no")),
        sa.CheckConstraint(
            "finished_at IS NULL OR started_at IS NULL OR finished_at >= started_at",
            name=op.f("ck_task_finished_after_start"),
        ),
        sa.CheckConstraint("minutes IS NULL OR minutes >= 0", name=op.f("ck_task_minutes_not_negative")),
        sa.CheckConstraint("own IN (0, 1)", name=op.f("ck_task_own_yes_no")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_task_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_task")),
        sa.UniqueConstraint("job_id", "key", name="uq_task_job_key"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("task", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_task_job_id"), ["job_id"], unique=False)

    op.create_table(
        "answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("quote_id", sa.Integer(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("option", sa.Text(), nullable=False),
        sa.Column("answered_at", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint("answer IN ('accepted', 'declined', 'withdrawn')", name=op.f("ck_answer_answer_known")),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_answer_quote_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("answer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_answer_quote_id"), ["quote_id"], unique=False)

    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("noun", sa.Text(), nullable=False),
        sa.Column("row_id", sa.Text(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.CheckConstraint("after IS NULL OR json_valid(after)", name=op.f("ck_change_after_json")),
        sa.CheckConstraint("before IS NULL OR json_valid(before)", name=op.f("ck_change_before_json")),
        sa.ForeignKeyConstraint(["action_id"], ["action.id"], name=op.f("fk_change_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("change", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_change_action_id"), ["action_id"], unique=False)

    op.create_table(
        "purchase_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("description", sa.Text(), nullable=False),
        sa.Column("package", sa.Text(), nullable=False),
        sa.Column("package_quantity", sa.Text(), nullable=False),
        sa.Column("packages", sa.Text(), nullable=False),
        sa.Column("price", sa.Integer(), nullable=False),
        sa.Column("parts", sa.Text(), nullable=False),
        sa.CheckConstraint("packages > '0'", name=op.f("ck_purchase_line_packages_some")),
        sa.CheckConstraint("price >= 0", name=op.f("ck_purchase_line_price_not_negative")),
        sa.ForeignKeyConstraint(["order_id"], ["purchase.id"], name=op.f("fk_purchase_line_order_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_purchase_line")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("purchase_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_purchase_line_order_id"), ["order_id"], unique=False)

    op.create_table(
        "receipt",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("line_id", sa.Integer(), nullable=False),
        sa.Column("packages", sa.Text(), nullable=False),
        sa.Column("received_at", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["line_id"], ["purchase_line.id"], name=op.f("fk_receipt_line_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_receipt")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    with op.batch_alter_table("receipt", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_receipt_line_id"), ["line_id"], unique=False)

    for table in FROZEN:
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, 'a {table} is frozen: add another'); END"
            )
