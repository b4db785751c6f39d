"""The first tables."""

from collections.abc import Sequence

import sqlalchemy as sa
import sqlmodel
from alembic import op

import core.books.tables.columns

revision: str = "0001"
down_revision: str | None = None
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    # As Alembic wrote it.
    op.create_table(
        "farm",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("slug", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("phone", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("timezone", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("temperature_unit", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("weight_unit", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("languages", sa.JSON(), nullable=False),
        sa.Column("opens", sa.Time(), nullable=False),
        sa.Column("closes", sa.Time(), nullable=False),
        sa.Column("day_parts", sa.JSON(), nullable=False),
        sa.Column("tower_rows", sa.JSON(), nullable=False),
        sa.Column("sites_per_tower", sa.Integer(), nullable=False),
        sa.Column("shelves", sa.JSON(), nullable=False),
        sa.Column("tray_cells", sa.Integer(), nullable=False),
        sa.Column("digest_at", sa.Time(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_farm")),
        sa.UniqueConstraint("phone", name=op.f("uq_farm_phone")),
        sa.UniqueConstraint("slug", name=op.f("uq_farm_slug")),
    )
    op.create_table(
        "addition",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("item", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("amount_ml", sa.Float(), nullable=False),
        sa.Column("tank", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_addition_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_addition")),
    )
    op.create_table(
        "alias",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("phrase", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("family", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("slug", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_alias_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "phrase", name=op.f("pk_alias")),
    )
    op.create_table(
        "announcement",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("words", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("reached", sa.JSON(), nullable=False),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_announcement_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_announcement")),
    )
    op.create_table(
        "availability",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("free", sa.Boolean(), nullable=False),
        sa.Column("starts_at", core.books.tables.columns.Instant(timezone=True), nullable=True),
        sa.Column("ends_at", core.books.tables.columns.Instant(timezone=True), nullable=True),
        sa.Column("day", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("start", sa.Time(), nullable=True),
        sa.Column("end", sa.Time(), nullable=True),
        sa.Column("until", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_availability_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_availability")),
    )
    with op.batch_alter_table("availability", schema=None) as batch_op:
        batch_op.create_index("ix_availability_person", ["farm_id", "person_id"], unique=False)

    op.create_table(
        "batch",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("code", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("sown_on", sa.Date(), nullable=False),
        sa.Column("plugs", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_batch_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "code", name=op.f("pk_batch")),
    )
    op.create_table(
        "calibration",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("measure", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("tank", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_calibration_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_calibration")),
    )
    op.create_table(
        "cleaning",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("what", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("count", sa.Float(), nullable=True),
        sa.Column("places", sa.JSON(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_cleaning_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_cleaning")),
    )
    op.create_table(
        "closedday",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_closedday_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "day", name=op.f("pk_closedday")),
    )
    op.create_table(
        "consent",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("agreed", sa.Boolean(), nullable=False),
        sa.Column("wording", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("source", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_consent_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_consent")),
    )
    op.create_table(
        "counter",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_counter_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "name", name=op.f("pk_counter")),
    )
    op.create_table(
        "crop",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("slug", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("names", sa.JSON(), nullable=False),
        sa.Column("plurals", sa.JSON(), nullable=False),
        sa.Column("cover_days", sa.Integer(), nullable=False),
        sa.Column("shelf_days", sa.Integer(), nullable=False),
        sa.Column("tower_days", sa.Integer(), nullable=False),
        sa.Column("regrow_days", sa.Integer(), nullable=True),
        sa.Column("cuts", sa.Integer(), nullable=False),
        sa.Column("germination", sa.Float(), nullable=False),
        sa.Column("seeds_per_plug", sa.Integer(), nullable=False),
        sa.Column("mass_g", sa.Float(), nullable=False),
        sa.Column("ranges", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_crop_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "slug", name=op.f("pk_crop")),
    )
    op.create_table(
        "cut",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("lot", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("count", sa.Float(), nullable=True),
        sa.Column("weight_g", sa.Float(), nullable=True),
        sa.Column("culled", sa.Float(), nullable=True),
        sa.Column("plants", sa.Integer(), nullable=False),
        sa.Column("places", sa.JSON(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_cut_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_cut")),
    )
    with op.batch_alter_table("cut", schema=None) as batch_op:
        batch_op.create_index("ix_cut_on", ["farm_id", "on", "crop"], unique=False)

    op.create_table(
        "delivery",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("recipient", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("count", sa.Float(), nullable=True),
        sa.Column("weight_g", sa.Float(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_delivery_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_delivery")),
    )
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.create_index("ix_delivery_on", ["farm_id", "on"], unique=False)

    op.create_table(
        "duework",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("job", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("about", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("done_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_duework_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "job", "person_id", "day", "about", name=op.f("pk_duework")),
    )
    op.create_table(
        "entry",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("act", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("note", sa.JSON(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("said_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("written_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("source", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("reverses", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_entry_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "n", name=op.f("pk_entry")),
    )
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.create_index("ix_entry_person", ["farm_id", "person_id", "n"], unique=False)
        batch_op.create_index("ix_entry_reverses", ["farm_id", "reverses"], unique=True)
        batch_op.create_index("ix_entry_source", ["farm_id", "source"], unique=False)

    op.create_table(
        "germinationcount",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("batch", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("up", sa.Integer(), nullable=False),
        sa.Column("of", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_germinationcount_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_germinationcount")),
    )
    op.create_table(
        "inbound",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("id", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("carrier", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("phone", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("body", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("media", sa.JSON(), nullable=False),
        sa.Column("sent_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("received_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("done_at", core.books.tables.columns.Instant(timezone=True), nullable=True),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("reading", sa.JSON(), nullable=True),
        sa.Column("trouble", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_inbound_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "id", name=op.f("pk_inbound")),
    )
    with op.batch_alter_table("inbound", schema=None) as batch_op:
        batch_op.create_index("ix_inbound_phone", ["farm_id", "phone", "sent_at"], unique=False)
        batch_op.create_index("ix_inbound_undone", ["farm_id", "done_at", "phone"], unique=False)

    op.create_table(
        "listedtask",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("n", sa.Integer(), nullable=False),
        sa.Column("task", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_listedtask_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "person_id", "n", name=op.f("pk_listedtask")),
    )
    op.create_table(
        "measured",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("measure", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("place", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_measured_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_measured")),
    )
    with op.batch_alter_table("measured", schema=None) as batch_op:
        batch_op.create_index("ix_measured_latest", ["farm_id", "measure", "place", "at"], unique=False)

    op.create_table(
        "openquestion",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("about", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("draft", sa.JSON(), nullable=True),
        sa.Column("rest", sa.JSON(), nullable=False),
        sa.Column("missing", sa.JSON(), nullable=False),
        sa.Column("shift", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("source", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("said_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("asked_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("passed", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_openquestion_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "person_id", name=op.f("pk_openquestion")),
    )
    op.create_table(
        "outbound",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("carrier", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("phone", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("body", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("reply_to", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("state", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("carrier_id", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("next_try_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("expires_at", core.books.tables.columns.Instant(timezone=True), nullable=True),
        sa.Column("created_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("sent_at", core.books.tables.columns.Instant(timezone=True), nullable=True),
        sa.Column("error", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_outbound_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "id", name=op.f("pk_outbound")),
    )
    with op.batch_alter_table("outbound", schema=None) as batch_op:
        batch_op.create_index("ix_outbound_carrier_id", ["carrier_id"], unique=False)
        batch_op.create_index("ix_outbound_due", ["state", "next_try_at"], unique=False)
        batch_op.create_index("ix_outbound_key", ["farm_id", "key"], unique=True)
        batch_op.create_index("ix_outbound_phone", ["farm_id", "phone", "created_at"], unique=False)
        batch_op.create_index("ix_outbound_reply_to", ["farm_id", "reply_to"], unique=False)

    op.create_table(
        "person",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("handle", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("phone", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("role", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("language", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("age", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("guardian_id", sa.Integer(), nullable=True),
        sa.Column("state", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("muted", sa.Boolean(), nullable=False),
        sa.Column("agreed", sa.Boolean(), nullable=False),
        sa.Column("early_at", sa.Time(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_person_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "id", name=op.f("pk_person")),
    )
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.create_index("ix_person_phone", ["farm_id", "phone"], unique=True)

    op.create_table(
        "place",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("code", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("sites", sa.Integer(), nullable=False),
        sa.Column("state", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_place_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "code", name=op.f("pk_place")),
    )
    op.create_table(
        "plantloss",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("batch", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("reason", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("places", sa.JSON(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_plantloss_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_plantloss")),
    )
    with op.batch_alter_table("plantloss", schema=None) as batch_op:
        batch_op.create_index("ix_plant_loss_on", ["farm_id", "on"], unique=False)

    op.create_table(
        "posting",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("account", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("row", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("verb", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_posting_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_posting")),
    )
    with op.batch_alter_table("posting", schema=None) as batch_op:
        batch_op.create_index("ix_posting_row", ["farm_id", "account", "row"], unique=False)

    op.create_table(
        "recipient",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("slug", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("names", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_recipient_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "slug", name=op.f("pk_recipient")),
    )
    op.create_table(
        "shift",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("id", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("starts_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("ends_at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("needed", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_shift_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "id", name=op.f("pk_shift")),
    )
    with op.batch_alter_table("shift", schema=None) as batch_op:
        batch_op.create_index("ix_shift_starts", ["farm_id", "starts_at"], unique=False)

    op.create_table(
        "shiftpattern",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("day", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("start", sa.Time(), nullable=False),
        sa.Column("end", sa.Time(), nullable=False),
        sa.Column("needed", sa.Integer(), nullable=False),
        sa.Column("usual", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_shiftpattern_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "id", name=op.f("pk_shiftpattern")),
    )
    op.create_table(
        "stock",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("item", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("amount", sa.Float(), nullable=True),
        sa.Column("said", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_stock_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "item", "crop", name=op.f("pk_stock")),
    )
    op.create_table(
        "supply",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("slug", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("names", sa.JSON(), nullable=False),
        sa.Column("unit", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("low_at", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_supply_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "slug", name=op.f("pk_supply")),
    )
    op.create_table(
        "tank",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("slug", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("names", sa.JSON(), nullable=False),
        sa.Column("volume_l", sa.Float(), nullable=False),
        sa.Column("feeds", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_tank_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "slug", name=op.f("pk_tank")),
    )
    op.create_table(
        "target",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("count", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_target_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "crop", name=op.f("pk_target")),
    )
    op.create_table(
        "task",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("what", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("places", sa.JSON(), nullable=False),
        sa.Column("trays", sa.Float(), nullable=True),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("state", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("done_units", sa.Float(), nullable=True),
        sa.Column("taken_by", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_task_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "id", name=op.f("pk_task")),
    )
    with op.batch_alter_table("task", schema=None) as batch_op:
        batch_op.create_index("ix_task_day", ["farm_id", "day", "state"], unique=False)

    op.create_table(
        "troublereport",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("places", sa.JSON(), nullable=False),
        sa.Column("crop", sqlmodel.sql.sqltypes.AutoString(), nullable=True),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("open", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_troublereport_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_troublereport")),
    )
    op.create_table(
        "visit",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("at", core.books.tables.columns.Instant(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_visit_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_visit")),
    )
    with op.batch_alter_table("visit", schema=None) as batch_op:
        batch_op.create_index("ix_visit_person", ["farm_id", "person_id", "at"], unique=False)

    op.create_table(
        "workedhours",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("minutes", sa.Float(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("source", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_workedhours_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "entry", "part", name=op.f("pk_workedhours")),
    )
    with op.batch_alter_table("workedhours", schema=None) as batch_op:
        batch_op.create_index("ix_worked_person", ["farm_id", "person_id", "on"], unique=False)

    op.create_table(
        "shiftplace",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("shift", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("answer", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("minutes", sa.Float(), nullable=True),
        sa.ForeignKeyConstraint(
            ["farm_id", "shift"], ["shift.farm_id", "shift.id"], name=op.f("fk_shiftplace_farm_id_shift")
        ),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_shiftplace_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "shift", "person_id", name=op.f("pk_shiftplace")),
    )
    with op.batch_alter_table("shiftplace", schema=None) as batch_op:
        batch_op.create_index("ix_shift_place_person", ["farm_id", "person_id"], unique=False)

    op.create_table(
        "standing",
        sa.Column("farm_id", sa.Integer(), nullable=False),
        sa.Column("batch", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("place", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("plants", sa.Integer(), nullable=False),
        sa.Column("since", sa.Date(), nullable=True),
        sa.Column("cuts", sa.Integer(), nullable=False),
        sa.Column("last_cut", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(
            ["farm_id", "batch"], ["batch.farm_id", "batch.code"], name=op.f("fk_standing_farm_id_batch")
        ),
        sa.ForeignKeyConstraint(
            ["farm_id", "place"], ["place.farm_id", "place.code"], name=op.f("fk_standing_farm_id_place")
        ),
        sa.ForeignKeyConstraint(["farm_id"], ["farm.id"], name=op.f("fk_standing_farm_id_farm")),
        sa.PrimaryKeyConstraint("farm_id", "batch", "place", name=op.f("pk_standing")),
    )
    with op.batch_alter_table("standing", schema=None) as batch_op:
        batch_op.create_index("ix_standing_place", ["farm_id", "place"], unique=False)


def downgrade() -> None:
    # As Alembic wrote it.
    with op.batch_alter_table("standing", schema=None) as batch_op:
        batch_op.drop_index("ix_standing_place")

    op.drop_table("standing")
    with op.batch_alter_table("shiftplace", schema=None) as batch_op:
        batch_op.drop_index("ix_shift_place_person")

    op.drop_table("shiftplace")
    with op.batch_alter_table("workedhours", schema=None) as batch_op:
        batch_op.drop_index("ix_worked_person")

    op.drop_table("workedhours")
    with op.batch_alter_table("visit", schema=None) as batch_op:
        batch_op.drop_index("ix_visit_person")

    op.drop_table("visit")
    op.drop_table("troublereport")
    with op.batch_alter_table("task", schema=None) as batch_op:
        batch_op.drop_index("ix_task_day")

    op.drop_table("task")
    op.drop_table("target")
    op.drop_table("tank")
    op.drop_table("supply")
    op.drop_table("stock")
    op.drop_table("shiftpattern")
    with op.batch_alter_table("shift", schema=None) as batch_op:
        batch_op.drop_index("ix_shift_starts")

    op.drop_table("shift")
    op.drop_table("recipient")
    with op.batch_alter_table("posting", schema=None) as batch_op:
        batch_op.drop_index("ix_posting_row")

    op.drop_table("posting")
    with op.batch_alter_table("plantloss", schema=None) as batch_op:
        batch_op.drop_index("ix_plant_loss_on")

    op.drop_table("plantloss")
    op.drop_table("place")
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.drop_index("ix_person_phone")

    op.drop_table("person")
    with op.batch_alter_table("outbound", schema=None) as batch_op:
        batch_op.drop_index("ix_outbound_reply_to")
        batch_op.drop_index("ix_outbound_phone")
        batch_op.drop_index("ix_outbound_key")
        batch_op.drop_index("ix_outbound_due")
        batch_op.drop_index("ix_outbound_carrier_id")

    op.drop_table("outbound")
    op.drop_table("openquestion")
    with op.batch_alter_table("measured", schema=None) as batch_op:
        batch_op.drop_index("ix_measured_latest")

    op.drop_table("measured")
    op.drop_table("listedtask")
    with op.batch_alter_table("inbound", schema=None) as batch_op:
        batch_op.drop_index("ix_inbound_undone")
        batch_op.drop_index("ix_inbound_phone")

    op.drop_table("inbound")
    op.drop_table("germinationcount")
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.drop_index("ix_entry_source")
        batch_op.drop_index("ix_entry_reverses")
        batch_op.drop_index("ix_entry_person")

    op.drop_table("entry")
    op.drop_table("duework")
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.drop_index("ix_delivery_on")

    op.drop_table("delivery")
    with op.batch_alter_table("cut", schema=None) as batch_op:
        batch_op.drop_index("ix_cut_on")

    op.drop_table("cut")
    op.drop_table("crop")
    op.drop_table("counter")
    op.drop_table("consent")
    op.drop_table("closedday")
    op.drop_table("cleaning")
    op.drop_table("calibration")
    op.drop_table("batch")
    with op.batch_alter_table("availability", schema=None) as batch_op:
        batch_op.drop_index("ix_availability_person")

    op.drop_table("availability")
    op.drop_table("announcement")
    op.drop_table("alias")
    op.drop_table("addition")
    op.drop_table("farm")
