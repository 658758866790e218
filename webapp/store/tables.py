"""Every table. Rows stay inside the store: they accept wrong types silently, domain values check themselves.

Values read and written whole (a piece's choices, a measured run, a job's terms, a frozen quote) are JSON
documents of their domain value; what is searched, summed or joined is a column.
"""

from datetime import date, datetime, time
from fractions import Fraction
from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

from domain.job import JobState, Matters
from domain.money import Money
from domain.task import Clock, End
from webapp.store.columns import ExactColumn, MoneyColumn

SQLModel.metadata.naming_convention = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ix": "ix_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}


def rules(*checks: Any, **named: str) -> tuple[Any, ...]:
    """Return table arguments: strict, ids never used again, named checks."""
    constraints = [CheckConstraint(sql, name=name) for name, sql in named.items()]
    return (*checks, *constraints, {"sqlite_strict": True, "sqlite_autoincrement": True})


def keyed(**named: str) -> tuple[Any, ...]:
    """Return table arguments of a table whose key is a word, not a number."""
    return (*(CheckConstraint(sql, name=name) for name, sql in named.items()), {"sqlite_strict": True})


def document() -> Any:
    return Field(sa_column=Column(Text, nullable=False))


def of(table: str, *, optional: bool = False) -> Any:
    """Return a foreign key column to a table's id."""
    return Field(
        default=None if optional else ...,
        sa_column=Column(ForeignKey(f"{table}.id"), nullable=optional, index=True),
    )


class Row(SQLModel):
    """What every changeable row has. in_history: whether its changes are kept and can be undone.

    can_be_hidden: whether undoing its insertion marks it as removed, since others may refer to it, or deletes it.
    """

    in_history: ClassVar[bool] = True
    can_be_hidden: ClassVar[bool] = True
    id: int | None = Field(default=None, primary_key=True)
    version: int = 1
    removed_at: datetime | None = None


ONE_OF_STATES = "state IN ({})".format(", ".join(f"'{state.value}'" for state in JobState))


class ClientRow(Row, table=True):
    __tablename__ = "client"
    __table_args__ = rules(name_given="length(name) > 0")
    name: str
    address: str = ""
    phone: str = ""
    email: str = ""


class JobRow(Row, table=True):
    __tablename__ = "job"
    __table_args__ = rules(
        name_given="length(name) > 0",
        state_known=ONE_OF_STATES,
        invented_yes_no="invented IN (0, 1)",
        matters_known="matters IN ('as usual', 'more', 'most')",
    )
    client_id: int = of("client")
    name: str
    site: str = ""
    promised_on: date | None = None
    state: str = JobState.ENQUIRY.value
    notes: str = ""
    invented: bool = False
    terms: str | None = Field(default=None, sa_column=Column(Text, nullable=True))  # None: the shop's own
    created_at: datetime
    matters: str = Matters.USUAL.value


class RunRow(Row, table=True):
    __tablename__ = "run"
    __table_args__ = rules(measured_json="json_valid(measured)")
    job_id: int = of("job")
    position: int = 0
    measured: str = document()


class PieceRow(Row, table=True):
    __tablename__ = "piece"
    __table_args__ = rules(
        name_given="length(name) > 0", quantity_some="quantity >= 1", choices_json="json_valid(choices)"
    )
    job_id: int = of("job")
    position: int = 0
    kind: str
    name: str
    quantity: int = 1
    belongs_to: int | None = of("piece", optional=True)
    notes: str = ""
    choices: str = document()


class OptionRow(Row, table=True):
    """A change offered beside the job as it stands: another wood, fewer coats."""

    __tablename__ = "option"
    __table_args__ = rules(change_json="json_valid(change)")
    job_id: int = of("job")
    position: int = 0
    change: str = document()


class CostRow(Row, table=True):
    """Subcontract, delivery, travel, an allowance: a cost that is neither material nor shop labour."""

    __tablename__ = "cost"
    __table_args__ = rules(line_json="json_valid(line)")
    job_id: int = of("job")
    position: int = 0
    line: str = document()


class PriceRow(Row, table=True):
    __tablename__ = "price"
    __table_args__ = rules(
        Index("ix_price_material", "material"),
        price_not_negative="price >= 0",
        lead_not_negative="lead_days >= 0",
        taxed_yes_no="taxed IN (0, 1)",
        whole_yes_no="whole IN (0, 1)",
    )
    material: str
    description: str = ""
    supplier: str = ""
    package: str
    package_quantity: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    whole: bool = True
    price: Money = Field(sa_column=Column(MoneyColumn, nullable=False))
    priced_on: date
    lead_days: int = 0
    taxed: bool = True


class StockRow(Row, table=True):
    """What lies in the shop, in the material's base unit. set_aside_for: the job that has it."""

    __tablename__ = "stock"
    __table_args__ = rules(Index("ix_stock_material", "material"))
    material: str
    quantity: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    set_aside_for: int | None = of("job", optional=True)
    note: str = ""


