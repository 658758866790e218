"""Glue, clamps and fasteners, against worked examples; trade checks are marked as what they are."""

from fractions import Fraction
from itertools import pairwise

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.adhesive import adhesive, adhesive_families, open_assembly_time, total_assembly_time
from domain.clamp import caul_pairs, clamp_places, clamps, clamps_by_pressure, clamps_by_spacing, joint_pressure
from domain.cure import clamp_time, cure_before_machining
from domain.figure import Figure, Unit, count, typed
from domain.glue_up import Fastening, fastener_places, fasteners, glue_needed, glued_area, kept_clear
from domain.length import Length
from domain.part import Joint
from domain.practice import COMMON, ShopPractice
from domain.problem import Problem

USUAL = ShopPractice()
PVA = "PVA interior"
POLYURETHANE = "Polyurethane liquid, one part moisture cure"
EPOXY = "Epoxy, two part"
CONTACT = "Contact adhesive (chloroprene), solvent or water based"
UNITS = pint.UnitRegistry(non_int_type=Fraction)


def inches(size: str | int) -> Figure:
    return typed("size", Length.of(size))


def a_joint(length="96", width="3/2", number=1, glue=PVA) -> Joint:
    return Joint("edge joint", number, Length.of(length), Length.of(width), glue)


def test_seven_clamps_press_a_joint_at_175_psi():
    # Source: computed from force = pressure x area (Wood Handbook 2010 p. 10-16): 3/4 x 48 in, 1000 lbf clamps (W20)
    pressure, force = typed("p", 175, Unit.PSI), typed("f", 1000, Unit.POUND_FORCE)
    figure = clamps_by_pressure(inches(48), inches("3/4"), pressure, force)
    assert figure.came_from[0].value == 6300
    assert figure.value == 7


def test_a_joint_of_the_forum_needs_its_force():
    # Source: forum arithmetic: 3 in x 96 in at 1200 psi is 345,600 lbf (W19)
    figure = clamps_by_pressure(inches(96), inches(3), typed("p", 1200, Unit.PSI), typed("f", 1, Unit.POUND_FORCE))
    assert figure.came_from[0].value == 345_600


def test_a_glue_line_of_a_square_foot_takes_its_spread():
    # Source: computed: 1-1/2 x 96 in at 45 lb per 1000 ft2 is 0.045 lb, 20.4 g (W21); pint for the grams and ounces
    practice = ShopPractice({"pva_interior_spread": Fraction(45), "glue_loss": Fraction(0)})
    glue = glue_needed([a_joint()], PVA, practice)
    assert isinstance(glue, Figure)
    density = Fraction(UNITS.Quantity(practice.value("pva_interior_density"), "lb/gallon").to("lb/floz").magnitude)
    pounds = glue.value * density
    assert pounds == Fraction("0.045")
    assert round(Fraction(UNITS.Quantity(pounds, "lb").to("gram").magnitude), 1) == Fraction("20.4")


def test_spread_rates_agree_with_their_metric_column():
    # Source: exact definitions, by way of pint: 1 lb per 1000 ft2 is 4.88243 g/m2
    for family in adhesive_families():
        spread = adhesive(family).spread
        if spread:
            grams = UNITS.Quantity(spread[0] / 1000, "lb/foot^2").to("gram/meter^2").magnitude
            assert grams / spread[0] == pytest.approx(4.88243, abs=1e-5)


def test_glue_counts_only_joints_of_its_family_and_adds_the_loss():
    joints = [a_joint(number=4), a_joint(glue=EPOXY)]
    glue = glue_needed(joints, PVA, USUAL)
    without = glue_needed(joints, PVA, ShopPractice({"glue_loss": Fraction(0)}))
    assert isinstance(glue, Figure)
    assert isinstance(without, Figure)
    assert glue.value == without.value * Fraction(115, 100)
    assert glued_area(joints).value == 5
    assert "practice:pva_interior_spread" in {figure.rule.where for figure in glue.walk()}


