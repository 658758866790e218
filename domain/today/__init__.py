"""What to do today, in order, and why: whose turn it is, what fits before the next timer, what to leave."""

from domain.today.day import todays_list
from domain.today.items import Doable, Noted, Today, Turn
from domain.today.timer import ENDS, Timer

__all__ = ["ENDS", "Doable", "Noted", "Timer", "Today", "Turn", "todays_list"]
