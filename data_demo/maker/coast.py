"""The invented island: places, their crowds, planted hot spots, bins, and where each rescue happened.

The island lies in open ocean (36-37 degrees south, 160-161 degrees east): no real shore, jetty or person is meant.
"""

import csv
import datetime as dt
from pathlib import Path

import numpy as np

from maker.draws import pick

HERE = Path(__file__).resolve().parent
FIRST_DAY, LAST_DAY = dt.date(2019, 1, 1), dt.date(2024, 12, 31)
DAYS = (LAST_DAY - FIRST_DAY).days + 1
CLINIC_LATITUDES = {
    "marea_alta": -36.09,
    "quennaby": -36.33,
    "tern_street": -36.42,
    "lantern_rock": -36.56,
    "skerrandine": -36.79,
}
CLINICS = list(CLINIC_LATITUDES)
CLINIC_SIZES = np.array([0.9, 1.5, 1.25, 1.0, 0.9])
# More people by the water, and more animals about, in the southern summer.
SEASON = np.array([1.5, 1.4, 1.15, 1.0, 0.8, 0.65, 0.6, 0.7, 0.95, 1.1, 1.25, 1.45])


def read(name):
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


PLACES = read("places.csv")
BINS = read("bins.csv")


def day_number(date_text):
    return (dt.date.fromisoformat(date_text) - FIRST_DAY).days


def _seasonal_days():
    months = [(FIRST_DAY + dt.timedelta(days=day)).month - 1 for day in range(DAYS)]
    return SEASON[np.array(months)]


def tackle_rates():
    """Relative daily rate of tackle cases, float array (places, days): crowd x odds x season x bins x a chance peak."""
    rates = (
        np.array([float(p["crowd"]) * float(p["tackle_odds"]) for p in PLACES])[:, None] * _seasonal_days()
    )
    names = [place["place"] for place in PLACES]
    for bin_ in BINS:
        row = rates[names.index(bin_["place"])]
        until = day_number(bin_["removed"]) if bin_["removed"] else DAYS
        row[day_number(bin_["installed"]) : until] *= float(bin_["true_rate_ratio"])
        if bin_["peak_from"]:
            row[day_number(bin_["peak_from"]) : day_number(bin_["peak_until"]) + 1] *= float(
                bin_["peak_factor"]
            )
    return rates


def other_rates():
    """Relative daily rate of all other rescues, float array (places, days): crowd x season."""
    return np.array([float(place["crowd"]) for place in PLACES])[:, None] * _seasonal_days()


def draw_places(rng, is_tackle):
    """Place and day of each rescue: two int arrays (n,)."""
    uniforms = rng.random(len(is_tackle))
    tackle = pick(uniforms, tackle_rates().ravel())
    other = pick(uniforms, other_rates().ravel())
    return np.divmod(np.where(is_tackle, tackle, other), DAYS)


def draw_points(rng, place):
    """Where exactly: within some 250 m of the place. Returns latitude, longitude, radius of uncertainty (m)."""
    latitude = np.array([float(p["latitude"]) for p in PLACES])[place]
    longitude = np.array([float(p["longitude"]) for p in PLACES])[place]
    north, east = rng.random(len(place)) - 0.5, rng.random(len(place)) - 0.5
    radius = np.array([50, 100, 250, 500])[pick(rng.random(len(place)), [4, 3, 2, 1])]
    return latitude + north * 0.0045, longitude + east * 0.0055, radius


def draw_clinics(rng, place):
    """The clinic that a finder turns to: mostly a near one."""
    latitude = np.array([float(p["latitude"]) for p in PLACES])
    distance = np.abs(latitude[:, None] - np.array(list(CLINIC_LATITUDES.values())))
    weights = CLINIC_SIZES / (0.06 + distance) ** 2
    return pick(rng.random(len(place)), weights[place])
