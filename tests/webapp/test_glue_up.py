"""Glue-ups of a job, the card of a piece for the bench, and their figures down to their sources."""

from collections.abc import Mapping
from fractions import Fraction

import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser

from builders import a_piece, a_top
from conftest import Clock, page_of
from domain.figure import Figure
from domain.pieces.piece import Piece, PlacedPiece
from domain.shop import Shop
from plan_shop import NOW as MONDAY
from plan_shop import a_job, reading, row_of, set_up, writing
from webapp.routes.glue_up import glue_ups_page
from webapp.store.piece import add_piece
from webapp.store.shop import load_practice, load_version, save_shop
from webapp.store.tables import PracticeRow
from webapp.working import find

WIDE = {"length": "10'", "depth": "30", "boards_by": "so many boards of one width", "board_count": 13}
CARD, PAPER = "/jobs/1/pieces/1/glue-up", "/jobs/1/pieces/1/glue-up/print"


def write(client: TestClient, *pieces: Piece, clamps: int = 60) -> TestClient:
    """Have a shop with clamps and a job with these pieces."""
    client.post("/jobs/new", data={"name": "Island", "client_name": "A. Invented"})
    database, at = client.app.state.database, client.app.state.settings.now()  # type: ignore[attr-defined]
    with database.write("Set up", at=at, job_id=1) as db:
        save_shop(db, Shop(name="Invented shop", hands=2, clamps=clamps, benches=2), version=load_version(db))
        for piece in pieces:
            add_piece(db, 1, PlacedPiece(0, "Island top", 1, piece))
    return client


def words(page: LexborHTMLParser, selector: str) -> str:
    return " ".join(" ".join(node.text().split()) for node in page.css(selector))


def facts(page: LexborHTMLParser) -> dict[str, str]:
    """Return what the card says in pairs, the first of each name."""
    found: dict[str, str] = {}
    for pair in page.css(".facts div"):
        found.setdefault(pair.css_first("dt").text(), " ".join(pair.css_first("dd").text().split()))
    return found


def test_a_job_without_panels_says_where_to_start(client: TestClient) -> None:
    empty = page_of(write(client).get("/jobs/1/glue-ups")).css_first(".empty")
    assert empty.css_first("a").attributes["href"] == "/jobs/1/pieces"
    assert client.get("/jobs/1/glue-ups/print").status_code == 200
    assert client.get("/jobs/2/glue-ups").status_code == 404


def test_thirteen_boards_go_in_other_stages_with_one_person_and_with_two(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=1), a_top(**WIDE, crew=2))
    alone, together = (page_of(client.get(f"/jobs/1/pieces/{piece}/glue-up")) for piece in (1, 2))
    assert [" ".join(node.text().split()) for node in alone.css(".stage h3")] == [
        "1 Boards 1 to 4", "2 Boards 5 to 8", "3 Boards 9 to 12", "4 The whole",
    ]  # fmt: skip
    assert [" ".join(node.text().split()) for node in together.css(".stage h3")] == [
        "1 Boards 1 to 7", "2 Boards 8 to 13", "3 The whole",
    ]  # fmt: skip
    assert words(alone, ".stage .time").count("4 min 35 s of 5 min") == 4
    assert not alone.css(".stage .late")
    assert not together.css(".stage .late")
    assert not alone.css(".warning")


def test_the_stages_are_steps_of_the_piece_with_their_people_and_clamps(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=2))
    text = client.get("/jobs/1/take-off").text
    assert 'href="/jobs/1/glue-ups"' in text
    made = words(page_of(client.get("/jobs/1/pieces/1")), ".steps li")
    for number, boards in ((1, "boards 1 to 7"), (2, "boards 8 to 13"), (3, "boards 1 to 13")):
        assert f"Glue-up {number} of 3, {boards} build, 2 people, 30 clamps" in made
    assert client.get("/jobs/1/pieces/1").text.count('href="/jobs/1/pieces/1/glue-up"') == 1


