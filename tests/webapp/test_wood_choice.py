"""The wood choice page: a form without scripts, woods side by side, and what it cannot answer."""

from fastapi.testclient import TestClient

from conftest import page_of
from priced_job import a_job

ASKED = {"wood_1": "White oak", "wood_2": "Sassafras", "wood_3": "Teak", "width": "25 1/2"}


def test_woods_stand_side_by_side_with_the_unknown_said_so(client: TestClient) -> None:
    page = page_of(client.get("/wood-choice", params=ASKED))
    heads = [cell.text() for cell in page.css(".woods-beside thead th")]
    assert heads == ["White oak", "Sassafras", "Teak"]
    rows = {row.css_first("th").text(): [cell.text().strip() for cell in row.css("td")] for row in page.css("tbody tr")}
    assert rows["Hardness"][:2] == ["1,360 lbf", "not known"]
    assert rows["Against water"] == ["not known"] * 3
    assert rows["A board foot"] == ["no price yet"] * 3
    assert "golden brown" in rows["In light"][2]


def test_every_figure_of_the_page_opens_with_its_own_woods_and_width(client: TestClient) -> None:
    links = [link.attributes["href"] for link in page_of(client.get("/wood-choice", params=ASKED)).css("a.figure")]
    assert len(links) >= 10
    for link in links:
        assert client.get(link).status_code == 200, link
    flat = client.get(next(link for link in links if "woods.0.flat" in link))
    assert "25 1/2 in" in flat.text
    assert "Table 13-5" in flat.text


def test_the_form_keeps_what_was_chosen_and_starts_empty(client: TestClient) -> None:
    page = page_of(client.get("/wood-choice", params=ASKED))
    assert page.css_first("#wood_2 option[selected]").text() == "Sassafras"
    assert page.css_first("#width").attributes["value"] == "25 1/2"
    assert page_of(client.get("/wood-choice")).css(".woods-beside") == []


def test_bad_input_is_told_in_words_and_kept(client: TestClient) -> None:
    for query, words in (
        ({"wood_1": "Moonwood", "wood_2": "Teak"}, "Wood 1 “Moonwood” is not in the table of woods."),
        ({"wood_1": "Teak", "wood_2": "", "width": "24"}, "Choose at least 2 different woods"),
        ({"wood_1": "Teak", "wood_2": "teak"}, "Choose at least 2 different woods"),
        ({"wood_1": "Teak", "wood_2": "White oak", "width": "5/0"}, "is not a size"),
        ({"wood_1": "Teak", "wood_2": "White oak", "width": "900 ft"}, "It must be at least"),
    ):
        reply = client.get("/wood-choice", params=query)
        assert reply.status_code == 422, query
        assert words in page_of(reply).css_first("#problems").text()
    assert page_of(reply).css_first("#width").attributes["value"] == "900 ft"


def test_a_link_with_one_wood_only_begins_the_question(client: TestClient) -> None:
    reply = client.get("/wood-choice", params={"wood_1": "Teak"})
    page = page_of(reply)
    assert reply.status_code == 200
    assert page.css_first("#wood_1 option[selected]").text() == "Teak"
    assert page.css("#problems, .woods-beside") == []


def test_a_figure_of_woods_nobody_asked_about_is_not_there(client: TestClient) -> None:
    assert client.get("/wood-choice/working/choice.woods.0.flat").status_code == 404
    assert client.get("/wood-choice/working/choice.woods.9.flat", params=ASKED).status_code == 404


def test_a_wood_becomes_an_option_of_the_job_it_was_looked_at_for(client: TestClient) -> None:
    job_id = a_job(client)
    form = page_of(client.get(f"/jobs/{job_id}/pieces/new/top"))
    begun = form.css_first('a[href^="/wood-choice"]').attributes["href"]
    page = page_of(client.get(begun + "&wood_2=Teak"))
    assert page.css_first("#wood_1 option[selected]").text() == "Hard maple (sugar maple)"
    assert page.css_first("input[name=job]").attributes["value"] == str(job_id)
    (teak,) = (link for link in page.css("a.button") if link.text() == "Teak")
    option = page_of(client.get(teak.attributes["href"]))
    assert option.css_first("#name").attributes["value"] == "In teak"
    assert option.css_first("#other_wood option[selected]").text() == "Teak"


def test_a_job_that_is_not_there_is_left_out(client: TestClient) -> None:
    for job in ("999", "x", "²", "1" * 30):
        page = client.get("/wood-choice", params=ASKED | {"job": job})
        assert page.status_code == 200
        assert 'name="job"' not in page.text


def test_the_handbook_leads_here(client: TestClient) -> None:
    assert 'href="/wood-choice"' in client.get("/handbook").text
