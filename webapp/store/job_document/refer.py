"""The numbers that parts of a job refer to each other by, changed for others: of a document, or of a shop."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from domain.layout.shape import Layout
from domain.quote import FrozenQuote
from domain.rack import RACK
from domain.task import OwnLink, TaskRecord
from webapp.job_document.check import renumbered, renumbered_blank

Numbers = Mapping[int, int]


def records_for(records: Iterable[TaskRecord], pieces: Numbers, orders: Numbers) -> Iterator[TaskRecord]:
    """Yield what was recorded of tasks, by other numbers; of pieces and orders that are gone, nothing."""
    for record in records:
        if key := renumbered(record.key, pieces, orders):
            yield replace(record, key=key)


def links_for(links: Iterable[OwnLink], pieces: Numbers, orders: Numbers) -> Iterator[OwnLink]:
    """Yield the maker's links by other numbers; those to what is gone are left out."""
    for link in links:
        before, after = renumbered(link.before, pieces, orders), renumbered(link.after, pieces, orders)
        if before and after:
            yield replace(link, before=before, after=after)


def quote_for(quote: FrozenQuote, pieces: Numbers) -> FrozenQuote:
    """Return a quote whose lines name their pieces by other numbers; nothing that is printed changes."""
    lines = (replace(line, piece_id=pieces.get(line.piece_id or 0)) for line in quote.lines)
    return replace(quote, lines=tuple(lines))


def layout_for(layout: Layout, pieces: Numbers, boards: Numbers) -> Layout:
    """Return a layout as cut, its parts and boards by other numbers; of what is gone, the old key stays."""
    asked = layout.to_cut

    def blank(key: str) -> str:
        return renumbered_blank(key, pieces) or f"gone:{key}"

    def source(key: str) -> str:
        number = key.removeprefix(RACK)
        return f"{RACK}{boards.get(int(number), 0)}" if key.startswith(RACK) and number.isdecimal() else key

    return replace(
        layout,
        to_cut=replace(
            asked,
            blanks=tuple(replace(one, key=blank(one.key)) for one in asked.blanks),
            sources=tuple(replace(one, key=source(one.key)) for one in asked.sources if _is_kept(one.key, layout)),
        ),
        laid=tuple(
            replace(
                one,
                source=source(one.source),
                places=tuple(replace(place, blank=blank(place.blank)) for place in one.places),
            )
            for one in layout.laid
        ),
        unplaced={blank(key): many for key, many in layout.unplaced.items()},
    )


def _is_kept(key: str, layout: Layout) -> bool:
    """Whether a source matters for what was cut: boards that were not used lie on another rack."""
    return not key.startswith(RACK) or any(one.source == key for one in layout.laid)