@pytest.mark.parametrize("address", [CARD, "/jobs/1/glue-ups"])
def test_every_figure_opens_down_to_its_source(client: TestClient, address: str) -> None:
    write(client, a_top(**WIDE, crew=1, alignment="biscuits"))
    addresses = {link.attributes["href"] or "" for link in page_of(client.get(address)).css("a.figure")}
    assert len(addresses) >= 7
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        shown = glue_ups_page(db, 1, client.app.state.settings.now())  # type: ignore[attr-defined]
    for one in addresses:
        assert isinstance(find(shown, one.removeprefix("/jobs/1/working/glue-ups/")), Figure), one
    closed = page_of(client.get("/jobs/1/working/glue-ups/cards.0.stages.0.stage.closed"))
    links = [link.attributes["href"] for link in closed.css(".working-rule a")]
    assert {f"/shop/practice#{key}_seconds" for key in ("spread", "place", "clamp")} <= set(links)
    assert "/pieces/1#crew" in links


def test_the_card_tells_order_clamps_fasteners_things_at_hand_and_times(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=1, alignment="biscuits"))
    page = page_of(client.get(CARD))
    assert [node.text() for node in page.css(".boards .mark-of")] == [f"1A{number}" for number in range(1, 14)]
    text = words(page, "main")
    assert "30 clamps: 15 below and 15 above, in turn, the first below." in text
    assert "The first stands 2 in from the end, then every about 4 1/8 in." in text
    assert "13 biscuits in each joint, from the left end, in inches: 3 3/4, ≈ 13 7/16," in text.replace(
        "\N{NO-BREAK SPACE}", " "
    )
    assert "None within 3 3/4 in of the left end nor 3 3/4 in of the right" in text
    told = facts(page)
    assert told["Clamps come off after"] == "3 h"
    assert told["No machine before"] == "24 h from the glue-up"
    assert told["Shop, wood and glue"] == "70 °F (21.1 °C)"
    assert told["All clamps tight"] == "5 min 45 s of 10 min"
    assert told["Glue"] == "2.62 fl oz"
    assert len(page.css(".places li")) == 30
    assert "wax paper or tape" in words(page, ".at-hand")
    assert "Lifting 138 lb" in words(page, ".caution")


def test_the_drawing_has_a_title_and_the_same_in_words(client: TestClient) -> None:
    page = page_of(write(client, a_top(**WIDE, crew=1)).get(CARD))
    drawing = page.css_first("svg.wide")
    named, described = drawing.attributes["aria-labelledby"], drawing.attributes["aria-describedby"]
    title, about = page.css_first(f"[id='{named}']"), page.css_first(f"[id='{described}']")
    assert title.text() == "Island top: the glue-up from above"
    assert "13 boards as glued, 123 1/2 in long and 31 in across together" in about.text()
    assert "A triangle is drawn across all boards, its point at the back." in words(page, ".in-words")
    assert drawing.attributes["role"] == "img"


def test_on_paper_there_is_a_card_for_every_panel_and_no_link_to_a_working(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=1), a_top(**WIDE, crew=2))
    one, all_of_them = page_of(client.get(PAPER)), page_of(client.get("/jobs/1/glue-ups/print"))
    assert (len(one.css(".bench-card")), len(all_of_them.css(".bench-card"))) == (1, 2)
    for page in (one, all_of_them):
        assert len(page.css("h1")) == 1
        assert not page.css("a.figure")
    assert "Back to front: 1A1, 1A2, 1A3" in words(one, ".row-of-marks")
    assert "Glued at" in words(one, ".bench-card")


def test_what_stands_in_the_way_is_said_with_what_would_work_and_the_rest_is_there(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=1, glue="Hot hide (animal) glue"), clamps=10)
    page = page_of(client.get(CARD))
    said = words(page, ".warning")
    assert "1 person cannot close even one joint of 123 1/2 in in time" in said
    assert "It takes 16 clamps at once, and the shop has 10. Borrow 6" in said
    assert len(page.css(".stage")) == 12
    assert len(page.css(".late-stage")) == 12
    assert "Too late: more people, or a slower glue." in words(page, ".stage .late")
    assert "cannot close even one joint" in words(page_of(client.get("/jobs/1/pieces/1")), ".warning")


def test_a_cold_shop_says_no_under_the_least_of_the_glue_and_how_much_longer_above_it(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=2))
    client.post("/shop/practice/shop_temperature", data={"shop_temperature": "50", "version": "0"})
    assert "The shop is at 50 °F (10 °C) and PVA cross-linking, water resistant needs 55.4 °F (13 °C)" in words(
        page_of(client.get("/jobs/1/glue-ups")), ".warning"
    )
    client.post("/shop/practice/shop_temperature", data={"shop_temperature": "61", "version": "1"})
    page = page_of(client.get(CARD))
    assert not page.css(".warning")
    assert facts(page)["Longer in this cold, times"] == "1.5"
    assert facts(page)["Clamps come off after"] == "4 h 30 min"


