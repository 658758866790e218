"""Habits of finishing, lifting, planning and pricing."""

from domain.figure import Unit
from domain.practice.habit import habit

# fmt: off
FINISHING = (
    habit("finish_loss", "Finish lost in brush, roller and can", "Finishing", "1/10", Unit.SHARE,
          most="5", help="The coverage of sprayed families already counts normal overspray."),
    habit("stain_under_film", "Oil stain dries under lacquer or waterborne", "Finishing", "72", Unit.HOUR,
          "how-to pages: 24 to 48 h, up to 72 h; the cautious value", most="720"),
    habit("dust_free_share", "A coat takes no dust after, of the time until the next coat", "Finishing", "1/2",
          Unit.SHARE, most="2",
          help="Nobody sands or mills in the room before. Cautious; where the label says sooner, type less."),
    habit("dust_free_least", "A coat takes no dust after at least", "Finishing", "1", Unit.HOUR, most="72"),
    habit("disc_area", "One disc sands", "Finishing", "10", Unit.SQUARE_FOOT, least="1", most="500",
          help="5 in random-orbit disc on hardwood; a 6 in disc about 15."),
    habit("scuff_sheet_area", "One 9 x 11 in sheet scuffs", "Finishing", "30", Unit.SQUARE_FOOT,
          least="1", most="500"),
)

SAFETY = (
    habit("one_person_lift", "One person lifts at most", "Safety", "51", Unit.POUND,
          "NIOSH revised lifting equation, load constant 23 kg", least="1", most="51"),
)

PLAN = (
    habit("acclimation_days", "Lumber lies in the shop before milling", "Plan", "10", Unit.DAY,
          "woodworkers' forums: 3 to 21 days, 1 to 2 weeks most often", most="90",
          help="Better: until its moisture content is within 2 points of what it will be in use."),
    habit("first_coat_within", "First coat on site after install within", "Plan", "48", Unit.HOUR, least="1",
          most="720", help="Bare wood takes up damp and dirt until it is coated."),
    habit("scuff_between_coats", "Scuff between coats (1: always, 0: once the window has closed)", "Plan", "0",
          Unit.EACH, most="1", help="Always scuffed, a coat no longer has a latest time."),
    habit("work_at_best", "Hands-on work takes at best, of its usual time", "Plan", "4/5", Unit.SHARE, least="1/10",
          most="1", help="Until enough of the shop's own work is finished to learn from."),
    habit("work_at_worst", "Hands-on work takes at worst, of its usual time", "Plan", "19/10", Unit.SHARE, least="1",
          most="10", help="Until enough of the shop's own work is finished to learn from."),
    habit("promise_share", "A promise holds in such a share of cases", "Plan", "9/10", Unit.SHARE, least="1/2",
          most="99/100"),
)

PRICES = (
    habit("price_age_days", "Days until a price is called old", "Prices", "90", Unit.DAY, least="1",
          most="3650", help="An old price still counts; the estimate says that it is old."),
    habit("price_rise", "Prices rise in a year by", "Prices", "4/100", Unit.SHARE, most="1",
          help="Only for the contingency that is suggested; nothing is added to a price."),
)
# fmt: on
