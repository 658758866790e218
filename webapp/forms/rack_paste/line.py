"""One line of a pasted list, with what was said for the whole list -> what the form of a board would post."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from domain.length import Unit
from domain.material import MaterialKind
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.rack import RackPlace
from domain.words import cut_short
from webapp.forms.field import Fields
from webapp.forms.rack import LABELS, read_job
from webapp.forms.rack_paste.columns import in_unit
from webapp.forms.rack_paste.words import (
    grade_named,
    is_sheet,
    place_named,
    sizes_in,
    stock_named,
    wood_problem,
    woods_named,
)

FOR_ALL = ("name", "size", "grade", "supplier", "price", "place", "set_aside_for", "lengths_in")
"""What may be said once for the whole list, where a line does not say."""

KINDS = {
    MaterialKind.LUMBER: ("lumber", "board", "boards", "wood", "solid"),
    MaterialKind.SHEET: ("sheet", "sheets", "panel", "panels", "plywood"),
}
_A_FOOT = re.compile(r" ?/? ?(?:per )?(?:bf|bd\.? ?ft\.?|board f(?:oo|ee)t|sheet|ea|each)\.?$", re.IGNORECASE)


def for_all_problem(posted: Mapping[str, str], jobs: Mapping[int, str]) -> Problem | None:
    """Return what is wrong in what was said for the whole list, so that it is not said again of every line."""
    fields = Fields(posted)
    fields.money("price", LABELS["price"], needed=False)
    read_job(fields, "set_aside_for", jobs)
    name = fields.raw("name")
    if len(found := woods_named(name)) > 1:
        fields.problem("name", wood_problem(name, found))
    for field_name in ("name", "supplier"):
        fields.text(field_name, LABELS[field_name])
    return next(iter(fields.problems), None)


@dataclass
class Said:
    """typed: what a line says, by field; for_all: what was said for the whole list; unit: of bare sizes.

    heard: what was read otherwise than it was written; problems: what cannot be told.
    """

    typed: Mapping[str, str]
    for_all: Mapping[str, str]
    unit: Unit
    heard: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def completed(self, practice: ShopPractice) -> tuple[dict[str, str], tuple[str, ...], tuple[Problem, ...]]:
        """Return the line as the form would post it, what was read otherwise, and every problem."""
        line = {name: text for name, text in self.for_all.items() if text} | self._in_fields()
        line["name"] = self._wood(line.get("name", ""))
        kind = self._kind(line)
        line["kind"] = kind.value
        if size := line.get("size", ""):
            line["size"] = self._stock(size, kind, practice)
        if grade := line.get("grade", ""):
            line["grade"] = self._grade(grade, kind)
        line["length"] = in_unit(line.get("length", ""), self.for_all.get("lengths_in", ""))
        line["price"] = _A_FOOT.sub("", line.get("price", ""))
        line["place"] = self._place(line.get("place", ""))
        return line, tuple(self.heard), tuple(self.problems)

    def _in_fields(self) -> dict[str, str]:
        """Return what the line says, with a text such as `5/4 x 7 x 96` taken apart."""
        line = dict(self.typed)
        if sizes := sizes_in(line.pop("dimensions", "")):
            line |= dict(zip(("length", "width", "size"), reversed(sizes), strict=False))
        if rest := line.pop("rest", ""):
            line["note" if self.for_all.get("name") else "name"] = rest
        return line

    def _wood(self, text: str) -> str:
        found, usual = woods_named(text), self.for_all.get("name", "")
        if len(found) > 1 and (meant := [name for name in woods_named(usual) if name in found]):
            found = tuple(meant)
        if len(found) > 1:
            self.problems.append(Problem("name", wood_problem(text, found)))
        elif text and not found:
            self.heard.append(f"“{cut_short(text)}” is not in the handbook, so it is kept as written")
        elif found and text.casefold() != found[0].casefold():
            self.heard.append(f"“{cut_short(text)}” taken as {found[0]}")
        return found[0] if len(found) == 1 else text

    def _kind(self, line: Mapping[str, str]) -> MaterialKind:
        word = line.get("kind", "").casefold()
        said = next((kind for kind, words in KINDS.items() if word in words), None)
        return said or (MaterialKind.SHEET if is_sheet(line["name"]) else MaterialKind.LUMBER)

    def _stock(self, size: str, kind: MaterialKind, practice: ShopPractice) -> str:
        stock, wrong = stock_named(size, kind, self.unit, practice)
        if wrong:
            self.problems.append(Problem("size", wrong))
        elif stock != size.rstrip('" in.'):
            self.heard.append(f"thickness “{cut_short(size)}” taken as {stock}")
        return stock

    def _grade(self, text: str, kind: MaterialKind) -> str:
        grade = grade_named(text)
        if kind is MaterialKind.LUMBER and not grade:
            self.heard.append(f"grade “{cut_short(text)}” is not in the handbook, so it is kept as written")
        elif kind is MaterialKind.LUMBER and grade.casefold() != text.casefold():
            self.heard.append(f"grade “{cut_short(text)}” taken as {grade}")
        return grade or text

    def _place(self, text: str) -> str:
        if text and place_named(text) is None:
            words = f"Where it is “{cut_short(text)}” is not known. Write shop or yard."
            self.problems.append(Problem("place", words))
        return (place_named(text) or RackPlace.YARD).value
