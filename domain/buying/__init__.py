"""The buying plan: which boards and sheets a job's parts are cut from, and what of them has to be bought."""

from domain.buying.plan import buying_plan
from domain.buying.shape import BuyingPlan, MaterialPlan, OnHand, Round, SizeUsed, Stand
from domain.buying.take_off import job_take_off

__all__ = [
    "BuyingPlan",
    "MaterialPlan",
    "OnHand",
    "Round",
    "SizeUsed",
    "Stand",
    "buying_plan",
    "job_take_off",
]
