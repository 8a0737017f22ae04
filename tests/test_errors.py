"""A problem's parts, and the text that a user reads."""

import pickle

import pytest
from unsnag.errors import Problem, Problems, UnsnagError, raise_all, render

HOUSE_EXAMPLE = """marsh_lane: 2 injury terms have no code.
Add these rows to clinics/marsh_lane/terms.csv, filling in the code (or 'ignore'):
  injury,hbc,,          (41 cases)
  injury,cat caught,,   (17 cases)"""


def test_the_example_of_the_house_style_is_rendered_word_for_word():
    problem = Problem(
        "marsh_lane",
        "injury terms have no code",
        "Add these rows to clinics/marsh_lane/terms.csv, filling in the code (or 'ignore')",
        ("injury,hbc,,          (41 cases)", "injury,cat caught,,   (17 cases)"),
        count=2,
    )
    assert render(problem) == HOUSE_EXAMPLE


def test_a_problem_keeps_its_parts():
    problem = UnsnagError("reef", "no file matches", "Put it there", ["a", "b"], 3)
    parts = (problem.who, problem.what, problem.remedy, problem.paste, problem.count)
    assert parts == ("reef", "no file matches", "Put it there", ("a", "b"), 3)


@pytest.mark.parametrize("ending", ["", ".", "?"])
def test_sentences_end_in_one_mark(ending):
    text = str(Problem("reef", "is it a file" + ending, "Look"))
    assert text == f"reef: is it a file{ending or '.'}\nLook."


def test_without_remedy_and_without_who_the_sentence_stands_alone():
    assert str(Problem("", "nothing to do")) == "nothing to do."


def test_several_problems_are_shown_together_and_counted():
    text = render(Problems([Problem("a", "one"), Problem("b", "two")]))
    assert text == "a: one.\n\nb: two.\n\n2 problems."


def test_problems_within_problems_are_flattened_and_repeats_said_once():
    inner = Problems([Problem("a", "one"), Problem("a", "one")])
    outer = Problems([inner, Problem("b", "two")])
    assert [problem.who for problem in outer.problems] == ["a", "a", "b"]
    assert render(outer) == "a: one.\n\nb: two.\n\n2 problems."


def test_raise_all_is_silent_without_problems():
    raise_all([])


def test_raise_all_raises_a_single_problem_itself():
    only = Problem("a", "one")
    with pytest.raises(Problem) as caught:
        raise_all([Problems([only])])
    assert caught.value is only


def test_raise_all_gathers_several():
    with pytest.raises(Problems) as caught:
        raise_all([Problem("a", "one"), Problem("b", "two")])
    assert caught.value.count == 2


@pytest.mark.parametrize("problem", [Problem("a", "b", "c", ("d",), 1), Problems([Problem("a", "b")])])
def test_problems_pass_between_processes(problem):
    assert str(pickle.loads(pickle.dumps(problem))) == str(problem)
