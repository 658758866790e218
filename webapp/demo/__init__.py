"""An invented shop in the middle of its work, so that every page has something to show."""

from datetime import datetime

from webapp.demo.jobs import add_enquiry, add_finished_job, add_job_in_hand
from webapp.demo.live_jobs import add_bench, add_counter
from webapp.demo.person import add_people
from webapp.demo.rack import add_rack
from webapp.demo.shop import add_shop
from webapp.store.database import Database
from webapp.store.shop import load_shop


def fill_when_empty(database: Database, *, at: datetime) -> None:
    """Fill a new file with the demo shop as it would stand at an instant; leave any other file alone."""
    with database.read() as db:
        if load_shop(db).is_set_up:
            return
    with database.write("The invented demo shop was set up", at=at) as db:
        add_shop(db, at=at)
        add_people(db, at=at)
        add_finished_job(db, at=at)
        add_job_in_hand(db, at=at)
        add_enquiry(db, at=at)
        add_counter(db, at=at)
        add_bench(db, at=at)
        add_rack(db)
