"""Habits of milling, waste, sheets and boards."""

from domain.figure import Unit
from domain.practice.habit import MEMORY, habit

PLYWOOD = "public plywood size references"

MEASURE_IT = "Measure yours: hardwood plywood varies, and metric panels are 6, 12 or 18 mm."

# fmt: off
MILLING = (
    habit("length_per_part", "Left on the length, rough", "Milling", "1", Unit.INCH, most="12"),
    habit("width_per_edge", "Left on each edge", "Milling", "1/8", Unit.INCH, most="2",
          help="Joint one edge, rip and joint the other."),
    habit("thickness_per_face", "Kept on each face of the dressed board", "Milling", "0", Unit.INCH,
          most="1/2",
          help="For flattening and sanding. With 1/64 a top of 1 3/4 in is bought as 10/4, not 8/4."),
    habit("kerf", "Saw kerf", "Milling", "1/8", Unit.INCH, most="1/2"),
    habit("extra_length", "Extra length until the last cut", "Milling", "7/2", Unit.INCH, most="12",
          help="Tops and long glue-ups stay 3 to 4 in long until the last cut."),
    habit("panel_trim", "Glued panel oversize, each edge", "Milling", "1/2", Unit.INCH, most="3",
          help="Ripped off a glued panel at the last cut to width: 1/4 to 1 in."),
    habit("narrowest_strip", "Narrowest strip in a top of mixed widths", "Milling", "2", Unit.INCH, least="3/4",
          most="12", help="As seen, the outer ones once the panel is ripped to its width."),
    habit("widest_board", "Widest board of a solid part", "Milling", "8", Unit.INCH, least="1", most="24",
          help="Wider shelves, fronts and panels are glued up from boards no wider than this."),
)

WASTE = (
    habit("hardwood_add_on", "Hardwood bought above net", "Waste", "7/40", Unit.SHARE,
          "furniture-making textbook, timber calculations: 15 to 20 % added", most="5"),
    habit("softwood_add_on", "Softwood bought above net", "Waste", "3/40", Unit.SHARE,
          "furniture-making textbook, timber calculations: 5 to 10 % added", most="5"),
    habit("sapwood_add_on", "More for walnut and cherry, with their sapwood", "Waste", "3/40", Unit.SHARE,
          "woodworking magazine reader service: 5 to 10 % added", most="5"),
    habit("common_add_on", "More for Common grades", "Waste", "3/10", Unit.SHARE,
          "woodworking magazine reader service: 30 % added", most="5"),
    habit("waste_share", "Lumber lost, of what is bought", "Waste", "3/10", Unit.SHARE,
          "cabinetmakers' forum survey, rough select hardwood in small shops: 20 to 40 % of the purchase",
          most="9/10", help="Used where a job reckons waste as a share of what is bought."),
)

SHEETS = (
    habit("sheet_width", "Plywood sheet, width", "Sheets", "48", Unit.INCH, PLYWOOD, least="6", most="120"),
    habit("sheet_length", "Plywood sheet, length", "Sheets", "96", Unit.INCH, PLYWOOD, least="6", most="240",
          help="Sheets of 120 and 144 in exist."),
    habit("fibreboard_width", "MDF and particleboard sheet, width", "Sheets", "49", Unit.INCH,
          MEMORY, least="6", most="120"),
    habit("fibreboard_length", "MDF and particleboard sheet, length", "Sheets", "97", Unit.INCH,
          MEMORY, least="6", most="240"),
    habit("sheet_trim", "Trimmed off each factory edge", "Sheets", "1/4", Unit.INCH, most="3"),
    habit("sheet_yield", "Usual yield of a sheet", "Sheets", "17/20", Unit.SHARE, least="1/10", most="1",
          help="Casework parts come out of 75 to 92 % of a sheet."),
    habit("plywood_density", "Plywood weighs", "Sheets", "36", Unit.POUND_PER_CUBIC_FOOT, MEMORY,
          least="10", most="80"),
    habit("fibreboard_density", "MDF and particleboard weigh", "Sheets", "48", Unit.POUND_PER_CUBIC_FOOT,
          MEMORY, least="10", most="80"),
    habit("sheet_offcut_width", "Offcut of a sheet worth keeping, at least wide", "Sheets", "8", Unit.INCH,
          most="60"),
    habit("sheet_offcut_length", "Offcut of a sheet worth keeping, at least long", "Sheets", "24", Unit.INCH,
          most="120"),
    habit("actual_1_4", "Nominal 1/4 plywood is", "Sheets", "7/32", Unit.INCH, PLYWOOD, least="1/16", most="2",
          help=MEASURE_IT),
    habit("actual_1_2", "Nominal 1/2 plywood is", "Sheets", "15/32", Unit.INCH, PLYWOOD, least="1/16", most="2",
          help=MEASURE_IT),
    habit("actual_5_8", "Nominal 5/8 plywood is", "Sheets", "19/32", Unit.INCH, MEMORY, least="1/16", most="2",
          help=MEASURE_IT),
    habit("actual_3_4", "Nominal 3/4 plywood is", "Sheets", "23/32", Unit.INCH, PLYWOOD, least="1/16", most="2",
          help=MEASURE_IT),
    habit("edge_strip_extra", "Edge strip bought above net", "Sheets", "1/10", Unit.SHARE, most="5",
          help="Ends that overhang and are trimmed flush."),
)

BOARDS = (
    habit("board_end_trim", "Trimmed off each end of a board", "Boards", "1", Unit.INCH, most="12",
          help="Ends check and pick up grit. Offcuts are taken as they lie."),
    habit("board_narrowest", "Narrowest board usually bought", "Boards", "6", Unit.INCH, least="1", most="24",
          help="Layouts on usual sizes; a grade's own least width counts when it is more."),
    habit("board_widest", "Widest board usually bought", "Boards", "9", Unit.INCH, least="1", most="36",
          help="Boards really listed on the rack may be wider."),
    habit("board_shortest", "Shortest board usually bought", "Boards", "96", Unit.INCH, least="12", most="480",
          help="A grade's own least length counts when it is more."),
    habit("board_longest", "Longest board usually bought", "Boards", "144", Unit.INCH, least="12", most="480",
          help="In steps of 2 ft from the shortest."),
    habit("offcut_width", "Offcut of a board worth keeping, at least wide", "Boards", "3", Unit.INCH, most="24"),
    habit("offcut_length", "Offcut of a board worth keeping, at least long", "Boards", "18", Unit.INCH, most="240"),
)
# fmt: on
