"""Habits of cabinets: plays, gaps and grooves."""

from domain.figure import Unit
from domain.practice.habit import habit

# fmt: off
CABINETS = (
    habit("shelf_play", "Adjustable shelf shorter than its opening by", "Cabinets", "1/8", Unit.INCH, most="1"),
    habit("shelf_setback", "Shelf behind the front edge", "Cabinets", "1/4", Unit.INCH, most="3"),
    habit("panel_play", "Panels and bottoms smaller than their grooves", "Cabinets", "1/8", Unit.INCH, most="1",
          help="In both directions, so that they move freely."),
    habit("groove_depth", "Grooves are deep", "Cabinets", "1/4", Unit.INCH, least="1/16", most="1"),
    habit("frame_groove_depth", "Grooves and stub tenons of door frames", "Cabinets", "3/8", Unit.INCH,
          least="1/8", most="2"),
    habit("front_gap", "Gap around inset fronts and doors", "Cabinets", "3/32", Unit.INCH, most="1/2"),
    habit("side_slide_gap", "Side-mounted slide, each side", "Cabinets", "1/2", Unit.INCH, most="2",
          help="The maker's sheet of the slide governs."),
    habit("under_slide_gap", "Box under-mounted on slides, gap each side", "Cabinets", "3/16", Unit.INCH, most="2",
          help="The maker's sheet of the slide governs."),
    habit("drawer_height_less", "Drawer box lower than its opening by", "Cabinets", "1", Unit.INCH, most="6"),
    habit("behind_drawer", "Left free behind a drawer", "Cabinets", "1/2", Unit.INCH, most="6"),
    habit("feet_per_cabinet", "Leveling feet of a cabinet", "Cabinets", "4", Unit.EACH, least="3", most="12"),
)
# fmt: on
