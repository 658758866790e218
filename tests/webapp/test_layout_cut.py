"""Boards that are cut: stored, undone, offcuts on the rack; boards that come from the yard or are set aside."""

from dataclasses import replace
from typing import Any

import pytest
from fastapi.testclient import TestClient

from builders import a_piece
from conftest import page_of
from demo_forms import fields_of
from domain.length import Length
from domain.rack import RackPlace
from layout_shop import (
    OAK,
    PANELS,
    RAILS,
    a_board,
    a_shop_with_boards,
    add_job,
    at_of,
    database_of,
    material_plan,
    press,
    put_on_rack,
    rack_of,
    undo_last,
)
from webapp.store.piece import load_pieces, save_piece
from webapp.store.rack import load_cuttings

CUT = f"/jobs/1/layout/cut?material={OAK.key}"


@pytest.fixture
def racked(client: TestClient) -> TestClient:
    return a_shop_with_boards(client)


def cut(client: TestClient, **changed: str) -> Any:
    return press(client, CUT, "/jobs/1/layout/cut", **changed)


def test_cutting_marks_the_boards_stores_the_layout_and_puts_offcuts_on_the_rack(racked: TestClient) -> None:
    before = material_plan(racked)
    offcuts = page_of(racked.get(CUT)).css("input[name^='keep-']")
    reply = cut(racked)
    assert reply.status_code == 303
    used = {size.piece.mark for size in before.sizes if size.piece}
    assert {one.mark for one in rack_of(racked) if one.cut_for == 1} == used
    new = [one for one in rack_of(racked) if one.offcut_of == 1]
    assert len(new) == len(offcuts)
    assert all(one.place is RackPlace.SHOP and one.is_whole for one in new)
    with database_of(racked).read() as db:
        cuttings = load_cuttings(db, 1)
    assert [one.layout.laid for one in cuttings] == [each.layout.laid for each in before.rounds]
    page = page_of(racked.get(reply.headers["location"].partition("#")[0]))
    assert "All of it is cut" in page.css_first(".material").text()
    assert f"of {OAK.title} cut" in page.css_first("#done").text()


def test_undo_brings_boards_parts_and_rack_back(racked: TestClient) -> None:
    rack, plan = rack_of(racked), material_plan(racked)
    cut(racked)
    undo_last(racked)
    assert [replace(one, version=1) for one in rack_of(racked)] == [replace(one, version=1) for one in rack]
    assert material_plan(racked).rounds == plan.rounds


def test_an_offcut_can_be_left_out_or_measured_again(racked: TestClient) -> None:
    form = page_of(racked.get(CUT)).css_first("form.cut-form")
    fields = fields_of(form)
    kept = sorted(name.removeprefix("keep-") for name in fields if name.startswith("keep-"))
    assert kept
    changed = fields | {f"width-{kept[0]}": "2 7/8", f"length-{kept[0]}": "20"}
    for other in kept[1:]:
        del changed[f"keep-{other}"]
    assert racked.post("/jobs/1/layout/cut", data=changed).status_code == 303
    (new,) = (one for one in rack_of(racked) if one.offcut_of == 1)
    assert (new.width, new.length) == (Length.parse("2 7/8"), Length.of(20))


def test_a_size_that_is_none_is_named_and_nothing_is_cut(racked: TestClient) -> None:
    fields = fields_of(page_of(racked.get(CUT)).css_first("form.cut-form"))
    key = next(name.removeprefix("keep-") for name in fields if name.startswith("keep-"))
    reply = cut(racked, **{f"width-{key}": "a hand"})
    assert reply.status_code == 422
    page = page_of(reply)
    assert "“a hand”" in page.css_first("#problems").text()
    assert page.css_first(f"#width-{key}").attributes["value"] == "a hand"
    assert not any(one.cut_for for one in rack_of(racked))


def test_nothing_ticked_is_nothing_cut(racked: TestClient) -> None:
    fields = fields_of(page_of(racked.get(CUT)).css_first("form.cut-form"))
    none = {name: text for name, text in fields.items() if not name.startswith("board-")}
    reply = racked.post("/jobs/1/layout/cut", data=none)
    assert reply.status_code == 422
    assert "No board is ticked" in page_of(reply).css_first("#problems").text()


