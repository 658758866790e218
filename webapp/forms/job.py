"""What was typed about a job and its client -> a Job, or problems."""

from collections.abc import Mapping

from domain.job import Client, Job, JobState, Matters
from domain.problem import Problem
from webapp.forms.field import LONGEST_NOTE, Fields

LABELS = {
    "name": "Job",
    "client_name": "Client",
    "client_address": "Client's address",
    "client_phone": "Phone",
    "client_email": "E-mail",
    "site": "Where it goes",
    "promised_on": "Promised for",
    "matters": "A late finish hurts",
    "state": "State",
    "notes": "Notes",
}


def fill(job: Job) -> dict[str, str]:
    """Return the job as the form shows it."""
    return {
        "name": job.name,
        "client_name": job.client.name,
        "client_address": job.client.address,
        "client_phone": job.client.phone,
        "client_email": job.client.email,
        "site": job.site,
        "promised_on": job.promised_on.isoformat() if job.promised_on else "",
        "matters": job.matters.value,
        "state": job.state.value,
        "notes": job.notes,
    }


BLANK = dict.fromkeys(LABELS, "") | {"state": JobState.ENQUIRY.value, "matters": Matters.USUAL.value}


def read(posted: Mapping[str, str], *, job_id: int = 0, version: int = 0) -> tuple[Job | None, list[Problem]]:
    """Return the job as typed, or None and every problem."""
    fields = Fields(posted)
    client = Client(
        id=0,
        name=fields.text("client_name", LABELS["client_name"], needed=True),
        address=fields.text("client_address", LABELS["client_address"]),
        phone=fields.text("client_phone", LABELS["client_phone"]),
        email=fields.text("client_email", LABELS["client_email"]),
    )
    name = fields.text("name", LABELS["name"], needed=True)
    site = fields.text("site", LABELS["site"])
    notes = fields.text("notes", LABELS["notes"], most=LONGEST_NOTE)
    promised_on = fields.day("promised_on", LABELS["promised_on"])
    state = fields.choice("state", LABELS["state"], JobState, usual=JobState.ENQUIRY)
    matters = fields.choice("matters", LABELS["matters"], Matters, usual=Matters.USUAL)
    if fields.problems or state is None or matters is None:
        return None, fields.problems
    return Job(job_id, name, client, site, promised_on, state, notes, version=version, matters=matters), []