class RackPieceRow(Row, table=True):
    """A real board or sheet. cut_for: the job it was cut up for; offcut_of: the job it was left over from."""

    __tablename__ = "rack_piece"
    __table_args__ = rules(
        Index("ix_rack_piece_material", "material"),
        mark_given="length(mark) > 0",
        place_known="place IN ('in the shop', 'at the yard')",
        price_not_negative="price IS NULL OR price >= 0",
    )
    mark: str
    material: str
    width: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    length: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    place: str
    price: Money | None = Field(default=None, sa_column=Column(MoneyColumn, nullable=True))
    supplier: str = ""
    set_aside_for: int | None = of("job", optional=True)
    offcut_of: int | None = of("job", optional=True)
    cut_for: int | None = of("job", optional=True)
    note: str = ""


class CuttingRow(Row, table=True):
    """Boards or sheets of one material that were cut up for a job, as laid out then."""

    __tablename__ = "cutting"
    __table_args__ = rules(layout_json="json_valid(layout)")
    job_id: int = of("job")
    material: str
    layout: str = document()


class BoardUseRow(Row, table=True):
    """What a finished job really took of a wood: its parts' net quantity, and what was cut up for them [bf]."""

    __tablename__ = "board_use"
    __table_args__ = rules()
    job_id: int = of("job")
    material: str
    net: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    used: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    note: str = ""


class LayoutRow(SQLModel, table=True):
    """The best layout found so far for what a job asked of one material; can be made anew, so it has no history."""

    __tablename__ = "layout"
    __table_args__ = (
        UniqueConstraint("job_id", "fingerprint", name="uq_layout_job_fingerprint"),
        *rules(found_json="json_valid(found)"),
    )
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    job_id: int = of("job")
    fingerprint: str
    found: str = document()
    found_at: datetime


class OperationRow(SQLModel, table=True):
    """What the shop says an operation takes [min]; no row: nobody has said."""

    __tablename__ = "operation"
    __table_args__ = keyed(crew_some="crew >= 1")
    in_history: ClassVar[bool] = True
    id: str = Field(primary_key=True)
    version: int = 1
    setup: Fraction | None = Field(default=None, sa_column=Column(ExactColumn, nullable=True))
    each: Fraction | None = Field(default=None, sa_column=Column(ExactColumn, nullable=True))
    crew: int = 1


class PracticeRow(SQLModel, table=True):
    """A habit the shop has changed from its usual value."""

    __tablename__ = "practice"
    __table_args__ = keyed()
    in_history: ClassVar[bool] = True
    id: str = Field(primary_key=True)
    version: int = 1
    value: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))


class ShopRow(Row, table=True):
    """The shop itself; one row, found by its number and never by whether it was removed."""

    can_be_hidden: ClassVar[bool] = False
    __tablename__ = "shop"
    __table_args__ = rules(
        only_one="id = 1", profile_json="json_valid(profile)", terms_json="terms IS NULL OR json_valid(terms)"
    )
    profile: str = document()
    terms: str | None = Field(default=None, sa_column=Column(Text, nullable=True))


class HoursRow(Row, table=True):
    """One stretch of shop hours on a weekday, 0 is Monday."""

    __tablename__ = "hours"
    __table_args__ = rules(weekday_in_week="weekday BETWEEN 0 AND 6", ends_after_start="ends > starts")
    weekday: int
    starts: time
    ends: time


class ClosedDayRow(Row, table=True):
    __tablename__ = "closed_day"
    __table_args__ = rules()
    day: date
    why: str = ""


class ExtraHoursRow(Row, table=True):
    """Hours worked on one day beside those of the week."""

    __tablename__ = "extra_hours"
    __table_args__ = rules(ends_after_start="ends > starts")
    day: date
    starts: time
    ends: time
    why: str = ""


class PersonRow(Row, table=True):
    """Somebody who works in the shop. skills: `finishing,machines`, empty for all; weekly: own hours of the week."""

    __tablename__ = "person"
    __table_args__ = rules(
        name_given="length(name) > 0",
        helps_only_yes_no="helps_only IN (0, 1)",
        weekly_json="weekly IS NULL OR json_valid(weekly)",
    )
    position: int = 0
    name: str
    skills: str = ""
    helps_only: bool = False
    weekly: str | None = Field(default=None, sa_column=Column(Text, nullable=True))


class AbsenceRow(Row, table=True):
    __tablename__ = "absence"
    __table_args__ = rules(ends_after_start="ends_at > starts_at")
    person_id: int = of("person")
    starts_at: datetime
    ends_at: datetime
    why: str = ""


class KeptPlanRow(SQLModel, table=True):
    """A plan as it was found, the newest last; it can be made anew, so it has no history. facts: their fingerprint."""

    __tablename__ = "kept_plan"
    __table_args__ = rules(kept_json="json_valid(kept)")
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    facts: str
    kept: str = document()
    kept_at: datetime


class DeviceRow(SQLModel, table=True):
    """A phone or tablet that was let in over the shop's own network. token: SHA-256 of what its cookie holds."""

    __tablename__ = "device"
    __table_args__ = rules(UniqueConstraint("token", name="uq_device_token"), name_given="length(name) > 0")
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    name: str
    token: str
    paired_at: datetime
    seen_at: datetime
    forgotten_at: datetime | None = None


