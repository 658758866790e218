"""Moisture, movement and weight against the Wood Handbook."""

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.figure import Figure, Unit, typed
from domain.length import Length
from domain.wood import (
    Cut,
    Species,
    emc_celsius,
    emc_fahrenheit,
    find_species,
    movement,
    movement_by_coefficient,
    movement_by_shrinkage,
    species,
    species_names,
    weight,
    weight_per_board_foot,
)

DATA = Path(__file__).parents[1] / "data"


def grid() -> list[tuple[int, Fraction, Fraction]]:
    """Return temperature [°F], relative humidity [share] and moisture [% MC] of every cell."""
    with (DATA / "emc.csv").open(encoding="utf-8", newline="") as table:
        return [
            (int(row["temperature_F"]), Fraction(row["relative_humidity_pct"]) / 100, Fraction(row["emc_pct"]))
            for row in csv.DictReader(table)
        ]


def board_change(wood: Species, cut: Cut, across: Length, start: Fraction, end: Fraction) -> Figure | None:
    return movement(wood, cut, typed("Width across the grain", across), moisture(start), moisture(end))


def test_equilibrium_moisture_agrees_with_the_handbook_table():
    # Source: US Forest Service, Wood Handbook, FPL-GTR-190 (2010), Table 4-2, 323 cells, 30 to 200 F
    cells = grid()
    assert len(cells) == 323
    for fahrenheit, humidity, printed in cells:
        celsius = Fraction(fahrenheit - 32) * 5 / 9
        for figure in (emc_fahrenheit(Fraction(fahrenheit), humidity), emc_celsius(celsius, humidity)):
            assert abs(figure.value - printed) < Fraction("0.1"), (fahrenheit, humidity)


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "printed", "by_fahrenheit", "by_celsius"),
    [
        # Source: Wood Handbook (2010) Table 4-2 as printed; three decimals computed from Eq. 4-5 elsewhere (W6 to W8)
        (70, "0.50", "9.2", "9.246", "9.242"),
        (70, "0.30", "6.2", "6.172", None),
        (70, "0.65", "12.0", "11.964", None),
        (30, "0.90", "21.0", "21.034", None),
    ],
)
def test_equilibrium_moisture_of_four_cells(fahrenheit, humidity, printed, by_fahrenheit, by_celsius):
    figure = emc_fahrenheit(Fraction(fahrenheit), Fraction(humidity))
    assert round(figure.value, 3) == Fraction(by_fahrenheit)
    assert abs(figure.value - Fraction(printed)) <= Fraction("0.05")
    if by_celsius:
        assert round(emc_celsius(Fraction(fahrenheit - 32) * 5 / 9, Fraction(humidity)).value, 3) == Fraction(
            by_celsius
        )


@given(st.integers(30, 209), st.integers(0, 99))
def test_wood_is_wetter_in_damper_air_and_dry_in_dry_air(fahrenheit, humidity):
    drier = emc_fahrenheit(Fraction(fahrenheit), Fraction(humidity, 100)).value
    wetter = emc_fahrenheit(Fraction(fahrenheit), Fraction(humidity + 1, 100)).value
    assert 0 <= drier < wetter < 40
    assert emc_fahrenheit(Fraction(fahrenheit), Fraction(0)).value == 0


@pytest.mark.parametrize(("temperature", "humidity"), [(29, "0.5"), (211, "0.5"), (70, "-0.1"), (70, "50")])
def test_air_outside_the_formula_is_refused(temperature, humidity):
    with pytest.raises(ValueError, match="not"):
        emc_fahrenheit(Fraction(temperature), Fraction(humidity))


def moisture(percent: int | str | Fraction) -> Figure:
    return typed("Moisture", Fraction(percent), Unit.MOISTURE)


def test_movement_agrees_with_a_flooring_reference():
    # Source: flooring reference: 5 in board, coefficient 0.00129, 6 to 9 % (W9)
    coefficient = typed("C", Fraction("0.00129"), Unit.COEFFICIENT)
    figure = movement_by_coefficient(typed("Width", Length.of(5)), coefficient, moisture(6), moisture(9))
    assert round(figure.value, 3) == Fraction("0.019")


def test_movement_agrees_with_a_woodworking_magazine():
    # Source: woodworking magazine: flat-sawn red alder 8 in, coefficient 0.0026, 6 points (W10)
    coefficient = typed("C", Fraction("0.0026"), Unit.COEFFICIENT)
    figure = movement_by_coefficient(typed("Width", Length.of(8)), coefficient, moisture(6), moisture(12))
    assert figure.value == Fraction("0.1248")


