from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest

from domain.person import Absence, Person, Skill
from store_builders import NOW
from webapp.store import person as store
from webapp.store.database import Database
from webapp.store.rows import ChangedMeanwhile, Missing

HOURS = (((time(8), time(12)), (time(13), time(17))), *((),) * 6)


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    database = Database(tmp_path / "shop.db", at=NOW)
    yield database
    database.close()


def test_people_come_back_as_they_were_named(database: Database) -> None:
    people = (
        Person(0, "Sample One"),
        Person(0, "Sample Two", frozenset({Skill.FINISHING, Skill.BENCH}), weekly=HOURS),
        Person(0, "Sample Three", helps_only=True),
    )
    with database.write("People named", at=NOW) as db:
        ids = [store.add_person(db, person) for person in people]
    with database.read() as db:
        found = store.load_people(db)
    assert [(one.id, one.name, one.skills, one.helps_only, one.weekly) for one in found] == [
        (person_id, one.name, one.skills, one.helps_only, one.weekly)
        for person_id, one in zip(ids, people, strict=True)
    ]


def test_a_person_changed_meanwhile_is_not_overwritten(database: Database) -> None:
    with database.write("Named", at=NOW) as db:
        person_id = store.add_person(db, Person(0, "Sample One"))
    with database.write("Renamed", at=NOW) as db:
        store.save_person(db, Person(person_id, "Sample Uno", version=1))
    with pytest.raises(ChangedMeanwhile), database.write("Renamed", at=NOW) as db:
        store.save_person(db, Person(person_id, "Other", version=1))


def test_absences_that_are_over_are_left_out_and_those_of_the_removed_go_with_them(database: Database) -> None:
    hour = timedelta(hours=1)
    with database.write("Named", at=NOW) as db:
        one, two = (store.add_person(db, Person(0, name)) for name in ("Sample One", "Sample Two"))
        store.add_absence(db, Absence(0, one, NOW - 2 * hour, NOW))
        store.add_absence(db, Absence(0, one, NOW - hour, NOW + hour, "ill"))
        store.add_absence(db, Absence(0, two, NOW + hour, NOW + 2 * hour, "school"))
    with database.read() as db:
        found = store.load_absences(db, NOW)
    assert [(each.person_id, each.starts_at, each.ends_at, each.why) for each in found] == [
        (one, NOW - hour, NOW + hour, "ill"),
        (two, NOW + hour, NOW + 2 * hour, "school"),
    ]
    with database.write("Left", at=NOW) as db:
        store.remove_person(db, one, at=NOW)
    with database.read() as db:
        assert [each.person_id for each in store.load_absences(db, NOW)] == [two]
        assert [each.name for each in store.load_people(db)] == ["Sample Two"]
    with pytest.raises(Missing), database.write("Away", at=NOW) as db:
        store.add_absence(db, Absence(0, one, NOW, NOW + hour))


def test_an_absence_keeps_its_instant_whatever_zone_it_was_said_in(database: Database) -> None:
    starts = datetime(2026, 6, 3, 4, tzinfo=UTC)
    with database.write("Named", at=NOW) as db:
        person_id = store.add_person(db, Person(0, "Sample One"))
        absence_id = store.add_absence(db, Absence(0, person_id, starts, starts + timedelta(days=1)))
    with database.read() as db:
        assert store.load_absence(db, absence_id).starts_at == starts
