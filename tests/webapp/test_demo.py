"""The invented shop that the demo opens with: what its plan is told of people, clamps and days."""

from datetime import timedelta
from pathlib import Path

from conftest import NOW
from domain.part import TaskKind
from domain.person import Skill, unled
from webapp.demo.person import add_people
from webapp.demo.shop import SHOP, add_shop
from webapp.store.database import Database
from webapp.store.person import load_absences, load_people
from webapp.store.shop import load_calendar, load_closings


def test_its_clamps_by_length_are_all_its_clamps() -> None:
    assert sum(each.count for each in SHOP.clamps_of) == SHOP.clamps


def test_its_people_do_everything_together_though_one_does_no_finishing_and_one_only_helps(tmp_path: Path) -> None:
    database = Database(tmp_path / "demo.sqlite", at=NOW)
    with database.write("Set up", at=NOW) as db:
        add_shop(db, at=NOW)
        add_people(db, at=NOW)
    with database.read() as db:
        people, closings, calendar = load_people(db), load_closings(db), load_calendar(db)
        (school,) = load_absences(db, NOW)
    database.close()
    assert unled(people) == ()
    assert [person.can_lead(TaskKind.COAT) for person in people] == [False, True, False]
    assert Skill.FINISHING not in people[0].skills
    assert school.person_id == people[-1].id
    assert calendar is not None
    assert calendar.between(school.starts_at, school.ends_at) == timedelta(hours=4)
    today = SHOP.day_of(NOW)
    assert closings
    assert all(today < each.day < today + timedelta(days=365) and each.why for each in closings)
