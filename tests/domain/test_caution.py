"""Each kind of work shows its usual caution, where a public source says so."""

from fractions import Fraction

import pytest

from domain.caution import (
    DUST,
    FOOD_CONTACT,
    FORMALDEHYDE,
    GOVERNS,
    ISOCYANATES,
    KICKBACK,
    LADDERS,
    LEAD_PAINT,
    LICENSED_TRADES,
    NOISE,
    OILY_RAGS,
    ONE_PERSON,
    SILICA,
    VAPOUR,
    cautions_for,
)
from domain.material import Material, MaterialKind
from domain.part import TaskKind

OILY = [
    "Hardwax oil",
    "Boiled linseed or tung oil",
    "Wiping varnish",
    "Oil-modified polyurethane",
    "Oil stain",
]
NOT_OILY = [
    "Waterborne polyurethane",
    "Shellac, 2 lb cut",
    "Nitrocellulose or pre-catalyzed lacquer, sprayed",
    "Food-safe mineral oil, with or without wax",
    "Waterborne dye stain",
]


def of_finish(name: str):
    return cautions_for([TaskKind.COAT], [Material(MaterialKind.FINISH, name)])


def of_glue(name: str):
    return cautions_for([TaskKind.GLUE_UP], [Material(MaterialKind.GLUE, name)])


def test_machining_warns_of_kickback_dust_and_noise():
    # Source: 29 CFR 1910.213, OSHA 3157; OSHA wood-dust page; 29 CFR 1910.95
    assert {KICKBACK, DUST, NOISE} <= set(cautions_for([TaskKind.MILL]))
    assert {KICKBACK, DUST, NOISE} <= set(cautions_for([TaskKind.CUT]))
    assert DUST in cautions_for([TaskKind.SAND])
    assert KICKBACK not in cautions_for([TaskKind.SAND])


@pytest.mark.parametrize("family", OILY)
def test_rags_of_drying_oils_heat_themselves(family):
    # Source: fire-department and university laboratory notices citing NFPA advice
    assert of_finish(family)[0] is OILY_RAGS
    assert "closed metal can" in OILY_RAGS.words


@pytest.mark.parametrize("family", NOT_OILY)
def test_rags_without_drying_oil_do_not(family):
    assert OILY_RAGS not in of_finish(family)


def test_isocyanates_are_named_where_they_may_be():
    # Source: OSHA isocyanate emphasis programme; 29 CFR 1910.134
    assert ISOCYANATES in of_glue("Polyurethane liquid, one part moisture cure")
    assert ISOCYANATES in of_finish("Waterborne polyurethane")
    assert ISOCYANATES not in of_glue("PVA interior")
    assert ISOCYANATES not in of_finish("Hardwax oil")


def test_formaldehyde_and_vapour_are_named():
    # Source: 29 CFR 1910.1048 and 1910.107, from memory
    assert FORMALDEHYDE in of_glue("Urea-formaldehyde, powder mixed with water")
    assert {FORMALDEHYDE, VAPOUR} <= set(of_finish("Conversion varnish, sprayed"))
    assert VAPOUR in of_finish("Nitrocellulose or pre-catalyzed lacquer, sprayed")
    assert VAPOUR in of_glue("Contact adhesive (chloroprene), solvent or water based")


def test_a_product_the_table_does_not_know_gets_the_careful_cautions():
    assert {OILY_RAGS, ISOCYANATES, VAPOUR} <= set(of_finish("the shop's own mixture"))
    assert ISOCYANATES in of_glue("polyurethane of another kind")


def test_lifting_above_51_lb_asks_for_a_second_person():
    # Source: NIOSH revised lifting equation, load constant 51 lb (23 kg)
    assert ONE_PERSON == 51
    assert not cautions_for([], heaviest_lb=Fraction(51))
    (caution,) = cautions_for([], heaviest_lb=Fraction("180.4"))
    assert caution.title == "Lifting 180 lb"
    assert "second person" in caution.words


def test_installing_leaves_water_gas_and_electric_to_licensed_trades():
    # Source: local codes; 29 CFR 1910.23; 40 CFR 745
    assert {LICENSED_TRADES, LADDERS, LEAD_PAINT} <= set(cautions_for([TaskKind.INSTALL]))


def test_cutting_stone_is_for_its_own_trade():
    # Source: 29 CFR 1926.1153 and 1910.1053, from memory
    stone = [Material(MaterialKind.OTHER, "quartz splash")]
    assert SILICA in cautions_for([TaskKind.CUT], stone)
    assert SILICA in cautions_for([TaskKind.INSTALL], stone)
    assert SILICA not in cautions_for([TaskKind.COAT], stone)


def test_food_waits_for_full_cure():
    # Source: 21 CFR 172.878, from memory; university extension newsletter
    assert FOOD_CONTACT in of_finish("Hardwax oil")
    assert FOOD_CONTACT not in of_finish("Oil stain")


def test_materials_do_not_warn_where_they_are_not_used():
    oil = [Material(MaterialKind.FINISH, "Hardwax oil")]
    assert OILY_RAGS not in cautions_for([TaskKind.MILL], oil)
    assert cautions_for([TaskKind.DELIVERY], oil) == ()


def test_each_caution_is_said_once_with_its_source():
    oils = [Material(MaterialKind.FINISH, family) for family in OILY]
    found = cautions_for(list(TaskKind), oils, Fraction(200))
    assert len(found) == len(set(found))
    assert all(caution.source and caution.words for caution in found)
    assert "local codes govern" in GOVERNS
