"""Habits that come from the house: what walls need, and what its air does to wood."""

from domain.figure import Unit
from domain.practice.habit import HANDBOOK, habit
from domain.wood import EMC_SOURCE

AVERAGES = "Over the United States 6 to 11 %, 8 % in most of it (Wood Handbook, Fig. 13-1, as quoted)."

# fmt: off
MEASURING = (
    habit("fitting_clearance", "Left free at each wall", "Measuring", "1/8", Unit.INCH, most="2",
          help="So that it goes in without scraping the wall."),
    habit("scribe_width", "Widest gap a scribe takes", "Measuring", "3/4", Unit.INCH, most="3",
          help="Left on an edge that is scribed to the wall."),
    habit("bead_width", "Usual bead covers", "Measuring", "1/2", Unit.INCH, most="3"),
    habit("tile_cover", "Wall tile covers", "Measuring", "1/4", Unit.INCH, most="3"),
    habit("caulk_width", "Caulk bridges", "Measuring", "1/4", Unit.INCH, most="1"),
)

MOISTURE = (
    habit("dry_temperature", "House in its driest season (winter, heating on), temperature", "Moisture", "70",
          Unit.FAHRENHEIT, least="30", most="120"),
    habit("dry_humidity", "House in its driest season, relative humidity", "Moisture", "3/10", Unit.SHARE, most="1",
          help="A cheap hygrometer in the client's house says it best. Heated winter air: 25 to 35 %."),
    habit("damp_temperature", "House in its dampest season (summer), temperature", "Moisture", "75",
          Unit.FAHRENHEIT, least="30", most="120"),
    habit("damp_humidity", "House in its dampest season, relative humidity", "Moisture", "3/5", Unit.SHARE,
          most="1", help="50 % with air conditioning, 60 to 70 % without."),
    habit("moisture_driest", "Wood in the house, driest season", "Moisture", "31/5", Unit.MOISTURE, EMC_SOURCE,
          least="2", most="25", help=f"Worked out from the air above unless you type it. {AVERAGES}",
          from_air=("dry_temperature", "dry_humidity")),
    habit("moisture_dampest", "Wood in the house, dampest season", "Moisture", "109/10", Unit.MOISTURE, EMC_SOURCE,
          least="2", most="25", help=f"Worked out from the air above unless you type it. {AVERAGES}",
          from_air=("damp_temperature", "damp_humidity")),
    habit("moisture_built", "Wood in the shop when it is built", "Moisture", "8", Unit.MOISTURE,
          f"{HANDBOOK}, Fig. 13-1, as quoted: most of the United States", least="2", most="25",
          help="Type what your meter reads in boards that have lain in the shop."),
    habit("moisture_within", "Lumber is used to the house within", "Moisture", "2", Unit.MOISTURE,
          "woodworkers' forums", least="1/2", most="6",
          help="Mill once the meter reads within this of what the wood will settle at in use."),
)
# fmt: on
