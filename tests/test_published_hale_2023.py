"""Hale et al. 2023, 126 turtles with fish hooks, as an export: four denominators, exact limits as printed."""

import networks
import pytest
from stats_references import published

HEADING = "case_number,admission_date,species,cause,outcome,outcome_date\n"
NETWORK = "[publication]\nminimum_clinics = 1\nminimum_cell = 1\n"
REFERENCE = {row["what"]: row for row in published("hale_2023")["row"]}


@pytest.fixture(scope="module")
def hale(tmp_path_factory):
    """126 turtles, 140 hooks, 120 removals, 111 endings; the abstract does not part the dead from the euthanased."""
    folder = networks.write_network(tmp_path_factory.mktemp("hale"), NETWORK)
    species = ["trachemys scripta"] * 69 + ["chrysemys picta"] * 57
    endings = ["released,2020-03-17"] * 99 + ["died,2020-03-17"] * 12 + ["unknown,"] * 15
    animals = zip(species, endings, strict=True)
    stays = "".join(f"{n},2020-03-01,{kind},fish hook,{end}\n" for n, (kind, end) in enumerate(animals))
    hooks = "".join(f"{n % 126},hook,{'mouth' if n < 77 else 'foot'}\n" for n in range(140))
    removals = "".join(f"{n},{'barb cut' if n < 76 else 'pushed through'},2020-03-02\n" for n in range(120))
    sheets = {
        "gear_item": "case_number,gear,body_site\n" + hooks,
        "procedure": "case_number,procedure,procedure_date\n" + removals,
    }
    networks.write_clinic(folder, "hale", HEADING + stays, sheets=sheets)
    return networks.build(folder, publish=True)


@pytest.mark.parametrize(
    ("what", "level", "axis", "code"),
    [
        ("yellow-bellied sliders, of animals", "animal", "species", "trachemys_scripta"),
        ("oral cavity, of locations", "gear_item", "body_site", "mouth"),
        ("barb cut, then backed out, of removals", "procedure", "procedure", "barb_cut_and_backed_out"),
    ],
)
def test_shares_match_hale_2023(hale, what, level, axis, code):
    row = REFERENCE[what]
    shown = hale.public(
        "select count, total, percent, exact_low, exact_high from public.shares "
        f"where level = '{level}' and axis = '{axis}' and code = '{code}'"
    )
    printed = [pytest.approx(row[name], abs=0.05005) for name in ("percent", "low", "high")]
    assert shown == [(row["count"], row["total"], *printed)]
    assert shown[0][2] == pytest.approx(100 * row["count"] / row["total"], abs=5e-5)


@pytest.mark.parametrize(
    ("what", "ending"), [("released", "released"), ("euthanised or died after treatment", "died")]
)
def test_endings_match_hale_2023(hale, what, ending):
    row = REFERENCE[what]
    shown = hale.public(
        "select count, total, percent, exact_low, exact_high from public.ending_rates "
        f"where grouping = 'all' and convention = 'resolved' and ending = '{ending}'"
    )
    printed = [pytest.approx(row[name], abs=0.05005) for name in ("percent", "low", "high")]
    assert shown == [(row["count"], row["total"], *printed)]


def test_the_bounds_tell_the_fifteen_turtles_without_an_ending(hale):
    shown = hale.public(
        "select unresolved, bound_low, bound_high from public.ending_rates "
        "where grouping = 'all' and convention = 'resolved' and ending = 'released'"
    )
    # 99 of 126 if none, 114 of 126 if all of the fifteen were released.
    assert shown == [(15, pytest.approx(100 * 99 / 126, abs=5e-5), pytest.approx(100 * 114 / 126, abs=5e-5))]


@pytest.mark.parametrize(
    ("measure", "answer", "what"),
    [
        ("first_attempt", "success", "barb cut, then backed out, of removals"),
        ("attempt", "success", "barb cut, then backed out, of removals"),
        ("gear_item", "removed", "oral cavity, of locations"),
        ("at_release", "yes", "released"),
    ],
)
def test_animals_procedures_and_gear_have_the_totals_of_hale_2023(hale, measure, answer, what):
    """The abstract tells no result of a removal, no fate of a hook and no gear at release: all stand as not stated."""
    shown = hale.public(
        "select count, total, not_stated, percent, bound_low, bound_high from public.procedures "
        f"where measure = '{measure}' and axis = 'all' and answer = '{answer}'"
    )
    counted = REFERENCE[what]["count" if measure == "at_release" else "total"]
    assert shown == [(0, 0, counted, None, None, None)]
