"""The numbers that parts of a job refer to each other by, changed for others: of a document, or of a shop."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from domain.quote import FrozenQuote
from domain.task import OwnLink, TaskRecord
from webapp.job_document.check import renumbered

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
