"""The stated weights: whole distributions with reasons, and Splink's sums worked out by hand."""

from math import log2

import pytest
from link_networks import GULL, day, linked, stay
from unsnag.link import weights

FIELDS = [(kind, field) for kind in weights.KINDS for field in weights.fields(kind)]
FACTS = {
    "mass_g": 900.0,
    "sex_code": "female",
    "life_stage_code": "adult",
    "found_place": "Old Jetty",
    "found_date": day(9),
    "cause_code": "fishing_tackle",
    "injury_code": "ingested",
    "gear_code": "hook",
}
NORTH = stay("north", "1", 10, 14, outcome_code="transferred_out", transferred_to="south", **FACTS)
SOUTH = stay("south", "7", 14, 30, outcome_code="released", **FACTS | {"mass_g": 860.0, "sex_code": None})
# Fellegi & Sunter (1969), JASA 64:1183-1210: the weight is the sum of log2(m/u) over the fields. Level by level, with
# m and u copied from sql/codes/link_weights.csv: prior 0.8 to 0.2, leaves and arrives on one day, only the first clinic
# names the other, same species, no sex, same age, masses within 5 per cent, same place, found on one day, same cause,
# same gear and injury, no site.
BY_HAND = (
    log2(0.8 / 0.2) + log2(0.80 / 0.12) + log2(0.80 / 0.35) + log2(0.25 / 0.92) + log2(0.96 / 0.30) + 0
    + log2(0.85 / 0.45) + log2(0.35 / 0.09) + log2(0.80 / 0.10) + log2(0.75 / 0.06) + log2(0.88 / 0.35)
    + log2(0.60 / 0.15) + 0
)  # fmt: skip


@pytest.fixture(scope="module")
def pair():
    return linked([NORTH, SOUTH])


def test_splink_gives_the_sum_of_fellegi_and_sunter_1969_by_hand(pair):
    ((weight,),) = pair.rows("select evidence_weight from link.candidate_pairs")
    assert weight == pytest.approx(BY_HAND, abs=1e-9)


def test_a_pair_weighs_what_its_fields_and_the_prior_weigh(pair):
    ((of_fields,),) = pair.rows("select sum(weight) from link.pair_evidence")
    assert of_fields + log2(0.8 / 0.2) == pytest.approx(BY_HAND, abs=1e-9)


def test_a_missing_value_speaks_neither_way(pair):
    told = dict(pair.rows("select field, weight from link.pair_evidence where level = 'not_known'"))
    assert told == {"sex": 0.0, "body_site": 0.0}


def test_of_three_that_could_be_it_each_has_a_third(pair):
    others = [
        stay("south", number, 16, 20, outcome_code="died", **GULL | {"sex_code": "male"})
        for number in ("8", "9")
    ]
    found = linked([NORTH, SOUTH, *others]).rows(
        "select choices, weight from link.candidate_pairs where later_stay_id = 'south:7'"
    )
    assert found == [(3, pytest.approx(BY_HAND - log2(3), abs=1e-6))]


@pytest.mark.parametrize(("kind", "field"), FIELDS)
def test_the_levels_of_a_field_are_whole_distributions(kind, field):
    stated = [level for level in weights.fields(kind)[field] if level.m is not None]
    assert sum(level.m for level in stated) == pytest.approx(1, abs=1e-9)
    assert sum(level.u for level in stated) == pytest.approx(1, abs=1e-9)
    assert stated[-1].condition == "ELSE" and all(0 < level.u < 1 and 0 < level.m < 1 for level in stated)


@pytest.mark.parametrize("kind", weights.KINDS)
def test_every_level_has_its_meaning_and_its_reason(kind):
    silent = [
        level.field for level in weights.levels(kind) if not level.meaning or (level.m and not level.reason)
    ]
    assert silent == []
    assert weights.limits(kind).accept > weights.limits(kind).margin > 0 > weights.limits(kind).list_from