def test_layouts_that_changed_meanwhile_are_not_cut(racked: TestClient) -> None:
    stale = fields_of(page_of(racked.get(CUT)).css_first("form.cut-form"))
    put_on_rack(racked, a_board("13", "150", mark="R9"))
    reply = racked.post("/jobs/1/layout/cut", data=stale)
    assert reply.status_code == 409
    assert "these layouts are others now" in page_of(reply).css_first("#problems").text()
    assert not any(one.cut_for for one in rack_of(racked))
    assert cut(racked).status_code == 303, "looked at and pressed again"


def test_a_form_sent_twice_cuts_once(racked: TestClient) -> None:
    fields = fields_of(page_of(racked.get(CUT)).css_first("form.cut-form"))
    first, second = (racked.post("/jobs/1/layout/cut", data=fields) for _ in range(2))
    assert first.status_code == 303
    assert second.status_code in (303, 409, 422)
    with database_of(racked).read() as db:
        assert len(load_cuttings(db, 1)) == len({one.id for one in load_cuttings(db, 1)})
        laid = sum(len(each.layout.laid) for each in load_cuttings(db, 1))
    assert laid == len([name for name in fields if name.startswith("board-")])


def test_after_the_cut_a_part_more_asks_for_what_is_missing_alone(racked: TestClient) -> None:
    cut(racked)
    with database_of(racked).write("Changed", at=at_of(racked), job_id=1) as db:
        (frame,) = load_pieces(db, 1)
        lines = f"{RAILS}\n{PANELS}\nCleat, 1, 3/4, 2, 19, White oak"
        save_piece(db, 1, replace(frame, piece=a_piece("part_list", lines=lines)))
    to_cut = [each for each in material_plan(racked).rounds if each.fingerprint]
    assert sum(len(laid.places) for each in to_cut for laid in each.layout.laid) == 1
    assert "All of it is cut" not in page_of(racked.get("/jobs/1/layout")).css_first(".material").text()


def test_the_next_job_is_cut_from_the_offcuts_first(racked: TestClient) -> None:
    cut(racked)
    offcut = max((one for one in rack_of(racked) if one.offcut_of == 1), key=lambda one: one.length)
    line = (
        f"Cleat, 1, 3/4, {(offcut.width - Length.of(1)).exact()}, {(offcut.length - Length.of(8)).exact()}, White oak"
    )
    other = add_job(racked, line, "Larder")
    plan = material_plan(racked, job_id=other)
    (used,) = plan.sizes
    assert used.piece is not None
    assert used.piece.offcut_of == 1
    assert plan.to_buy.value == 0
    assert f"{used.piece.mark}" in racked.get(f"/jobs/{other}/layout").text


# The yard and the rack


def test_boards_of_the_yard_come_to_the_shop_set_aside_for_the_job(racked: TestClient) -> None:
    assert any(size.piece and size.piece.mark == "Y1" for size in material_plan(racked).sizes)
    assert press(racked, "/jobs/1/layout", "/jobs/1/layout/here").status_code == 303
    (came,) = (one for one in rack_of(racked) if one.mark == "Y1")
    assert (came.place, came.set_aside_for) == (RackPlace.SHOP, 1)
    undo_last(racked)
    (back,) = (one for one in rack_of(racked) if one.mark == "Y1")
    assert (back.place, back.set_aside_for) == (RackPlace.YARD, 1)


def test_boards_of_the_rack_are_set_aside_so_that_no_other_job_takes_them(racked: TestClient) -> None:
    assert press(racked, "/jobs/1/layout", "/jobs/1/layout/aside").status_code == 303
    assert {one.mark for one in rack_of(racked) if one.set_aside_for == 1} == {"R4", "Y1"}
    other = add_job(racked, RAILS, "Larder")
    assert not any(size.piece and size.piece.mark == "R4" for size in material_plan(racked, job_id=other).sizes)


@pytest.mark.parametrize("action", ["here", "aside"])
def test_boards_of_layouts_that_changed_meanwhile_stay_where_they_are(racked: TestClient, action: str) -> None:
    before = rack_of(racked)
    reply = racked.post(f"/jobs/1/layout/{action}", data={"material": OAK.key, "seen": "another"})
    assert reply.status_code == 409
    assert rack_of(racked) == before


def test_a_material_that_the_job_has_not_is_not_there(racked: TestClient) -> None:
    assert racked.get("/jobs/1/layout/cut?material=lumber|Teak|4/4|FAS").status_code == 404
    assert racked.post("/jobs/1/layout/cut", data={"material": "lumber|Teak|4/4|FAS"}).status_code == 404
    assert racked.post("/jobs/1/layout/here", data={}).status_code == 404