def test_clamps_of_the_shop_profile_decide_whether_parts_are_glued_side_by_side(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=2), clamps=60)
    assert "after Glue-up 1 of 3, boards 1 to 7: the same hands" in words(
        page_of(client.get("/jobs/1/pieces/1")), ".steps li"
    )


def test_a_habit_that_is_no_more_is_kept_and_not_minded(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=1))
    with writing(client) as db:
        db.add(PracticeRow(id="joint_seconds", value=Fraction(90)))
    assert client.get(CARD).status_code == 200
    assert client.get("/shop/practice").status_code == 200
    with reading(client) as db:
        assert "joint_seconds" not in load_practice(db).changed


def test_the_task_of_a_glue_up_leads_to_its_card(client: TestClient) -> None:
    write(client, a_top(**WIDE, crew=2))
    task = page_of(client.get("/jobs/1/plan/task?key=p1.glue-up-1"))
    assert [link.attributes["href"] for link in task.css(".actions a[href$='/glue-up']")] == [CARD]
    assert not page_of(client.get("/jobs/1/plan/task?key=p1.mill")).css("a[href$='/glue-up']")


def test_a_piece_that_is_not_glued_up_says_so(client: TestClient) -> None:
    write(client, a_piece("support_strips"), a_piece("built_up_edge"))
    assert "No boards are glued edge to edge here" in words(page_of(client.get(CARD)), ".empty")
    assert client.get(PAPER).status_code == 200
    assert client.get("/jobs/1/pieces/9/glue-up").status_code == 404
    assert client.get("/jobs/1/pieces/9/glue-up/print").status_code == 404
    assert "Also glued" in words(page_of(client.get("/jobs/1/glue-ups")), "h2")


# The stages as tasks of the plan.


def planned(client: TestClient, clock: Clock, *, clamps: int, **top: object) -> tuple[list[Mapping[str, str]], str]:
    """Return the rows of the three glue-ups of a 13-board top by two people, and what the plan warns of."""
    clock.at = MONDAY
    set_up(client, clamps=clamps, benches=2)
    job_id = a_job(client, tops=0)
    with writing(client) as db:
        add_piece(db, job_id, PlacedPiece(0, "Island top", 1, a_top(**WIDE, **{"crew": 2, **top})))
    page = page_of(client.get(f"/jobs/{job_id}/plan"))
    return [row_of(client, job_id, f"p1.glue-up-{number}") for number in (1, 2, 3)], words(page, ".warning")


def test_parts_wait_in_the_plan_for_the_only_clamps_there_are(client: TestClient, clock: Clock) -> None:
    first, second, third = planned(client, clock, clamps=30)[0]
    assert first["name"].startswith("Island top: glue-up 1 of 3, boards 1 to 7")
    assert second["Why then"].startswith("Waits until “Island top: clamps off and scrape 1 of 3” is finished")
    assert "its clamps and its place on the bench are needed" in second["Why then"]
    assert third["Why then"].startswith("Waits until “Island top: clamps off and scrape 2 of 3” is finished")
    assert "the next boards are glued to this stage" in third["Why then"]


def test_parts_follow_one_another_in_the_plan_where_there_are_clamps_for_both(client: TestClient, clock: Clock) -> None:
    rows, warned = planned(client, clock, clamps=60)
    assert rows[1]["Why then"].startswith("Waits until “Island top: glue-up 1 of 3, boards 1 to 7” is finished")
    assert "the same hands glue up one after another" in rows[1]["Why then"]
    assert "clamps; there are" not in warned
    assert "glue-up" not in warned, "nobody is at two of them at once"


def test_the_plan_never_asks_for_more_clamps_than_parts_were_told_to_share(client: TestClient, clock: Clock) -> None:
    assert "clamps; there are" not in planned(client, clock, clamps=30)[1]


def test_a_glue_up_that_cannot_be_made_in_time_is_said_in_the_plan_too(client: TestClient, clock: Clock) -> None:
    _, warned = planned(client, clock, clamps=30, glue="Hot hide (animal) glue")
    assert "Island top: 2 people cannot close even one joint of 123 1/2 in in time" in warned
    said = page_of(client.get("/jobs/1/plan")).css(".warning a")
    assert "/pieces/1#glue" in [link.attributes["href"] for link in said]