def test_glue_of_unknown_spread_is_a_problem_and_not_a_silent_zero():
    problem = glue_needed([a_joint(glue=CONTACT)], CONTACT, USUAL)
    assert isinstance(problem, Problem)
    assert "Type its label's figure in Practice" in problem.words


def test_trade_checks_of_time():
    # Source: common practice, no source: close within 5 min, clamps on for 2 to 4 h, a machine after 24 h
    assert open_assembly_time(PVA, USUAL).value == 5
    assert total_assembly_time(PVA, USUAL).value == 10
    assert 2 <= clamp_time(PVA, USUAL).value <= 4
    assert clamp_time(PVA, USUAL).rule.source == COMMON
    assert cure_before_machining(PVA, USUAL).value == 24
    # Source: adhesive trade article: one-part polyurethane, clamps 2 to 4 h
    assert 2 <= clamp_time(POLYURETHANE, USUAL).value <= 4


def test_the_label_governs():
    label = ShopPractice({"pva_interior_clamp_time": Fraction(1, 2)})
    assert clamp_time(PVA, label).value == Fraction(1, 2)
    assert clamp_time(PVA, label).rule.source == "shop practice"


@pytest.mark.parametrize("family", adhesive_families())
def test_every_family_has_its_times_and_says_who_says_so(family):
    for figure in (open_assembly_time, clamp_time, cure_before_machining):
        assert figure(family, USUAL).rule.source
    assert cure_before_machining(family, USUAL).value >= clamp_time(family, USUAL).value
    found = adhesive(family)
    assert found.open_assembly[0] <= found.open_assembly[1]
    assert found.hazards
    assert "from memory" in found.source


def test_an_unknown_family_is_an_error():
    for ask in (adhesive, lambda name: clamp_time(name, USUAL)):
        with pytest.raises(KeyError):
            ask("library paste")


def test_pressure_rises_from_the_lightest_to_the_densest_wood():
    # Source: Wood Handbook (2010) p. 10-16: 100 psi for low-density, up to 247 psi for the densest woods
    assert joint_pressure("Western redcedar", USUAL).value == 100
    assert joint_pressure("Ipe (lapacho group)", USUAL).value == 247
    # Source: trade practice between the two: 125 to 175 psi at specific gravity about 0.50, from memory
    assert 125 <= joint_pressure("Black cherry", USUAL).value <= 175
    unknown = joint_pressure("unobtainium", USUAL)
    assert unknown.value == Fraction(100 + 247, 2)
    assert "not known" in unknown.rule.words


def test_clamps_are_the_greater_of_spacing_and_pressure():
    wide, thin = inches(108), inches("3/4")
    strong = ShopPractice({"clamp_force": Fraction(20_000)})
    assert clamps(wide, thin, "White oak", PVA, strong).value == clamps_by_spacing(wide, strong).value == 14
    weak = ShopPractice({"clamp_force": Fraction(370)})
    by_pressure = clamps_by_pressure(wide, thin, joint_pressure("White oak", weak), weak.figure("clamp_force"))
    assert clamps(wide, thin, "White oak", PVA, weak).value == by_pressure.value > 14


def test_epoxy_is_only_held_together_and_contact_adhesive_needs_no_clamps():
    assert (
        clamps(inches(108), inches(2), "White oak", EPOXY, USUAL).value == clamps_by_spacing(inches(108), USUAL).value
    )
    assert clamps(inches(108), inches(2), "White oak", CONTACT, USUAL).value == 0


@given(st.fractions(1, 300))
def test_clamps_are_never_further_apart_than_the_shop_says(length):
    number = clamps_by_spacing(typed("length", Length(length)), USUAL).value
    assert number >= 2
    assert max(length - 4, 0) / (number - 1) <= 8


# Fasteners in joints.


