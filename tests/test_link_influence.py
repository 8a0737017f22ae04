"""What hangs on which stays were joined: counted by hand on a few gulls, and against the cases as they stand."""

import networks
import pytest
from test_link_review import laid_out
from unsnag.analyse import Mart
from unsnag.analyses import link_influence
from unsnag.databases import reading

# north:1 is south:8 (decided), 2 is 7 (weighed); 3 and 9 stay in doubt; 4, 10, 11 are alone: nine stays, seven cases.
DECIDED = "north,1,south,8,same,2024-02-01,scar\n"
# scenario → cases, open transfers, known endings, released: 7 and 10 and 4 and 9 were released, 8 and 11 died.
BY_HAND = {
    "as_counted": (7, 1, 6, 4),
    "none_joined": (9, 3, 6, 4),
    "stated_only": (8, 2, 6, 4),
    "doubtful_joined": (6, 0, 6, 4),
}


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    built = networks.build(laid_out(tmp_path_factory.mktemp("influence"), DECIDED))
    with reading(built.folder / "store" / "cases.duckdb") as connection:
        return built, link_influence.compute(Mart(connection))


@pytest.mark.parametrize(("scenario", "expected"), BY_HAND.items())
def test_a_way_of_joining_by_hand(told, scenario, expected):
    frame = told[1]["link_influence"].set_index("scenario")
    names = ["cases", "transferred", "denominator", "numerator"]
    assert tuple(frame.loc[scenario, names]) == expected


def test_as_counted_is_what_the_mart_counts(told):
    built, frames = told
    line = frames["link_influence"].set_index("scenario").loc["as_counted"]
    assert line["cases"] == built.one("select count(*) from mart.cases")
    assert line["tackle_cases"] == built.one("select count(*) from mart.cases where is_tackle")


def test_evidence_is_counted_by_kind_and_basis(told):
    rows = told[1]["link_evidence"].values.tolist()
    assert ["hand_over", "decided", 1] in rows and ["hand_over", "weighed", 1] in rows
    assert ["hand_over", "open", 1] in rows
