import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stats_references import published
from unsnag.stats.sites.distance import distance_m
from unsnag.stats.sites.grid import cell_radius_m, generalisation_note, generalise, grid_degrees

coordinate = st.tuples(
    st.floats(-90, 90), st.floats(-180, 180), st.sampled_from([0.001, 0.01, 0.1, 0.25, 1.0])
)


def test_grid_of_each_category_matches_chapman_2020():
    for row in published("sites_chapman_2020")["row"]:
        degrees = grid_degrees([row["category"]])[0]
        assert np.isnan(degrees) if row["degrees"] == "none" else degrees == row["degrees"]


def test_the_network_s_own_grid_holds_where_it_is_coarser():
    degrees = grid_degrees([0, 1, 2, 3, 4], at_least=0.05)
    np.testing.assert_array_equal(degrees, [0.05, np.nan, 0.1, 0.05, 0.05])


def test_cell_radius_is_half_the_diagonal_of_chapman_and_wieczorek_from_memory():
    for row in published("sites_chapman_2020")["diagonal"]:
        middle = np.array([row["latitude"]]), np.zeros(1)
        radius = cell_radius_m(*middle, np.array([row["degrees"]]))[0]
        # Printed to a metre; the corner nearer to the equator is up to a thousandth farther than the other.
        assert 2 * radius == pytest.approx(row["metres"], rel=0.0015, abs=0.6)


def test_rounding_by_hand():
    latitude, longitude, _ = generalise([-27.4698, 12.34, -0.04], [153.0251, -56.78, 0.05], 0.1)
    assert latitude.tolist() == [-27.5, 12.3, 0.0]
    assert longitude.tolist() == [153.0, -56.8, 0.1]


@given(coordinate)
def test_the_uncertainty_holds_the_true_place(place):
    latitude, longitude, degrees = place
    north, east, metres = generalise([latitude], [longitude], degrees)
    # Across the date line the same meridian has two names.
    assert distance_m([latitude], [longitude], north, east)[0] <= metres[0]


@given(coordinate)
def test_rounding_twice_changes_nothing(place):
    latitude, longitude, degrees = place
    once = generalise([latitude], [longitude], degrees)
    twice = generalise(*once[:2], degrees)
    np.testing.assert_array_equal(once, twice)


def test_uncertainties_add_up_to_whole_metres():
    plain = generalise([0.0], [0.0], 0.1)[2][0]
    assert plain == np.ceil(cell_radius_m(np.zeros(1), np.zeros(1), np.array([0.1]))[0])
    assert generalise([0.0], [0.0], 0.1, 250)[2][0] == plain + 250
    assert np.isnan(generalise([0.0], [0.0], 0.1, np.nan)[2][0])


def test_an_exact_place_without_uncertainty_has_none_rather_than_zero():
    latitude, longitude, metres = generalise([-27.123456], [153.654321], 0.0)
    assert (latitude[0], longitude[0]) == (-27.123456, 153.654321)
    assert np.isnan(metres[0])


def test_the_most_sensitive_places_are_withheld_and_it_is_said():
    degrees = grid_degrees([1, 2, 0])
    latitude, longitude, metres = generalise([-27.1] * 3, [153.1] * 3, degrees)
    assert np.isnan([latitude[0], longitude[0], metres[0]]).all()
    withheld, rounded, open_place = generalisation_note(degrees)
    assert "withheld" in withheld
    assert "0.1 degree" in rounded
    assert open_place == ""


@pytest.mark.parametrize(("category", "at_least"), [([5], 0), ([-1], 0), ([2], -0.1)])
def test_unknown_categories_and_negative_grids_are_refused(category, at_least):
    with pytest.raises(ValueError, match=r"sensitivity|at_least"):
        grid_degrees(category, at_least)


def test_negative_uncertainty_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        generalise([0], [0], 0.1, -5)
