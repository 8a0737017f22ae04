"""469,553 rescues through the whole pipeline: too slow for every run of the tests, so run by hand.

PYTHONPATH=pipeline:dashboards:tests python -m pytest tests/benchmarks/test_published_kwok_2021.py
"""

import networks
import pytest
from stats_references import published

HEADING = "case_number,admission_date,species,cause,outcome,outcome_date\n"
NETWORK = "[publication]\nminimum_clinics = 1\nminimum_cell = 1\n"


def test_released_of_known_fates_matches_kwok_2021(tmp_path):
    kwok = published("published_kwok_2021")
    died, untold = kwok["known_fate"] - kwok["released"], kwok["rescues"] - kwok["known_fate"]
    endings = ["released,2017-03-11"] * kwok["released"] + ["died,2017-03-11"] * died + [","] * untold
    rows = "".join(f"{n},2017-03-01,gull,fishing tackle,{ending}\n" for n, ending in enumerate(endings))
    networks.write_clinic(networks.write_network(tmp_path, NETWORK), "kwok", HEADING + rows)
    shown = networks.build(tmp_path, publish=True).public(
        "select animals, denominator, numerator, percent from public.release_rates "
        "where grouping = 'all' and convention = 'known_fate'"
    )
    percent = pytest.approx(100 * kwok["released"] / kwok["known_fate"], abs=5e-5)
    assert shown == [(kwok["rescues"], kwok["known_fate"], kwok["released"], percent)]
    assert 100 * kwok["known_fate"] / kwok["rescues"] == pytest.approx(kwok["printed_known"], abs=0.05)
    assert 100 * kwok["released"] / kwok["known_fate"] == pytest.approx(kwok["printed_released"], abs=0.05)
