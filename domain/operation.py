"""The shop's operations: what hands do, how it is counted, and how long it takes."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from domain.figure import Figure, Rule, Unit, add_up, together
from domain.part import Work


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation of the catalogue. unit: what its quantity counts.

    starting_setup, starting_each: our starting values [min], offered but never used until the shop takes
    them; they have no source (none was found): a shop measures its own.
    """

    key: str
    name: str
    unit: Unit
    per: str  # what one unit is, in words: `board`, `ft of joint`, `ft² and coat`
    starting_setup: Fraction
    starting_each: Fraction
    crew: int = 1


@dataclass(frozen=True, slots=True)
class OperationTime:
    """What the shop says an operation takes: minutes to set up once per task, minutes per unit, people.

    None means nobody has said yet: never a silent zero.
    """

    setup: Fraction | None = None
    each: Fraction | None = None
    crew: int = 1

    @property
    def is_said(self) -> bool:
        return self.setup is not None and self.each is not None


def _operation(key: str, name: str, unit: Unit, per: str, setup: str, each: str, crew: int = 1) -> Operation:
    return Operation(key, name, unit, per, Fraction(setup), Fraction(each), crew)


_ALL = (
    _operation("mill", "Mill boards flat, straight and to thickness", Unit.EACH, "board", "20", "8"),
    _operation("cut-solid", "Cut solid parts to size", Unit.EACH, "part", "15", "4"),
    _operation("edge-joint", "Joint edges for gluing", Unit.FOOT, "ft of joint", "10", "1"),
    _operation("glue-up", "Spread glue, close and clamp", Unit.FOOT, "ft of joint", "15", "1", 2),
    _operation("unclamp", "Take clamps off and scrape the squeeze-out", Unit.FOOT, "ft of joint", "5", "1/2"),
    _operation("flatten", "Flatten a glued panel", Unit.SQUARE_FOOT, "ft²", "15", "3"),
    _operation("sand", "Sand", Unit.SQUARE_FOOT, "ft² and grit", "5", "1"),
    _operation("cut-to-length", "Make the last cut to length", Unit.EACH, "cut", "15", "6"),
    _operation("cut-opening", "Cut an opening to its template", Unit.EACH, "opening", "20", "40"),
    _operation("cut-sheet", "Cut sheet parts to size", Unit.EACH, "part", "20", "4"),
    _operation("edge-strip", "Put on and trim edge strip", Unit.FOOT, "ft", "10", "1"),
    _operation("groove", "Run grooves and rabbets", Unit.FOOT, "ft", "15", "1/2"),
    _operation("biscuit", "Cut biscuit slots", Unit.EACH, "biscuit", "10", "1"),
    _operation("dowel", "Bore for dowels", Unit.EACH, "dowel", "15", "1"),
    _operation("screw", "Bore and drive screws", Unit.EACH, "screw", "5", "1"),
    _operation("shelf-holes", "Bore shelf-pin holes", Unit.EACH, "adjustable shelf", "10", "10"),
    _operation("assemble-carcass", "Assemble a carcass", Unit.EACH, "cabinet", "15", "45"),
    _operation("drawer-box", "Joint and assemble a drawer box", Unit.EACH, "drawer", "30", "30"),
    _operation("fit-drawer", "Mount slides and fit a drawer", Unit.EACH, "drawer", "10", "20"),
    _operation("door-frame", "Cut and assemble a door frame", Unit.EACH, "door", "30", "35"),
    _operation("hang-door", "Bore for hinges, hang and adjust a door", Unit.EACH, "door", "10", "20"),
    _operation("pull", "Bore for and mount a pull", Unit.EACH, "pull", "5", "5"),
    _operation("stain", "Stain and wipe off", Unit.SQUARE_FOOT, "ft²", "20", "1"),
    _operation("coat", "Put on a coat", Unit.SQUARE_FOOT, "ft² and coat", "20", "1"),
    _operation("scuff", "Scuff between coats", Unit.SQUARE_FOOT, "ft² and coat", "5", "1/2"),
    _operation("deliver", "Load, deliver and carry in", Unit.EACH, "trip", "30", "90", 2),
    _operation("fasten-strips", "Screw support strips to cabinets", Unit.EACH, "strip", "10", "5"),
    _operation("install-cabinet", "Set, level and fasten a cabinet", Unit.EACH, "cabinet", "20", "40"),
    _operation("install-top", "Set and fasten a top", Unit.EACH, "top", "20", "60", 2),
    _operation("bolt-recess", "Bore recesses for the bolts of a corner", Unit.EACH, "bolt", "15", "8"),
    _operation("bolt-up", "Pull a corner together with bolts", Unit.EACH, "bolt", "10", "4", 2),
    _operation("install-filler", "Scribe and fasten a filler", Unit.EACH, "filler", "10", "20"),
    _operation("install-toe-kick", "Fit and fasten a toe kick", Unit.EACH, "toe kick", "10", "15"),
    _operation("install-shelf", "Put in a shelf", Unit.EACH, "shelf", "0", "5"),
    _operation("install-part", "Fit and fasten a loose part", Unit.EACH, "part", "10", "10"),
    _operation("clean-up", "Protect the rooms and clean up", Unit.EACH, "visit", "0", "45"),
    _operation("hand-over", "Walk through and hand over", Unit.EACH, "job", "0", "45"),
)  # fmt: skip
"""Starting minutes have no source: none was found for cabinet-shop operations, so a shop measures its own."""

