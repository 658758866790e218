"""Shop practice: the habits and allowances behind the figures, each with a source and open to change."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache

from domain.data import rows
from domain.figure import Figure, Rule, Unit
from domain.length import Length
from domain.season import Seasons, seasons, settled
from domain.wood import EMC_SOURCE

COMMON = "common practice, no source"
MEMORY = "from memory"

UNLIMITED = Fraction(100_000)
"""The most that a habit can be whose own nature sets no limit."""


@dataclass(frozen=True, slots=True)
class Practice:
    """One habit: its usual value, the range seen, and who says so.

    from_air: the habits of temperature [°F] and relative humidity that its usual value is worked out from, if any.
    """

    key: str
    label: str
    group: str
    usual: Fraction
    unit: Unit
    source: str = COMMON
    least: Fraction = Fraction(0)
    most: Fraction = UNLIMITED
    help: str = ""
    from_air: tuple[str, str] | None = None


def _practice(key: str, label: str, group: str, usual: str, unit: Unit, source: str = COMMON, *,
              least: str = "0", most: str | Fraction = UNLIMITED, help: str = "",
              from_air: tuple[str, str] | None = None) -> Practice:  # fmt: skip
    return Practice(key, label, group, Fraction(usual), unit, source, Fraction(least), Fraction(most), help, from_air)


HANDBOOK = "US Forest Service, Wood Handbook (FPL-GTR-190, 2010)"

LABEL = "A generic figure: type what the label of yours says."

AVERAGES = "Over the United States 6 to 11 %, 8 % in most of it (Wood Handbook, Fig. 13-1, as quoted)."

PLYWOOD = "public plywood size references"

MEASURE_IT = "Measure yours: hardwood plywood varies, and metric panels are 6, 12 or 18 mm."

SELDOM_BOUGHT = frozenset({"3/8", "1/2", "5/8", "3/4", "7/4", "14/4"})
"""Rough thicknesses few yards keep: common practice, no source. Who buys one types its dressed thickness."""


def slug(name: str) -> str:
    """Return the part of a family's name before a comma or bracket as a word for keys: `pva_interior`."""
    return re.sub(r"[^a-z0-9]+", "_", re.split(r"[,(]", name)[0].strip().lower())


def _cited(row: Mapping[str, str]) -> str:
    return f"{row['source']}; {row['confidence']}"


def _middle(row: Mapping[str, str], low: str, high: str) -> str:
    """Return the middle of a range, `0` where the table knows none."""
    return str((Fraction(row[low]) + Fraction(row[high])) / 2) if row[low] else "0"


def fahrenheit(celsius: Fraction) -> Fraction:
    """Return a temperature in °F."""
    return celsius * 9 / 5 + 32


def _dressed_thicknesses() -> Iterator[Practice]:
    for row in rows("thickness.csv"):
        quarter, table = row["quarter"], row["dressed_s2s_in"]
        key, label = f"dressed_{quarter.replace('/', '_')}", f"{quarter} dresses to"
        words = f"0: not bought. The hardwood table gives {Length.of(table).exact()} in."
        usual, source = ("0", COMMON) if quarter in SELDOM_BOUGHT else (table, _cited(row))
        yield _practice(key, label, "Rough thickness", usual, Unit.INCH, source, most="4", help=words)


def _glue_labels() -> Iterator[Practice]:
    for row in rows("adhesives.csv"):
        source, pva = _cited(row), row["family"].startswith("PVA")
        spread = _middle(row, "spread_lb_per_1000ft2_low", "spread_lb_per_1000ft2_high")
        clamped, bench = ("3", COMMON) if pva else (row["clamp_time_21C_h_high"], source)
        opens, machined = row["open_assembly_min_low"], row["before_machining_h"]
        closes, coldest = row["total_assembly_min_low"], str(fahrenheit(Fraction(row["min_use_temp_C"])))
        panels = "Makers leave panels in clamps 2 to 4 h. " if pva else ""
        for name, label, usual, unit, said_by, least, most, words in (
            ("open_time", "Open assembly time", opens, Unit.MINUTE, source, "1/2", "600", ""),
            ("total_time", "Under full pressure within", closes, Unit.MINUTE, source, "1/2", "1200", ""),
            ("least_temperature", "Not used below", coldest, Unit.FAHRENHEIT, source, "-20", "120", ""),
            ("spread", "Spread", spread, Unit.POUND_PER_1000_SQUARE_FEET, source, "0", "500", "0: unknown. "),
            ("density", "Density", row["density_lb_per_gal"], Unit.POUND_PER_GALLON, MEMORY, "4", "20", ""),
            ("clamp_time", "In clamps", clamped, Unit.HOUR, bench, "0", "168", panels),
            ("before_machining", "Glue-up to the next machine", machined, Unit.HOUR, bench, "0", "720", ""),
        ):
            yield _practice(
                f"{slug(row['family'])}_{name}", label, f"Glue: {row['family']}", usual, unit, said_by,
                least=least, most=most, help=words + LABEL,
            )  # fmt: skip


