"""The planned comparisons in words and pictures: each verdict as a vet reads it, nothing where too few can tell."""

import pytest
from effect_frames import effect, effect_tables, effects
from report_frames_rates import outcomes_by_treatment
from unsnag.report import effects_in_words
from unsnag.report.published import Published
from unsnag_charts import effect_bias, effect_curves
from unsnag_charts import effects as effects_chart
from unsnag_charts.numbers import THIN

PUBLISHED = Published(effect_tables() | {"outcomes_by_treatment": outcomes_by_treatment()})
IN_WORDS = effects_in_words.effects_in_words(PUBLISHED, 2023)


def outcome(*arguments, **said):
    return effects_in_words.outcome(
        effects()[:0]._append(effect(*arguments, **said), ignore_index=True).iloc[0]
    )


def test_a_finding_says_what_was_compared_in_whom_and_how_sure():
    (found,) = effects_in_words.planned_comparisons(PUBLISHED, 2023)
    assert found.head == "A hooked swan: take it out early, or watch?" and found.is_clear
    assert found.text == (
        "140 animals (injury: embedded), to day 60. Watch 9 days, against take out in 2 days: 12 more of 100 released "
        f"(95{THIN}% interval 2 more to 24 more), more, certainty low (fewer than five clinics); died or euthanased, "
        "too few to tell (events 4 of 10 needed)."
    )


@pytest.mark.parametrize(
    "figures, words",
    [
        ((-3.2, -12.0, 0.4), "3 fewer of 100 released"),
        ((0.2, -9.0, 9.4), "as many of 100 released"),
        ((12.0, -9.0, 30.4), "9 fewer to 30 more"),
    ],
)
def test_a_difference_is_told_in_animals_of_a_hundred(figures, words):
    assert words in outcome("released", figures, verdict="cannot tell", certainty="")


@pytest.mark.parametrize("verdict", effects_in_words.UNTOLD)
def test_no_figure_is_told_where_too_few_can_tell(verdict):
    assert outcome("released", verdict=verdict, certainty="", reasons="") == f"released, {verdict}"


def test_a_verdict_that_cannot_tell_is_a_hollow_float():
    frame = effects().assign(verdict="cannot tell")
    published = Published(effect_tables() | {"effects": frame})
    assert not effects_in_words.planned_comparisons(published, 2023)[0].is_clear


def test_all_eligible_animals_come_before_their_groups():
    assert list(IN_WORDS["animals_label"]) == [
        "All eligible animals",
        "Mouth",
        "Wing",
        "All eligible animals",
    ]
    assert set(IN_WORDS["measure_label"]) == {"Released", "Died or euthanased"}


def test_the_picture_shows_all_animals_and_groups_that_can_be_told():
    rows = effects_chart.ladder_rows(IN_WORDS)
    assert list(rows["label"][1:]) == ["Released", "Released, mouth", "Died or euthanased"]
    assert list(rows["text"][1:]) == ["+12 (+2 to +24)", "+20 (+3 to +35)", "too few to tell"]
    assert effects_chart.reading(IN_WORDS).startswith("1 row of a group is too small to tell")


def test_the_axis_of_differences_has_nothing_in_its_middle():
    assert effects_chart.reach(IN_WORDS) == 40
    assert effects_chart.reach(IN_WORDS[:0]) == 20


def test_halving_and_doubling_are_as_far_from_one_by_hand():
    frame = effects_in_words.FRAMES["effect_bias_in_words"][1](PUBLISHED, 2023)
    table = effect_bias._ratios(effect_bias._blocks(frame[frame["measure"] != "released"]))
    assert list(table[["value", "low", "high"]].iloc[1]) == [-2, -3, -1]
    assert table["label"].iloc[1].startswith("Biased. ")


def test_curves_of_death_add_euthanasia_and_the_reference_comes_first():
    frame = effects_in_words.FRAMES["effect_curves_in_words"][1](PUBLISHED, 2023)
    lines = effect_curves.curves(frame)
    last = lines[lines["day"] == 60]
    assert list(last["incidence"]) == [60, 72, 15, 15]
    assert list(last["strategy_label"][:2]) == ["Take out in 2 days", "Watch 9 days"]


def test_labels_of_curves_stay_apart_and_inside_by_hand():
    assert effect_curves._places([1.0, 2.0, 50.0], [10, 20, 10]) == [5.0, 20.0, 50.0]
    assert effect_curves._places([97.0, 99.0], [10, 10]) == [85.0, 95.0]


def test_a_treatment_row_points_to_its_planned_comparison():
    frame = effects_in_words.treatments_with_pointers(PUBLISHED, 2023)
    pointed = frame.set_index(["injury_code", "treatment_code"])["planned_comparison"]
    assert pointed[("ingested", "surgery")] == "hooked swan"
    assert set(pointed.drop([("ingested", "surgery")])) == {"none planned"}


def test_without_a_question_every_treatment_row_says_so():
    published = Published({"outcomes_by_treatment": outcomes_by_treatment()})
    frame = effects_in_words.treatments_with_pointers(published, 2023)
    assert set(frame["planned_comparison"]) == {"none planned"}
