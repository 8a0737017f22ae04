import numpy as np
import pytest
from stats_references import published
from unsnag.stats.sites.distance import (
    check_coordinates,
    distance_m,
    distance_matrix_m,
    geocentric_m,
)

# An invented coast.
LATITUDE = np.array([-27.50, -27.50, -27.52, -27.60])
LONGITUDE = np.array([153.00, 153.02, 153.00, 153.00])


def degrees(degree, minute, second):
    return np.copysign(abs(degree) + minute / 60 + second / 3600, degree)


def test_flinders_peak_to_buninyong_matches_gda_technical_manual():
    reference = published("sites_distances")
    for row in reference["row"]:
        ends = [[degrees(*angle)] for angle in row["from"] + row["to"]]
        assert distance_m(*ends)[0] == pytest.approx(row["metres"], abs=reference["tolerance"])


def test_one_degree_along_the_equator_by_hand():
    # A circle of the equatorial radius, 6,378,137 m: 2 pi r / 360.
    assert distance_m([0], [10], [0], [11])[0] == pytest.approx(2 * np.pi * 6_378_137 / 360, abs=1e-6)


def test_distance_is_symmetric_and_zero_at_home():
    there = distance_matrix_m(LATITUDE, LONGITUDE, LATITUDE, LONGITUDE)
    np.testing.assert_allclose(there, there.T, rtol=0, atol=1e-9)
    np.testing.assert_array_equal(np.diag(there), 0)


def test_distance_crosses_the_date_line_the_short_way():
    assert distance_m([0], [179.9], [0], [-179.9])[0] == pytest.approx(
        0.2 * 2 * np.pi * 6_378_137 / 360, rel=1e-9
    )


def test_the_matrix_holds_every_pair():
    matrix = distance_matrix_m(LATITUDE[:2], LONGITUDE[:2], LATITUDE[1:], LONGITUDE[1:])
    assert matrix.shape == (2, 3)
    assert matrix[1, 0] == 0
    assert matrix[0, 2] == distance_m(LATITUDE[:1], LONGITUDE[:1], LATITUDE[3:], LONGITUDE[3:])[0]
    assert distance_matrix_m([], [], LATITUDE, LONGITUDE).shape == (0, 4)


def test_straight_line_is_never_longer_than_the_geodesic():
    rng = np.random.default_rng(5)
    ends = (
        rng.uniform(-90, 90, 500),
        rng.uniform(-180, 180, 500),
        rng.uniform(-90, 90, 500),
        rng.uniform(-180, 180, 500),
    )
    line = np.linalg.norm(geocentric_m(*ends[:2]) - geocentric_m(*ends[2:]), axis=1)
    assert (line <= distance_m(*ends) + 1e-3).all()


@pytest.mark.parametrize("wrong", [np.nan, 90.1, -91])
def test_a_coordinate_out_of_range_is_refused_with_its_position(wrong):
    with pytest.raises(ValueError, match=r"1 of 2 coordinates .* position 1"):
        check_coordinates([0, wrong], [0, 0])


def test_unequal_lengths_are_refused():
    with pytest.raises(ValueError, match="one of each"):
        distance_m([0, 1], [0], [0], [0])