def _finish_labels() -> Iterator[Practice]:
    for row in rows("finishes.csv"):
        first = _middle(row, "coverage_first_coat_ft2_per_gal_low", "coverage_first_coat_ft2_per_gal_high")
        later = _middle(row, "coverage_next_coats_ft2_per_gal_low", "coverage_next_coats_ft2_per_gal_high")
        for name, label, usual, unit, least, most in (
            ("coverage_first", "First coat covers", first, Unit.SQUARE_FOOT_PER_GALLON, "20", "5000"),
            ("coverage_next", "Further coats cover", first if later == "0" else later,
             Unit.SQUARE_FOOT_PER_GALLON, "20", "5000"),
            ("recoat_opens", "Next coat not before", row["min_recoat_h"], Unit.HOUR, "0", "720"),
            ("recoat_closes", "Next coat without scuffing until (0: any time)",
             row["max_recoat_without_scuff_h"] or "0", Unit.HOUR, "0", "720"),
            ("dry_to_handle", "Dry to handle", row["dry_to_handle_h"], Unit.HOUR, "0", "720"),
            ("full_cure", "Full cure (0: never)", row["full_cure_days_high"] or "0", Unit.DAY, "0", "365"),
        ):  # fmt: skip
            yield _practice(f"{slug(row['family'])}_{name}", label, f"Finish: {row['family']}", usual, unit,
                            _cited(row), least=least, most=most, help=LABEL)  # fmt: skip


