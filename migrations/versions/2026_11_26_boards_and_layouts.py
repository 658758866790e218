"""boards and layouts: the rack, what was cut from it, the best layouts found, what jobs really took"""

import sqlalchemy as sa
from alembic import op

revision = "boards_and_layouts"
down_revision = "first_tables"


def upgrade() -> None:
    op.create_table(
        "rack_piece",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("width", sa.Text(), nullable=False),
        sa.Column("length", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("price", sa.Integer(), nullable=True),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("set_aside_for", sa.Integer(), nullable=True),
        sa.Column("offcut_of", sa.Integer(), nullable=True),
        sa.Column("cut_for", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint("place IN ('in the shop', 'at the yard')", name=op.f("ck_rack_piece_place_known")),
        sa.CheckConstraint("length(mark) > 0", name=op.f("ck_rack_piece_mark_given")),
        sa.CheckConstraint("price IS NULL OR price >= 0", name=op.f("ck_rack_piece_price_not_negative")),
        sa.ForeignKeyConstraint(["cut_for"], ["job.id"], name=op.f("fk_rack_piece_cut_for")),
        sa.ForeignKeyConstraint(["offcut_of"], ["job.id"], name=op.f("fk_rack_piece_offcut_of")),
        sa.ForeignKeyConstraint(["set_aside_for"], ["job.id"], name=op.f("fk_rack_piece_set_aside_for")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rack_piece")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_rack_piece_cut_for"), "rack_piece", ["cut_for"], unique=False)
    op.create_index(op.f("ix_rack_piece_offcut_of"), "rack_piece", ["offcut_of"], unique=False)
    op.create_index(op.f("ix_rack_piece_set_aside_for"), "rack_piece", ["set_aside_for"], unique=False)
    op.create_index("ix_rack_piece_material", "rack_piece", ["material"], unique=False)
    op.create_table(
        "cutting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("layout", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(layout)", name=op.f("ck_cutting_layout_json")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_cutting_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cutting")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_cutting_job_id"), "cutting", ["job_id"], unique=False)
    op.create_table(
        "board_use",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("removed_at", sa.Text(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("net", sa.Text(), nullable=False),
        sa.Column("used", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_board_use_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_board_use")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_board_use_job_id"), "board_use", ["job_id"], unique=False)
    op.create_table(
        "layout",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("found", sa.Text(), nullable=False),
        sa.Column("found_at", sa.Text(), nullable=False),
        sa.CheckConstraint("json_valid(found)", name=op.f("ck_layout_found_json")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_layout_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_layout")),
        sa.UniqueConstraint("job_id", "fingerprint", name="uq_layout_job_fingerprint"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_layout_job_id"), "layout", ["job_id"], unique=False)