@pytest.mark.parametrize(("cut", "inches"), [(Cut.FLAT, "0.279"), (Cut.QUARTER, "0.138")])
def test_a_white_oak_top_swells_from_8_to_11_percent(cut, inches):
    # Source: computed from Wood Handbook (2010) Table 13-5: 25 1/2 in x 0.00365 or 0.00180 x 3 (W11)
    figure = board_change(species("White oak"), cut, Length.of("25.5"), Fraction(8), Fraction(11))
    assert figure is not None
    assert round(figure.value, 3) == Fraction(inches)


def test_the_same_top_by_total_shrinkage():
    # Source: computed from Wood Handbook (2010) ch. 13 and Table 4-3: 25.5 x 3 / (3000/10.5 - 30 + 8) (W12)
    shrinkage = typed("ST", Fraction("0.105"), Unit.SHARE)
    figure = movement_by_shrinkage(typed("Depth", Length.of("25.5")), shrinkage, moisture(8), moisture(11))
    assert round(figure.value, 3) == Fraction("0.290")


def test_a_hard_maple_panel_shrinks_from_9_to_6_percent():
    # Source: computed from Wood Handbook (2010) Table 13-5: 600 mm x 0.00353 x -3 (W13)
    figure = board_change(species("Hard maple (sugar maple)"), Cut.FLAT, Length.mm(600), Fraction(9), Fraction(6))
    assert figure is not None
    assert figure.length.in_mm == Fraction("-6.354")


def test_outside_6_to_14_percent_the_total_shrinkage_form_is_taken_and_said():
    oak = species("White oak")
    inside = board_change(oak, Cut.FLAT, Length.of(10), Fraction(6), Fraction(14))
    outside = board_change(oak, Cut.FLAT, Length.of(10), Fraction(6), Fraction(16))
    assert inside is not None
    assert outside is not None
    assert "coefficient" in inside.rule.words
    assert "shrinkage" in outside.rule.words


def test_green_wood_moves_no_more_than_at_fibre_saturation():
    # Source: Wood Handbook (2021) Eq. 4-9: from 30 % down to oven-dry a width loses its total shrinkage
    oak = species("White oak")
    green = board_change(oak, Cut.FLAT, Length.of(10), Fraction(80), Fraction(0))
    assert green is not None
    assert green.value == -10 * Fraction("0.105")


@given(st.integers(0, 30), st.integers(0, 30), st.sampled_from(species_names()), st.sampled_from(Cut))
def test_what_swells_shrinks_back_to_nearly_where_it_was(start, end, name, cut):
    wood = species(name)
    there = board_change(wood, cut, Length.of(10), Fraction(start), Fraction(end))
    if there is None:
        assert wood.coefficient(cut) is None
        return
    back = board_change(wood, cut, Length.of(10) + there.length, Fraction(end), Fraction(start))
    assert back is not None
    assert abs(there.value + back.value) <= abs(there.value) / 6
    assert (there.value > 0) == (end > start) or there.value == 0


def test_coefficients_follow_from_total_shrinkage_where_the_table_says_so():
    # Source: Wood Handbook (2010) ch. 13 by algebra: at 10 % MC, C = 1/(3000/S - 20), or 1/(2200/S - 12)
    checked = 0
    for wood in (species(name) for name in species_names()):
        for cut in Cut:
            shrinkage, coefficient = wood.shrinkage(cut), wood.coefficient(cut)
            if shrinkage is None or coefficient is None or wood.notes or wood.shrinks_below != 30:
                continue
            expected = 1 / (30 / shrinkage - 20)
            assert abs(coefficient - expected) < expected * Fraction(25, 1000), (wood.name, cut)
            checked += 1
    assert checked > 50


def test_ten_board_feet_of_white_oak_weigh_39_6_lb():
    # Source: Wood Handbook (2010) density relation: 62.43 x 0.68 x 1.12 / 12 lb a board foot (W23)
    figure = weight_per_board_foot("White oak")
    assert figure is not None
    assert round(10 * figure.value, 1) == Fraction("39.6")
    sizes = [typed("size", Length.of(size)) for size in (1, 12, 120)]
    assert weight("White oak", *sizes).value == 10 * figure.value


def test_thin_stock_weighs_what_it_weighs_not_what_it_is_counted_as():
    half = weight("White oak", *[typed("size", Length.of(size)) for size in ("1/2", 12, 12)])
    assert half is not None
    assert half.value == weight_per_board_foot("White oak").value / 2


def test_a_wood_of_unknown_density_has_no_weight():
    assert weight_per_board_foot("Padauk, African") is None


def test_every_species_is_found_in_any_case_and_says_its_source():
    assert len(species_names()) == 51
    for name in species_names():
        found = find_species(name.upper())
        assert found is not None
        assert found.source
    assert find_species("unobtainium") is None
    with pytest.raises(KeyError):
        species("unobtainium")
