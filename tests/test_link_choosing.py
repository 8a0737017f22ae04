"""The one-to-one choice: worked by hand on a few stays, and its laws on any."""

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st
from unsnag.link.choosing import DECIDED, RIVALLED, STATED, TOO_LITTLE, WEIGHED, Pair, Stay, choose
from unsnag.link.weights import HAND_OVER, SECOND_ENTRY, Limits

LIMITS = dict.fromkeys((HAND_OVER, SECOND_ENTRY), Limits(accept=6.0, list_from=-2.0, margin=4.0))


def pair(earlier, later, weight=None, basis=WEIGHED, kind=HAND_OVER, days=0):
    return Pair(kind, basis, earlier, later, weight, days, True)


def chosen(pairs, bands=None, apart=(), incidents=None):
    """The accepted (earlier, later), the doubtful ones with their reason, the refused."""
    names = {name for each in pairs for name in (each.earlier, each.later)}
    bands, incidents = bands or {}, incidents or {}
    stays = {name: Stay(bands.get(name), incidents.get(name, name)) for name in names}
    links, grey, refused = choose(pairs, stays, {frozenset(each) for each in apart}, LIMITS)
    return (
        [(link.earlier, link.later) for link in links],
        {(each.pair.earlier, each.pair.later): each.why for each in grey},
        refused,
    )


def test_a_likely_pair_without_rival_is_joined():
    assert chosen([pair("a", "b", 7.0)])[0] == [("a", "b")]


def test_a_pair_below_the_limit_is_listed_and_a_hopeless_one_is_not():
    links, grey, _ = chosen([pair("a", "b", 5.0), pair("c", "d", -2.1)])
    assert links == [] and grey == {("a", "b"): TOO_LITTLE}


def test_two_as_like_are_both_listed():
    links, grey, _ = chosen([pair("a", "b", 12.0), pair("a", "c", 9.0)])
    assert links == [] and grey == {("a", "b"): RIVALLED, ("a", "c"): RIVALLED}


def test_what_a_clinic_states_goes_before_a_greater_likeness():
    links, grey, _ = chosen([pair("a", "b", 30.0), pair("a", "c", basis=STATED)])
    assert links == [("a", "c")] and grey == {}


def test_a_decision_goes_before_a_statement_and_the_nearer_before_the_farther():
    stated = [
        pair("a", "b", basis=STATED),
        pair("c", "d", basis=STATED, days=3),
        pair("c", "e", basis=STATED, days=1),
    ]
    links, _, _ = chosen([*stated, pair("a", "x", basis=DECIDED)])
    assert links == [("a", "x"), ("c", "e")]


def test_two_that_swap_clinics_are_told_from_the_other_arrangement_by_hand():
    """a-b and c-d weigh 10 + 9; the other way, a-d and c-b, 7 + 7: behind by 5, which is more than the margin of 4."""
    pairs = [pair("a", "b", 10.0), pair("c", "d", 9.0), pair("a", "d", 7.0), pair("c", "b", 7.0)]
    assert chosen(pairs)[0] == [("a", "b"), ("c", "d")]
    closer = [pair("a", "b", 10.0), pair("c", "d", 9.0), pair("a", "d", 8.0), pair("c", "b", 8.0)]
    assert chosen(closer)[0] == []


def test_animals_of_one_record_are_no_rivals_and_keep_their_number():
    pairs = [
        Pair(HAND_OVER, WEIGHED, f"a/{one}", f"b/{other}", 9.0, 0, one == other)
        for one in (1, 2)
        for other in (1, 2)
    ]
    incidents = {f"{record}/{number}": record for record in "ab" for number in (1, 2)}
    assert chosen(pairs, incidents=incidents)[0] == [("a/1", "b/1"), ("a/2", "b/2")]


def test_a_chain_with_two_bands_or_two_that_were_told_apart_is_not_closed():
    chain = [pair("a", "b", 9.0), pair("b", "c", 8.0)]
    assert chosen(chain)[0] == [("a", "b"), ("b", "c")]
    assert chosen(chain, bands={"a": "AB1", "c": "CD2"})[0] == [("a", "b")]
    assert chosen(chain, apart=[("a", "c")])[0] == [("a", "b")]


def test_three_that_look_like_one_typed_thrice_are_a_clutch():
    alike = [pair(one, other, 9.0, kind=SECOND_ENTRY) for one, other in (("a", "b"), ("a", "c"), ("b", "c"))]
    links, grey, _ = chosen(alike)
    assert links == [] and set(grey.values()) == {RIVALLED}


def test_a_hand_over_of_a_second_entry_is_one_of_its_first():
    """The next clinic names the number of the second entry b; the case runs a, c, with b beside a."""
    pairs = [pair("a", "b", 12.0, kind=SECOND_ENTRY), pair("b", "c", basis=STATED)]
    assert chosen(pairs)[0] == [("a", "b"), ("a", "c")]


def test_decisions_that_exclude_each_other_are_handed_back():
    links, _, refused = chosen([pair("a", "b", basis=DECIDED), pair("a", "c", basis=DECIDED)])
    assert links == [("a", "b")] and [(each.earlier, each.later) for each in refused] == [("a", "c")]


NAMES = st.sampled_from("abcdefgh")
PAIRS = st.lists(
    st.builds(
        lambda kind, basis, ends, weight, days: Pair(
            kind, basis, min(ends), max(ends), weight if basis == WEIGHED else None, days, True
        ),
        st.sampled_from([HAND_OVER, HAND_OVER, SECOND_ENTRY]),
        st.sampled_from([WEIGHED, WEIGHED, WEIGHED, STATED, DECIDED]),
        st.tuples(NAMES, NAMES).filter(lambda ends: ends[0] != ends[1]),
        st.integers(-2, 15).map(float),
        st.integers(-1, 7),
    ),
    max_size=14,
    unique_by=lambda each: (each.kind, each.earlier, each.later),
)


@settings(max_examples=200, deadline=None)
@given(pairs=PAIRS, shuffle=st.randoms(use_true_random=False))
def test_the_order_of_pairs_changes_nothing(pairs, shuffle):
    again = list(pairs)
    shuffle.shuffle(again)
    assert chosen(again) == chosen(pairs)


@settings(max_examples=200, deadline=None)
@given(pairs=PAIRS)
def test_a_stay_has_one_next_and_one_last_and_no_case_runs_in_a_circle(pairs):
    stays = {name: Stay(None, name) for name in "abcdefgh"}
    links, _, _ = choose(pairs, stays, set(), LIMITS)
    entries = [(link.earlier, link.later) for link in links if link.pair.kind == SECOND_ENTRY]
    ends = [(link.earlier, link.later) for link in links if link.pair.kind == HAND_OVER]
    seconds = {later for _, later in entries}
    assert len(seconds) == len(entries) and not seconds & {name for end in ends for name in end}
    assert max(Counter(earlier for earlier, _ in ends).values(), default=1) == 1
    assert max(Counter(later for _, later in ends).values(), default=1) == 1
    # Joins that make a forest of n stays are fewer than its stays, whatever is walked through.
    joined = {name for end in (*ends, *entries) for name in end}
    assert len(links) < max(len(joined), 1)
