"""Distances between places, in metres along the WGS84 ellipsoid.

One degree of longitude is 111 km at the equator and 56 km at 60 degrees, so degrees are never compared.
"""

import numpy as np
from pyproj import Geod, Transformer

WGS84 = Geod(ellps="WGS84")


def check_coordinates(latitude, longitude):
    """Coordinates as float arrays, or a refusal that says how many are wrong.

    latitude  : float array (n,), decimal degrees north, -90 to 90
    longitude : float array (n,), decimal degrees east, -180 to 180
    Returns     latitude, longitude, float arrays (n,)
    Raises      ValueError: lengths differ, or a coordinate is missing or outside its range
    """
    latitude = np.atleast_1d(np.asarray(latitude, dtype=float))
    longitude = np.atleast_1d(np.asarray(longitude, dtype=float))
    if latitude.shape != longitude.shape or latitude.ndim != 1:
        raise ValueError(
            f"latitude has shape {latitude.shape}, longitude {longitude.shape}: give one of each a place"
        )
    wrong = ~((np.abs(latitude) <= 90) & (np.abs(longitude) <= 180))
    if wrong.any():
        raise ValueError(
            f"{wrong.sum()} of {wrong.size} coordinates are missing or out of range, the first at position "
            f"{np.flatnonzero(wrong)[0]}: leave those places out"
        )
    return latitude, longitude


def distance_m(latitude, longitude, to_latitude, to_longitude):
    """Geodesic distance of each place to its partner.

    latitude, longitude       : float arrays (n,), decimal degrees
    to_latitude, to_longitude : float arrays (n,), the partners, decimal degrees
    Returns     float array (n,), metres
    Raises      ValueError: lengths differ, or a coordinate is missing or out of range
    Source      Karney (2013), J Geodesy 87:43-55, as in PROJ.
    """
    latitude, longitude = check_coordinates(latitude, longitude)
    to_latitude, to_longitude = check_coordinates(to_latitude, to_longitude)
    return WGS84.inv(longitude, latitude, to_longitude, to_latitude)[2]


def distance_matrix_m(latitude, longitude, to_latitude, to_longitude):
    """Geodesic distance of every place to every other.

    latitude, longitude       : float arrays (n,), decimal degrees
    to_latitude, to_longitude : float arrays (m,), decimal degrees
    Returns     float array (n, m), metres
    Raises      ValueError: as distance_m
    """
    latitude, longitude = check_coordinates(latitude, longitude)
    to_latitude, to_longitude = check_coordinates(to_latitude, to_longitude)
    n, m = latitude.size, to_latitude.size
    pairs = (
        np.repeat(latitude, m),
        np.repeat(longitude, m),
        np.tile(to_latitude, n),
        np.tile(to_longitude, n),
    )
    return distance_m(*pairs).reshape(n, m)


def geocentric_m(latitude, longitude):
    """Places on the ellipsoid as points in space, for searches by straight lines.

    latitude, longitude : float arrays (n,), decimal degrees
    Returns     float array (n, 3), metres from the Earth's centre
    Raises      ValueError: as check_coordinates
    """
    latitude, longitude = check_coordinates(latitude, longitude)
    to_space = Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True)
    return np.column_stack(to_space.transform(longitude, latitude, np.zeros_like(latitude)))
