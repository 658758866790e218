"""What wood settles at from season to season, against the Wood Handbook's table."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import with_habits
from domain.figure import Unit, typed
from domain.practice import PRACTICES, ShopPractice
from domain.season import ready_to_mill, settled


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "printed"),
    [
        # Source: US Forest Service, Wood Handbook, FPL-GTR-190 (2010), Table 4-2 as printed
        ("70", "0.30", "6.2"),
        ("70", "0.50", "9.2"),
        ("70", "0.65", "12.0"),
        ("30", "0.90", "21.0"),
    ],
)
def test_the_house_settles_wood_at_what_the_handbook_prints(fahrenheit: str, humidity: str, printed: str) -> None:
    practice = with_habits(dry_temperature=fahrenheit, dry_humidity=humidity)
    assert practice.figure("moisture_driest").value == Fraction(printed)


def test_usual_seasons_lie_within_the_averages_of_the_united_states() -> None:
    # Source: Wood Handbook (2010), Fig. 13-1, as quoted: 6 to 11 % MC indoors, 8 % in most of the country
    seasons = ShopPractice().seasons
    assert 6 <= seasons.driest.value < seasons.built.value == 8 < seasons.dampest.value <= 11


def test_a_usual_value_worked_out_is_the_one_the_list_says() -> None:
    for key, practice in PRACTICES.items():
        assert ShopPractice().usual(key).value == practice.usual, key


def test_a_moisture_the_shop_typed_itself_counts_whatever_the_air_is() -> None:
    practice = with_habits(moisture_driest="7", dry_humidity="0.5", damp_humidity="0.7")
    assert practice.seasons.driest.value == 7
    assert practice.seasons.driest.rule.words == "set by the shop"
    assert practice.usual("moisture_driest").value == Fraction("9.2"), "what it goes back to"
    assert practice.seasons.dampest.value > Fraction(12)


def test_worked_out_moisture_opens_to_temperature_humidity_and_formula() -> None:
    driest = ShopPractice().seasons.driest
    assert "Eq. 4-5" in driest.rule.source
    assert driest.rule.where == "practice:moisture_driest"
    assert [source.rule.where for source in driest.came_from] == ["practice:dry_temperature", "practice:dry_humidity"]


def test_a_dry_season_damper_than_the_damp_one_is_taken_the_other_way_round() -> None:
    seasons = with_habits(moisture_driest="11", moisture_dampest="6").seasons
    assert (seasons.driest.value, seasons.dampest.value) == (6, 11)
    assert seasons.is_turned_round
    assert not ShopPractice().seasons.is_turned_round


@pytest.mark.parametrize(("fahrenheit", "humidity"), [("29", "0.5"), ("211", "0.5"), ("70", "1.01"), ("70", "-0.1")])
def test_air_outside_the_formula_is_refused(fahrenheit: str, humidity: str) -> None:
    temperature, share = typed("T", Fraction(fahrenheit), Unit.FAHRENHEIT), typed("RH", Fraction(humidity), Unit.SHARE)
    with pytest.raises(ValueError, match=r"the formula holds|relative humidity"):
        settled("Moisture", temperature, share)


@given(st.integers(30, 120), st.integers(0, 99))
def test_damper_air_never_leaves_wood_drier(fahrenheit: int, percent: int) -> None:
    temperature = typed("T", Fraction(fahrenheit), Unit.FAHRENHEIT)
    less, more = (
        settled("M", temperature, typed("RH", Fraction(share, 100), Unit.SHARE)) for share in (percent, percent + 1)
    )
    assert less.value <= more.value


def test_boards_are_ready_to_mill_within_two_points_of_what_they_will_be_in_use() -> None:
    # Source: woodworkers' forums: within 2 points of use; halfway between 6.2 and 10.9 % is 8.6 % to a tenth (8.55)
    practice = ShopPractice()
    low, high = ready_to_mill(practice.seasons, practice.figure("moisture_within"))
    assert (low.value, high.value) == (Fraction("6.6"), Fraction("10.6"))
    assert {source.rule.where for source in low.walk()} >= {"practice:moisture_within", "practice:moisture_driest"}
