"""Drawings set out on their sheets, as SVG, and the pages that show them."""

import re
from collections.abc import Iterator
from itertools import combinations
from xml.etree import ElementTree

import pytest
from fastapi.testclient import TestClient
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builders import USUAL, a_pantry, a_piece, pieces, placed
from conftest import page_of
from demo_forms import Demo
from domain.drawing.piece import piece_drawings
from domain.drawing.shape import Callout, Dimension, Drawing, Label, Marker, Meaning, Side, box, line
from domain.drawing.tape import Tape
from webapp.drawing.callouts import spread
from webapp.drawing.drawn import Drawn, Sheet, touch
from webapp.drawing.sheet import drawn
from webapp.drawing.text import width
from webapp.render import ENVIRONMENT

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"-?\d+\.?\d*")
PRINTED = ENVIRONMENT.from_string(
    '{% from "drawing/drawing.html" import sheet %}{{ sheet(d, d.wide, "wide") }}|{{ sheet(d, d.narrow, "narrow") }}'
)


def svgs(one: Drawn) -> Iterator[ElementTree.Element]:
    """Yield both settings out as a browser reads them. Raises ParseError for XML that is not well-formed."""
    for text in PRINTED.render(d=one).split("|"):
        yield ElementTree.fromstring(text.strip().replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def places(svg: ElementTree.Element) -> Iterator[tuple[float, float]]:
    """Yield every place that is drawn at: ends of lines, rings, both ends of words by their reckoned width."""
    for path in svg.iter(f"{SVG}path"):
        absolute = re.sub(r"[a-z][^A-Z]*", "", path.attrib["d"])
        numbers = [float(one) for one in NUMBER.findall(absolute)]
        yield from zip(numbers[::2], numbers[1::2], strict=True)
    for ring in svg.iter(f"{SVG}circle"):
        x, y, r = (float(ring.attrib[name]) for name in ("cx", "cy", "r"))
        yield from ((x - r, y - r), (x + r, y + r))
    for text in svg.iter(f"{SVG}text"):
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        wide = max(width(words) for words in text.itertext() if words.strip())
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.attrib["text-anchor"]]
        ends = (-wide * share, wide * (1 - share))
        turned = "rotate(-90" in text.get("transform", "")
        yield from ((x, y - end) if turned else (x + end, y) for end in ends)


def assert_on_the_sheet(svg: ElementTree.Element) -> None:
    left, top, wide, high = (float(one) for one in svg.attrib["viewBox"].split())
    for x, y in places(svg):
        assert left <= x <= left + wide, f"{x} is not within {left} and {left + wide}"
        assert top <= y <= top + high, f"{y} is not within {top} and {top + high}"


def of_the_pantry() -> list[Drawn]:
    pantry = (*a_pantry(), placed(a_piece("corner_top"), 20, name="Corner"))
    return [drawn(d, Tape()) for one in pantry for d in piece_drawings(one, pantry, USUAL, Tape())]


PANTRY = of_the_pantry()


@pytest.mark.parametrize("one", PANTRY, ids=lambda one: one.title)
def test_a_drawing_is_well_formed_with_a_name_and_a_description(one: Drawn) -> None:
    ids = set()
    for svg in svgs(one):
        title, desc = svg.find(f"{SVG}title"), svg.find(f"{SVG}desc")
        assert title is not None
        assert desc is not None
        assert svg.attrib["role"] == "img"
        assert svg.attrib["aria-labelledby"] == title.attrib["id"]
        assert svg.attrib["aria-describedby"] == desc.attrib["id"]
        assert (title.text, desc.text) == (one.title, one.about)
        assert not [name for each in svg.iter() for name in each.attrib if name in ("style", "onclick")]
        ids |= {title.attrib["id"], desc.attrib["id"]}
        assert_on_the_sheet(svg)
    assert len(ids) == 4


def words_that_touch(sheet: Sheet) -> list[tuple[str, str]]:
    boxes = [(" ".join(text.lines), text.box) for text in sheet.texts] + [(r.words, r.box) for r in sheet.rings]
    return [(one, other) for (one, a), (other, b) in combinations(boxes, 2) if touch(a, b)]


@pytest.mark.parametrize("one", PANTRY, ids=lambda one: one.title)
def test_no_words_run_into_others(one: Drawn) -> None:
    assert words_that_touch(one.wide) == []
    assert words_that_touch(one.narrow) == []


def test_the_wide_sheet_fits_between_the_margins_of_letter_and_a4_and_the_narrow_one_a_phone() -> None:
    # Letter is 8 1/2 in wide, A4 8.27, less 2 × 0.7 in of margins and the frame: 6.87 in × 96 = 659 px.
    assert max(one.wide.width for one in PANTRY) <= 658
    assert max(one.narrow.width for one in PANTRY) <= 332


def test_a_wide_drawing_is_at_the_scale_it_says() -> None:
    top = next(one for one in PANTRY if one.title == "Pantry top from above")
    assert top.scale == "1 : 24 when printed at 100 %, else not to scale"
    assert top.wide.scale == 96 / 24
    outline = next(path for path in top.wide.paths if path.kind == "outline")
    # 9 ft at 4 units to the inch, run over by 3 at each corner.
    assert outline.box[2] - outline.box[0] == 108 * 4 + 6