# fmt: off
_ALL = (
    _practice("length_per_part", "Left on the length, rough", "Milling", "1", Unit.INCH, most="12"),
    _practice("width_per_edge", "Left on each edge", "Milling", "1/8", Unit.INCH, most="2",
              help="Joint one edge, rip and joint the other."),
    _practice("thickness_per_face", "Kept on each face of the dressed board", "Milling", "0", Unit.INCH,
              most="1/2",
              help="For flattening and sanding. With 1/64 a top of 1 3/4 in is bought as 10/4, not 8/4."),
    *_dressed_thicknesses(),
    _practice("hardwood_add_on", "Hardwood bought above net", "Waste", "7/40", Unit.SHARE,
              "furniture-making textbook, timber calculations: 15 to 20 % added", most="5"),
    _practice("softwood_add_on", "Softwood bought above net", "Waste", "3/40", Unit.SHARE,
              "furniture-making textbook, timber calculations: 5 to 10 % added", most="5"),
    _practice("sapwood_add_on", "More for walnut and cherry, with their sapwood", "Waste", "3/40", Unit.SHARE,
              "woodworking magazine reader service: 5 to 10 % added", most="5"),
    _practice("common_add_on", "More for Common grades", "Waste", "3/10", Unit.SHARE,
              "woodworking magazine reader service: 30 % added", most="5"),
    _practice("waste_share", "Lumber lost, of what is bought", "Waste", "3/10", Unit.SHARE,
              "cabinetmakers' forum survey, rough select hardwood in small shops: 20 to 40 % of the purchase",
              most="9/10", help="Used where a job reckons waste as a share of what is bought."),
    _practice("sheet_width", "Plywood sheet, width", "Sheets", "48", Unit.INCH, PLYWOOD, least="6", most="120"),
    _practice("sheet_length", "Plywood sheet, length", "Sheets", "96", Unit.INCH, PLYWOOD, least="6", most="240",
              help="Sheets of 120 and 144 in exist."),
    _practice("fibreboard_width", "MDF and particleboard sheet, width", "Sheets", "49", Unit.INCH,
              MEMORY, least="6", most="120"),
    _practice("fibreboard_length", "MDF and particleboard sheet, length", "Sheets", "97", Unit.INCH,
              MEMORY, least="6", most="240"),
    _practice("sheet_trim", "Trimmed off each factory edge", "Sheets", "1/4", Unit.INCH, most="3"),
    _practice("sheet_yield", "Usual yield of a sheet", "Sheets", "17/20", Unit.SHARE, least="1/10", most="1",
              help="Casework parts come out of 75 to 92 % of a sheet."),
    _practice("plywood_density", "Plywood weighs", "Sheets", "36", Unit.POUND_PER_CUBIC_FOOT, MEMORY,
              least="10", most="80"),
    _practice("fibreboard_density", "MDF and particleboard weigh", "Sheets", "48", Unit.POUND_PER_CUBIC_FOOT,
              MEMORY, least="10", most="80"),
    _practice("glue_loss", "Glue lost to squeeze-out and pot", "Glue-up", "3/20", Unit.SHARE, most="5"),
    _practice("spread_seconds", "Spreading glue on a foot of joint", "Glue-up", "5", Unit.SECOND, least="1/2",
              most="600", help="By one person; two people take half. How many boards go at once hangs on it."),
    _practice("place_seconds", "Placing a board, or a part glued before", "Glue-up", "10", Unit.SECOND, least="1",
              most="3600", help="Not shared: a long board takes one person at each end."),
    _practice("clamp_seconds", "Setting one clamp", "Glue-up", "5", Unit.SECOND, least="1", most="600",
              help="Opened to its width beforehand; by one person, two people take half."),
    _practice("clamp_spacing", "Between clamps", "Glue-up", "8", Unit.INCH, least="1", most="48",
              help="Pressure spreads about 45 degrees from each jaw: closer on narrow outer boards."),
    _practice("clamp_from_end", "First clamp from the end", "Glue-up", "2", Unit.INCH, most="12"),
    _practice("clamp_opening", "Longest clamp opens to", "Glue-up", "48", Unit.INCH, least="4", most="240"),
    _practice("caul_spacing", "Between cauls", "Glue-up", "24", Unit.INCH, least="4", most="96",
              help="Straight battens across the boards, above and below, that keep a panel flat."),
    _practice("bench_length", "A glue-up on the bench is at most as long as", "Glue-up", "144", Unit.INCH, least="12",
              most="480", help="Bench, or horses and beams that lie flat."),
    _practice("planer_width", "Planer takes a width of", "Glue-up", "20", Unit.INCH, least="4", most="60",
              help="Parts of a wide panel are kept no wider than this where that takes no more glue-ups."),
    _practice("shop_temperature", "Shop, wood and glue are at", "Glue-up", "70", Unit.FAHRENHEIT, least="-20",
              most="120", help="70 °F is 21 °C. Type what the thermometer says in the cold season."),
    _practice("cold_doubling", "Clamp time and cure double for each so much colder than 70 °F", "Glue-up", "18",
              Unit.FAHRENHEIT, most="100", help="18 °F is 10 °C. 0: never longer, where the label says so."),
    _practice("clamp_force", "Force of one clamp", "Glue-up", "1050", Unit.POUND_FORCE,
              "magazine test of 3/4 in pipe clamps, measured, quoted in a forum", least="10", most="20000"),
    _practice("pressure_lightest", "Pressure on the lightest woods", "Glue-up", "100", Unit.PSI,
              f"{HANDBOOK}, p. 10-16, as quoted in a woodworking article", most="500"),
    _practice("pressure_densest", "Pressure on the densest woods", "Glue-up", "247", Unit.PSI,
              f"{HANDBOOK}, p. 10-16, as quoted in a woodworking article", most="500"),
    _practice("biscuit_spacing", "Between biscuits", "Joints", "10", Unit.INCH,
              "woodworking article: 8 to 12 in", least="1", most="48"),
    _practice("dowel_spacing", "Between dowels", "Joints", "6", Unit.INCH, least="1", most="48"),
    _practice("wood_screw_spacing", "Between screws", "Joints", "6", Unit.INCH, least="1", most="48"),
    _practice("hold_down_spacing", "Between screws that hold a top", "Joints", "12", Unit.INCH, least="1", most="48",
              help="About every foot, in slotted holes across the grain; 12 to 24 in."),
    _practice("fastener_keep_clear", "Fasteners stay clear of an end by", "Joints", "2", Unit.INCH,
              "woodworking article: about 2 in", most="24",
              help="Of the finished end, so that no saw meets one."),
    _practice("corner_bolt_spacing", "Between bolts that pull up the corner of a top", "Joints", "8", Unit.INCH,
              least="2", most="24", help="One to each 6 to 8 in of the joint."),
    _practice("corner_bolts_least", "Bolts in the corner of a top at least", "Joints", "3", Unit.EACH, least="1",
              most="12", help="2 or 3 in a shallow one."),
    _practice("spare_fasteners", "Spare fasteners and hardware", "Joints", "1/20", Unit.SHARE, most="5"),
    *_glue_labels(),
    _practice("finish_loss", "Finish lost in brush, roller and can", "Finishing", "1/10", Unit.SHARE,
              most="5", help="The coverage of sprayed families already counts normal overspray."),
    _practice("stain_under_film", "Oil stain dries under lacquer or waterborne", "Finishing", "72", Unit.HOUR,
              "how-to pages: 24 to 48 h, up to 72 h; the cautious value", most="720"),
    _practice("disc_area", "One disc sands", "Finishing", "10", Unit.SQUARE_FOOT, least="1", most="500",
              help="5 in random-orbit disc on hardwood; a 6 in disc about 15."),
    _practice("scuff_sheet_area", "One 9 x 11 in sheet scuffs", "Finishing", "30", Unit.SQUARE_FOOT,
              least="1", most="500"),
    *_finish_labels(),
    _practice("fitting_clearance", "Left free at each wall", "Measuring", "1/8", Unit.INCH, most="2",
              help="So that it goes in without scraping the wall."),
    _practice("scribe_width", "Widest gap a scribe takes", "Measuring", "3/4", Unit.INCH, most="3",
              help="Left on an edge that is scribed to the wall."),
    _practice("bead_width", "Usual bead covers", "Measuring", "1/2", Unit.INCH, most="3"),
    _practice("tile_cover", "Wall tile covers", "Measuring", "1/4", Unit.INCH, most="3"),
    _practice("caulk_width", "Caulk bridges", "Measuring", "1/4", Unit.INCH, most="1"),
    _practice("one_person_lift", "One person lifts at most", "Safety", "51", Unit.POUND,
              "NIOSH revised lifting equation, load constant 23 kg", least="1", most="51"),
    _practice("board_end_trim", "Trimmed off each end of a board", "Boards", "1", Unit.INCH, most="12",
              help="Ends check and pick up grit. Offcuts are taken as they lie."),
    _practice("board_narrowest", "Narrowest board usually bought", "Boards", "6", Unit.INCH, least="1", most="24",
              help="Layouts on usual sizes; a grade's own least width counts when it is more."),
    _practice("board_widest", "Widest board usually bought", "Boards", "9", Unit.INCH, least="1", most="36",
              help="Boards really listed on the rack may be wider."),
    _practice("board_shortest", "Shortest board usually bought", "Boards", "96", Unit.INCH, least="12", most="480",
              help="A grade's own least length counts when it is more."),
    _practice("board_longest", "Longest board usually bought", "Boards", "144", Unit.INCH, least="12", most="480",
              help="In steps of 2 ft from the shortest."),
    _practice("offcut_width", "Offcut of a board worth keeping, at least wide", "Boards", "3", Unit.INCH, most="24"),
    _practice("offcut_length", "Offcut of a board worth keeping, at least long", "Boards", "18", Unit.INCH, most="240"),
    _practice("sheet_offcut_width", "Offcut of a sheet worth keeping, at least wide", "Sheets", "8", Unit.INCH,
              most="60"),
    _practice("sheet_offcut_length", "Offcut of a sheet worth keeping, at least long", "Sheets", "24", Unit.INCH,
              most="120"),
    _practice("kerf", "Saw kerf", "Milling", "1/8", Unit.INCH, most="1/2"),
    _practice("extra_length", "Extra length until the last cut", "Milling", "7/2", Unit.INCH, most="12",
              help="Tops and long glue-ups stay 3 to 4 in long until the last cut."),
    _practice("panel_trim", "Glued panel oversize, each edge", "Milling", "1/2", Unit.INCH, most="3",
              help="Ripped off a glued panel at the last cut to width: 1/4 to 1 in."),
    _practice("narrowest_strip", "Narrowest strip in a top of mixed widths", "Milling", "2", Unit.INCH, least="3/4",
              most="12", help="As seen, the outer ones once the panel is ripped to its width."),
    _practice("widest_board", "Widest board of a solid part", "Milling", "8", Unit.INCH, least="1", most="24",
              help="Wider shelves, fronts and panels are glued up from boards no wider than this."),
    _practice("actual_1_4", "Nominal 1/4 plywood is", "Sheets", "7/32", Unit.INCH, PLYWOOD, least="1/16", most="2",
              help=MEASURE_IT),
    _practice("actual_1_2", "Nominal 1/2 plywood is", "Sheets", "15/32", Unit.INCH, PLYWOOD, least="1/16", most="2",
              help=MEASURE_IT),
    _practice("actual_5_8", "Nominal 5/8 plywood is", "Sheets", "19/32", Unit.INCH, MEMORY, least="1/16", most="2",
              help=MEASURE_IT),
    _practice("actual_3_4", "Nominal 3/4 plywood is", "Sheets", "23/32", Unit.INCH, PLYWOOD, least="1/16", most="2",
              help=MEASURE_IT),
    _practice("edge_strip_extra", "Edge strip bought above net", "Sheets", "1/10", Unit.SHARE, most="5",
              help="Ends that overhang and are trimmed flush."),
    _practice("case_dowel_spacing", "Between dowels in a case corner", "Joints", "480/127", Unit.INCH, least="1",
              most="48", help="96 mm on a 32 mm pattern; 64 to 128 mm."),
    _practice("strip_screw_spacing", "Between screws in a support strip", "Joints", "12", Unit.INCH, least="1",
              most="48", help="About every foot."),
    _practice("screw_below_surface", "Screw tips stay below a top's surface by", "Joints", "1/4", Unit.INCH,
              least="1/16", most="1"),
    _practice("joint_stays_fresh", "Jointed edges are glued within", "Glue-up", "72", Unit.HOUR, least="1", most="720",
              help="Longer, and edges that moved or gathered dust are jointed again."),
    _practice("dry_temperature", "House in its driest season (winter, heating on), temperature", "Moisture", "70",
              Unit.FAHRENHEIT, least="30", most="120"),
    _practice("dry_humidity", "House in its driest season, relative humidity", "Moisture", "3/10", Unit.SHARE, most="1",
              help="A cheap hygrometer in the client's house says it best. Heated winter air: 25 to 35 %."),
    _practice("damp_temperature", "House in its dampest season (summer), temperature", "Moisture", "75",
              Unit.FAHRENHEIT, least="30", most="120"),
    _practice("damp_humidity", "House in its dampest season, relative humidity", "Moisture", "3/5", Unit.SHARE,
              most="1", help="50 % with air conditioning, 60 to 70 % without."),
    _practice("moisture_driest", "Wood in the house, driest season", "Moisture", "31/5", Unit.MOISTURE, EMC_SOURCE,
              least="2", most="25", help=f"Worked out from the air above unless you type it. {AVERAGES}",
              from_air=("dry_temperature", "dry_humidity")),
    _practice("moisture_dampest", "Wood in the house, dampest season", "Moisture", "109/10", Unit.MOISTURE, EMC_SOURCE,
              least="2", most="25", help=f"Worked out from the air above unless you type it. {AVERAGES}",
              from_air=("damp_temperature", "damp_humidity")),
    _practice("moisture_built", "Wood in the shop when it is built", "Moisture", "8", Unit.MOISTURE,
              f"{HANDBOOK}, Fig. 13-1, as quoted: most of the United States", least="2", most="25",
              help="Type what your meter reads in boards that have lain in the shop."),
    _practice("moisture_within", "Lumber is used to the house within", "Moisture", "2", Unit.MOISTURE,
              "woodworkers' forums", least="1/2", most="6",
              help="Mill once the meter reads within this of what the wood will settle at in use."),
    _practice("top_held_at_back", "A top is held fast along its back (1) or its front (0)", "Joints", "0", Unit.EACH,
              most="1", help="Held at the front, the overhang stays and the back moves behind its cover."),
    _practice("slot_shank", "Slots are longer than the movement by", "Joints", "11/64", Unit.INCH, least="1/16",
              most="1", help="The shank of the hold-down screw: 11/64 for a #8."),
    _practice("shelf_play", "Adjustable shelf shorter than its opening by", "Cabinets", "1/8", Unit.INCH, most="1"),
    _practice("shelf_setback", "Shelf behind the front edge", "Cabinets", "1/4", Unit.INCH, most="3"),
    _practice("panel_play", "Panels and bottoms smaller than their grooves", "Cabinets", "1/8", Unit.INCH, most="1",
              help="In both directions, so that they move freely."),
    _practice("groove_depth", "Grooves are deep", "Cabinets", "1/4", Unit.INCH, least="1/16", most="1"),
    _practice("frame_groove_depth", "Grooves and stub tenons of door frames", "Cabinets", "3/8", Unit.INCH,
              least="1/8", most="2"),
    _practice("front_gap", "Gap around inset fronts and doors", "Cabinets", "3/32", Unit.INCH, most="1/2"),
    _practice("side_slide_gap", "Side-mounted slide, each side", "Cabinets", "1/2", Unit.INCH, most="2",
              help="The maker's sheet of the slide governs."),
    _practice("under_slide_gap", "Box under-mounted on slides, gap each side", "Cabinets", "3/16", Unit.INCH, most="2",
              help="The maker's sheet of the slide governs."),
    _practice("drawer_height_less", "Drawer box lower than its opening by", "Cabinets", "1", Unit.INCH, most="6"),
    _practice("behind_drawer", "Left free behind a drawer", "Cabinets", "1/2", Unit.INCH, most="6"),
    _practice("feet_per_cabinet", "Leveling feet of a cabinet", "Cabinets", "4", Unit.EACH, least="3", most="12"),
    _practice("acclimation_days", "Lumber lies in the shop before milling", "Plan", "10", Unit.DAY,
              "woodworkers' forums: 3 to 21 days, 1 to 2 weeks most often", most="90",
              help="Better: until its moisture content is within 2 points of what it will be in use."),
    _practice("first_coat_within", "First coat on site after install within", "Plan", "48", Unit.HOUR, least="1",
              most="720", help="Bare wood takes up damp and dirt until it is coated."),
    _practice("scuff_between_coats", "Scuff between coats (1: always, 0: once the window has closed)", "Plan", "0",
              Unit.EACH, most="1", help="Always scuffed, a coat no longer has a latest time."),
    _practice("price_age_days", "Days until a price is called old", "Prices", "90", Unit.DAY, least="1",
              most="3650", help="An old price still counts; the estimate says that it is old."),
)
# fmt: on