@given(st.fractions(1, 300), st.fractions(0, 12), st.sampled_from(Fastening))
def test_fasteners_keep_clear_of_the_ends_and_of_what_is_cut_off_last(length, extra, kind):
    glued = typed("glued", Length(length + extra))
    number = fasteners(kind, glued, USUAL, extra_length=typed("extra", Length(extra))).value
    spacing = USUAL.value(f"{kind.name.lower()}_spacing")
    assert number == fasteners(kind, typed("finished", Length(length)), USUAL).value
    if length < 4:
        assert number == 0
    else:
        assert number >= 1
        assert (number - 1) * spacing >= length - 4 > (number - 2) * spacing


def test_biscuits_in_a_nine_foot_top():
    # Source: woodworking article: 8 to 12 in apart, about 2 in from a joint's end; here 10 in: 104/10 -> 11 spaces
    figure = fasteners(Fastening.BISCUIT, inches("223/2"), USUAL, extra_length=inches("7/2"), joints=6)
    assert figure.value == 6 * 12


@given(st.fractions(4, 300), st.fractions(0, 12), st.sampled_from(Fastening))
def test_every_fastener_stands_between_the_places_the_last_cut_and_the_ends_keep_clear(length, extra, kind):
    glued, cut_off = typed("glued", Length(length + extra)), typed("extra", Length(extra))
    places = [place.value for place in fastener_places(kind, glued, USUAL, extra_length=cut_off)]
    left, right = kept_clear(glued, USUAL, extra_length=cut_off)
    assert len(places) == fasteners(kind, glued, USUAL, extra_length=cut_off).value
    assert left.value == right.value == extra / 2 + 2
    assert places[0] == left.value, "2 in within the finished end"
    assert places[-1] == glued.value - right.value
    assert all(after - before <= USUAL.value(f"{kind.name.lower()}_spacing") for before, after in pairwise(places))


def test_biscuits_stand_about_a_foot_apart():
    # Source: woodworking article: every 8 to 12 in; a 10 ft top kept 3 1/2 in long: first 3 3/4 in from the glued end
    places = fastener_places(Fastening.BISCUIT, inches("247/2"), USUAL, extra_length=inches("7/2"))
    assert [place.value for place in places[:2]] == [Fraction(15, 4), Fraction(15, 4) + Fraction(116, 12)]
    assert 8 <= places[1].value - places[0].value <= 12
    assert len(places) == 13


def test_extra_length_cut_off_at_one_end_is_kept_clear_there():
    glued, extra = inches("127/2"), inches("7/2")
    places = fastener_places(Fastening.BISCUIT, glued, USUAL, extra_length=extra, ends_cut=1)
    assert [figure.value for figure in kept_clear(glued, USUAL, extra_length=extra, ends_cut=1)] == [2, Fraction(11, 2)]
    assert (places[0].value, places[-1].value) == (2, 58)


def test_a_joint_too_short_for_its_ends_gets_no_fastener():
    assert fastener_places(Fastening.DOWEL, inches(3), USUAL) == ()


# Where clamps and cauls stand.


@given(st.fractions(1, 300), st.integers(2, 60))
def test_clamps_stand_equally_far_apart_and_as_far_from_both_ends(length, many):
    glued = typed("glued", Length(length))
    places = [place.value for place in clamp_places(glued, count("Clamps", many, "said"), USUAL)]
    assert len(places) == many
    assert places[0] == length - places[-1] == min(Fraction(2), length / 4)
    assert len({after - before for before, after in pairwise(places)}) == 1


@given(st.fractions(1, 300))
def test_clamps_by_spacing_stand_no_further_apart_than_the_shop_says(length):
    glued = typed("glued", Length(length))
    places = [place.value for place in clamp_places(glued, clamps_by_spacing(glued, USUAL), USUAL)]
    assert all(after - before <= 8 for before, after in pairwise(places))


def test_a_glue_without_clamps_has_no_places_for_them():
    assert clamp_places(inches(48), count("Clamps", 0, "none"), USUAL) == ()


def test_a_ten_foot_top_lies_between_six_pairs_of_cauls():
    # (123 1/2 - 2 x 2) / 24 = 4.98 -> 5 spaces
    assert caul_pairs(inches("247/2"), USUAL).value == 6
    assert caul_pairs(inches(10), USUAL).value == 2