@settings(max_examples=25)
@given(st.sampled_from(["top", "corner_top", "built_up_edge", "base_cabinet"]).flatmap(pieces))
def test_nothing_of_any_piece_is_drawn_off_its_sheet_and_no_words_over_others(piece: object) -> None:
    whole = placed(piece, name="Any <piece> & more")  # type: ignore[arg-type]
    found = piece_drawings(whole, (whole,), USUAL, Tape())
    assume(found)
    for drawing in found:
        one = drawn(drawing, Tape())
        assert words_that_touch(one.wide) + words_that_touch(one.narrow) == []
        for svg in svgs(one):
            assert_on_the_sheet(svg)


@settings(max_examples=100)
@given(st.lists(st.tuples(st.integers(-200, 400), st.integers(10, 60)), max_size=12))
def test_words_at_the_side_never_overlap_and_keep_their_order(wanted: list[tuple[int, int]]) -> None:
    wanted.sort()
    found = spread([(float(middle), float(high)) for middle, high in wanted])
    for number in range(len(found) - 1):
        apart = (wanted[number][1] + wanted[number + 1][1]) / 2
        assert found[number + 1] - found[number] >= apart


def test_a_name_without_end_is_broken_where_there_is_room_for_it() -> None:
    cabinet = placed(a_piece("base_cabinet", width="12"), 1, name="Cabinet" * 12)
    drawer = placed(a_piece("drawer", width="9"), 2, name="Draweronslides" * 8, belongs_to=1)
    for drawing in piece_drawings(cabinet, (cabinet, drawer), USUAL, Tape()):
        one = drawn(drawing, Tape())
        assert one.wide.width <= 658
        assert one.narrow.width <= 332


def test_words_without_room_go_to_the_key_under_a_letter() -> None:
    sheet = box(Meaning.OUTLINE, 0, 0, 96, 48, "sheet")
    narrow = box(Meaning.OFFCUT, 0, 0, 96, 5)
    words = "offcut of a length that fits nowhere, 96 × 5"
    drawing = Drawing(
        "key", "A sheet", "About it", ("Words",), (sheet, narrow),
        labels=(Label((words,), (narrow.left, narrow.top, *narrow.points[2])),),
        markers=(Marker("1", *line(Meaning.CUT, *narrow.points[2:4]).points),),
        callouts=(Callout(sheet.middle, "words too long for the side of a phone", Side.RIGHT),),
        dimensions=(Dimension(Side.TOP, sheet.left, sheet.right, sheet.top),),
    )  # fmt: skip
    one = drawn(drawing, Tape())
    said = [" ".join(text.lines) for text in one.narrow.texts]
    assert {"96", words, "words too long for the side of a phone"} <= set(said)
    assert {ring.words for ring in one.narrow.rings} == {"1", "a", "b"}


def test_the_page_has_every_drawing_with_its_words_and_a_link_to_paper(demo: Demo) -> None:
    page = page_of(demo.client.get("/jobs/2/drawings"))
    figures = page.css("figure.drawing")
    titles = [figure.css_first("figcaption").text().strip() for figure in figures]
    assert {"Long top from above", "Drawer cabinet, front", "Drawer cabinet, section"} < set(titles)
    assert f"{len(figures)} sheets" in page.css_first("main .head").text()
    for figure in figures:
        assert len(figure.css("svg[role=img]")) == 2
        assert figure.css("details.in-words li")
    anchors = [link.attributes["href"] for link in page.css(".jump a")]
    assert anchors == [f"#{section.attributes['id']}" for section in page.css("section.drawn")]
    ids = [node.attributes["id"] for node in page.css("[id]")]
    assert len(ids) == len(set(ids))


def test_paper_has_a_sheet_for_each_drawing_with_its_title_block(demo: Demo) -> None:
    page = page_of(demo.client.get("/jobs/2/drawings/print"))
    sheets = page.css(".drawing-sheet")
    assert len(sheets) == len(page_of(demo.client.get("/jobs/2/drawings")).css("figure.drawing"))
    block = sheets[0].css_first(".title-block").text()
    for words in (
        "Long top from above",
        "Butler's pantry",
        "Sample Street Cabinets",
        "1 : ",
        f"1 of {len(sheets)}",
        "inches",
    ):
        assert words in block


def test_paper_may_be_of_one_piece(demo: Demo) -> None:
    page = page_of(demo.client.get("/jobs/2/drawings"))
    anchor = page.css("section.drawn")[0].attributes["id"]
    one = page_of(demo.client.get(f"/jobs/2/drawings/print?only={anchor}"))
    assert [node.text() for node in one.css(".title-block .what strong")] == [
        "Long top from above", "Long top, front edge, section"
    ]  # fmt: skip
    assert demo.client.get("/jobs/2/drawings/print?only=piece-9999").status_code == 404
    assert demo.client.get("/jobs/99/drawings").status_code == 404


def test_a_job_with_nothing_to_draw_says_what_to_do(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    empty = page_of(client.get("/jobs/1/drawings")).css_first(".empty")
    assert [link.attributes["href"] for link in empty.css("a")] == ["/jobs/1/pieces", "/jobs/1/measure"]


def test_a_piece_shows_its_drawings_on_its_page(demo: Demo) -> None:
    page = page_of(demo.client.get("/jobs/2/drawings"))
    own = page.css("section.drawn .head a")[0].attributes["href"]
    assert page_of(demo.client.get(own or "")).css(".drawn figure.drawing")
    assert not page_of(demo.client.get("/jobs/2/pieces/new/top")).css(".drawn")