class TaskRow(Row, table=True):
    """What was recorded or changed of a task, found by its stable key; the plan itself is never stored."""

    __tablename__ = "task"
    __table_args__ = rules(
        UniqueConstraint("job_id", "key", name="uq_task_job_key"),
        minutes_not_negative="minutes IS NULL OR minutes >= 0",
        own_yes_no="own IN (0, 1)",
        dropped_yes_no="dropped IN (0, 1)",
        finished_after_start="finished_at IS NULL OR started_at IS NULL OR finished_at >= started_at",
        best_not_negative="best IS NULL OR best >= 0",
        worst_not_less="worst IS NULL OR best IS NULL OR worst >= best",
    )
    job_id: int = of("job")
    key: str
    own: bool = False
    dropped: bool = False
    name: str | None = None
    kind: str | None = None
    minutes: int | None = None
    crew: int | None = None
    position: int | None = None
    not_before: datetime | None = None
    started_at: datetime | None = None
    finished_at: datetime | None = None
    pinned_at: datetime | None = None
    who: str = ""  # ids of people, `3,7`
    best: int | None = None
    worst: int | None = None


class LinkRow(Row, table=True):
    """A link the maker added: `after` waits for `before`."""

    __tablename__ = "link"
    __table_args__ = rules(
        not_itself="before <> after",
        least_not_negative="at_least >= 0",
        most_not_less="at_most IS NULL OR at_most >= at_least",
        ends_known="leaves IN ('start', 'finish') AND reaches IN ('start', 'finish')",
        clock_known="clock IN ('day and night', 'shop hours')",
    )
    job_id: int = of("job")
    before: str
    after: str
    at_least: int = 0  # minutes of its clock
    at_most: int | None = None
    clock: str = Clock.ELAPSED.value
    leaves: str = End.FINISH.value
    reaches: str = End.START.value


class OrderRow(Row, table=True):
    __tablename__ = "purchase"
    __table_args__ = rules(UniqueConstraint("number", name="uq_purchase_number"), lead_not_negative="lead_days >= 0")
    job_id: int = of("job")
    number: str
    supplier: str
    lead_days: int = 0  # the longest of its lines when it was written
    ordered_at: datetime | None = None
    expected_on: date | None = None
    notes: str = ""


class OrderLineRow(Row, table=True):
    __tablename__ = "purchase_line"
    __table_args__ = rules(packages_some="packages > '0'", price_not_negative="price >= 0")
    order_id: int = of("purchase")
    position: int = 0
    material: str
    description: str = ""
    package: str
    package_quantity: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    packages: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    price: Money = Field(sa_column=Column(MoneyColumn, nullable=False))
    parts: str = ""


class ReceiptRow(Row, table=True):
    __tablename__ = "receipt"
    __table_args__ = rules()
    line_id: int = of("purchase_line")
    packages: Fraction = Field(sa_column=Column(ExactColumn, nullable=False))
    received_at: datetime
    note: str = ""


class QuoteRow(SQLModel, table=True):
    """A frozen quote: insert only, guarded by triggers."""

    __tablename__ = "quote"
    __table_args__ = rules(UniqueConstraint("number", name="uq_quote_number"), frozen_json="json_valid(frozen)")
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    job_id: int = of("job")
    number: str
    replaces: int | None = of("quote", optional=True)
    frozen_at: datetime
    valid_until: date
    total: Money = Field(sa_column=Column(MoneyColumn, nullable=False))
    frozen: str = document()


class AnswerRow(SQLModel, table=True):
    """What the client said to a quote: insert only, guarded by triggers; the last one counts."""

    __tablename__ = "answer"
    __table_args__ = rules(answer_known="answer IN ('accepted', 'declined', 'withdrawn')")
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    quote_id: int = of("quote")
    answer: str
    option: str = ""
    answered_at: datetime
    note: str = ""


class ActionRow(SQLModel, table=True):
    """One thing a person did, in words; its changes carry what was before and after."""

    __tablename__ = "action"
    __table_args__ = rules(undoable_yes_no="undoable IN (0, 1)")
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    at: datetime
    words: str
    job_id: int | None = of("job", optional=True)
    undoable: bool = True
    undoes: int | None = of("action", optional=True)


class ChangeRow(SQLModel, table=True):
    __tablename__ = "change"
    __table_args__ = rules(
        before_json="before IS NULL OR json_valid(before)", after_json="after IS NULL OR json_valid(after)"
    )
    in_history: ClassVar[bool] = False
    id: int | None = Field(default=None, primary_key=True)
    action_id: int = of("action")
    noun: str
    row_id: str
    before: str | None = Field(default=None, sa_column=Column(Text, nullable=True))
    after: str | None = Field(default=None, sa_column=Column(Text, nullable=True))


class FormKeyRow(SQLModel, table=True):
    """A submitted form, so that a second press leads where the first one led."""

    __tablename__ = "form_key"
    __table_args__ = keyed()
    in_history: ClassVar[bool] = False
    id: str = Field(primary_key=True)
    led_to: str
    at: datetime