PRACTICES: Mapping[str, Practice] = {practice.key: practice for practice in _ALL}


@dataclass(frozen=True, slots=True)
class Owned:
    """How many clamps and benches the shop has, as its profile says."""

    clamps: int
    benches: int


@dataclass(frozen=True, slots=True)
class ShopPractice:
    """The shop's practice: usual values, and those the shop has changed. owned: None while nobody has said it."""

    changed: Mapping[str, Fraction] = field(default_factory=dict)
    owned: Owned | None = None
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_hash", hash((frozenset(self.changed.items()), self.owned)))

    def __hash__(self) -> int:
        """Pieces keep what they built by the practice it was built with, looked up again and again."""
        return self._hash

    def value(self, key: str) -> Fraction:
        """Return the value in its own unit. Raises KeyError for an unknown key."""
        if key in self.changed:
            return self.changed[key]
        practice = PRACTICES[key]
        return self.usual(key).value if practice.from_air else practice.usual

    def length(self, key: str) -> Length:
        return self.figure(key).length

    def figure(self, key: str) -> Figure:
        """Return the value as a figure with its source and the place to change it."""
        if key not in self.changed:
            return self.usual(key)
        practice = PRACTICES[key]
        rule = Rule("set by the shop", "shop practice", f"practice:{key}")
        return Figure(practice.label, self.changed[key], practice.unit, rule)

    def usual(self, key: str) -> Figure:
        """Return the value it has while the shop has not changed it: published, common, or worked out from the air."""
        practice = PRACTICES[key]
        if practice.from_air is None:
            return _usual(key)
        temperature, humidity = (self.figure(name) for name in practice.from_air)
        return settled(practice.label, temperature, humidity, f"practice:{key}")

    @property
    def seasons(self) -> Seasons:
        """Return the moisture of wood as it is built and in the house from season to season [% MC]."""
        return seasons(*(self.figure(f"moisture_{name}") for name in ("built", "driest", "dampest")))


@cache
def _usual(key: str) -> Figure:
    practice = PRACTICES[key]
    return Figure(
        practice.label, practice.usual, practice.unit, Rule("usual value", practice.source, f"practice:{key}")
    )