OPERATIONS: Mapping[str, Operation] = {operation.key: operation for operation in _ALL}

STARTING_SOURCE = "a starting value without a source: measure your own"


def starting_times() -> Mapping[str, OperationTime]:
    """Return our starting values for every operation, for a shop that says so to take over."""
    return {one.key: OperationTime(one.starting_setup, one.starting_each, one.crew) for one in _ALL}


def is_starting(key: str, time: OperationTime) -> bool:
    """Whether a time is our starting value still, which nobody in the shop has measured. Raises KeyError."""
    offered = OPERATIONS[key]
    return (time.setup, time.each) == (offered.starting_setup, offered.starting_each)


def minutes(work: Iterable[Work], times: Mapping[str, OperationTime]) -> Figure:
    """Return how long the work of one task keeps its crew at it [min]: setup once, each × quantity.

    Operations without a time are left out: ask unsaid() which. Raises KeyError for an unknown operation.
    """
    said = (one for one in _together(work) if _time(one.operation, times).is_said)
    return add_up("Attended time", [_minutes(one, times[one.operation]) for one in said], Unit.MINUTE)


def person_minutes(work: Iterable[Work], times: Mapping[str, OperationTime], crew: int = 1) -> Figure:
    """Return the minutes of all hands together [min]. crew: people the task itself asks for at least."""
    said = (one for one in _together(work) if _time(one.operation, times).is_said)
    return add_up("Labour", [_person_minutes(one, times[one.operation], crew) for one in said], Unit.MINUTE)


def unsaid(work: Iterable[Work], times: Mapping[str, OperationTime]) -> tuple[str, ...]:
    """Return the keys of operations in the work that have no time yet, in the catalogue's order."""
    used = {one.operation for one in work if not _time(one.operation, times).is_said}
    return tuple(key for key in OPERATIONS if key in used)


def _time(key: str, times: Mapping[str, OperationTime]) -> OperationTime:
    if key not in OPERATIONS:
        raise KeyError(f"no operation {key}")
    return times.get(key, OperationTime())


def _together(work: Iterable[Work]) -> Iterator[Work]:
    """Yield each operation once, its quantities added up, so that it is set up once."""
    found: dict[str, list[Figure]] = {}
    for one in work:
        found.setdefault(one.operation, []).append(one.quantity)
    for key, quantities in found.items():
        yield Work(key, together(OPERATIONS[key].name, quantities, OPERATIONS[key].unit))


def _minutes(work: Work, time: OperationTime) -> Figure:
    operation = OPERATIONS[work.operation]
    setup, each = _said(operation.key, time)
    value = setup.value + each.value * work.quantity.value
    rule = Rule(f"setting up once + minutes per {operation.per} × quantity", where=setup.rule.where)
    return Figure(operation.name, value, Unit.MINUTE, rule, (setup, each, work.quantity))


@lru_cache(maxsize=256)
def _said(key: str, time: OperationTime) -> tuple[Figure, Figure]:
    """Return what the shop says an operation takes to set up and per unit [min]; most tasks ask for the same few."""
    words, source = "as the shop says", "shop practice"
    if is_starting(key, time):
        words, source = "taken over as offered", STARTING_SOURCE
    said, per = Rule(words, source, f"operation:{key}"), OPERATIONS[key].per
    setup = Figure("Setting up", time.setup or Fraction(0), Unit.MINUTE, said)
    return setup, Figure(f"Minutes per {per}", time.each or Fraction(0), Unit.MINUTE, said)


def _person_minutes(work: Work, time: OperationTime, crew: int) -> Figure:
    once, people = _minutes(work, time), max(time.crew, crew)
    if people == 1:
        return once
    rule = Rule(
        "the greater of the shop's crew for it and the people the step needs",
        "shop practice",
        f"operation:{work.operation}",
    )
    hands = Figure("People at once", Fraction(people), Unit.EACH, rule)
    return Figure(once.label, once.value * people, Unit.MINUTE, Rule("minutes × people"), (once, hands))
