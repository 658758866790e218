"""A job: for whom, where, by when, and how far along."""

from dataclasses import dataclass
from datetime import date
from enum import Enum

from domain.when import day


class JobState(Enum):
    """How far along a job is, in order; the value is what the database holds and what a person reads."""

    ENQUIRY = "enquiry"
    QUOTED = "quoted"
    ACCEPTED = "accepted"
    IN_PROGRESS = "in progress"
    INSTALLED = "installed"
    CLOSED = "closed"

    @property
    def is_open(self) -> bool:
        """Whether hands may still have work to do on it."""
        return self in (JobState.ACCEPTED, JobState.IN_PROGRESS, JobState.INSTALLED)

    @property
    def is_agreed(self) -> bool:
        """Whether the client has said yes."""
        return self not in (JobState.ENQUIRY, JobState.QUOTED)

    @property
    def is_built(self) -> bool:
        """Whether no more of it is made, so that what is left over is left over."""
        return self in (JobState.INSTALLED, JobState.CLOSED)


class Matters(Enum):
    """How much a late finish hurts beside other jobs; the value is what the database holds and a person reads."""

    USUAL = "as usual"
    MORE = "more"
    MOST = "most"

    @property
    def weight(self) -> int:
        """Return how many minutes of another job's lateness a minute of this one's counts for."""
        return {Matters.USUAL: 1, Matters.MORE: 3, Matters.MOST: 9}[self]


@dataclass(frozen=True, slots=True)
class Client:
    id: int
    name: str
    address: str = ""
    phone: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True)
class Job:
    """promised_on: the date given to the client, None while there is none; invented: demo data;
    matters: how much its lateness hurts, beside other jobs.
    """

    id: int
    name: str
    client: Client
    site: str = ""
    promised_on: date | None = None
    state: JobState = JobState.ENQUIRY
    notes: str = ""
    invented: bool = False
    version: int = 1
    matters: Matters = Matters.USUAL


def promise_over(job: Job, today: date) -> str:
    """Return what to know of a promise whose day is over before the job is built; empty when there is nothing."""
    if job.promised_on is None or job.promised_on >= today or job.state.is_built:
        return ""
    return (
        f"Promised {day(job.promised_on, today)}, which is over: every plan is late now. "
        "Agree on another day with the client; until then the job is planned as a late one."
    )
