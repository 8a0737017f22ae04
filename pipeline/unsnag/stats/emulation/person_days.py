"""From dated events to days in care: who was still carrying gear, what was known, what was done."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

ENDINGS = ("released", "died", "euthanased", "other")
LOSSES = ("transferred", "lost")
LAST_SIGHT = (*ENDINGS, *LOSSES, "in_care")
RETRIEVALS = ("retrieval_endoscopy", "retrieval_surgery", "retrieval_manual")
FINDINGS = ("worse", "improved", "unmoved", "moved")
EVENTS = (*RETRIEVALS, "line_cut", "gear_passed", *FINDINGS, *LAST_SIGHT)
POSITIONS = ("no film yet", "unmoved", "moved")
NEVER = np.iinfo(np.int32).max


@dataclass(frozen=True)
class PersonDays:
    """Everything a comparison needs, as arrays over n cases and horizon + 1 days (see the package docstring).

    end_day (n,) last day in view, at most the horizon; ending (n,) index into ENDINGS, -1 if not seen to end;
    lost (n,) sight lost on end_day; retrieval_day, line_day (n,), NEVER if not; means (n,) text, "" if not;
    in_care, carrying, with_line, film_today, line_cut: bool (n, horizon + 1);
    worse_days, unmoved_days: int (n, horizon + 1), -1 outside a spell; position: index into POSITIONS.
    """

    cases: pd.DataFrame
    horizon: int
    end_day: np.ndarray
    ending: np.ndarray
    lost: np.ndarray
    retrieval_day: np.ndarray
    means: np.ndarray
    line_day: np.ndarray
    in_care: np.ndarray
    carrying: np.ndarray
    with_line: np.ndarray
    worse_days: np.ndarray
    unmoved_days: np.ndarray
    position: np.ndarray
    film_today: np.ndarray
    line_cut: np.ndarray

    def rows(self, which):
        """Case and day indices, int arrays, of the days where the bool array ``which`` (n, horizon + 1) holds."""
        return np.nonzero(which)

    def history(self, case, day):
        """What was known on given days, as a frame with one row per pair of ``case`` and ``day`` indices."""
        known = {
            "day": day,
            "worse": self.worse_days[case, day] >= 0,
            "worse_days": self.worse_days[case, day],
            "unmoved_days": self.unmoved_days[case, day],
            "position": np.array(POSITIONS)[self.position[case, day]],
            "film_today": self.film_today[case, day],
            "line_cut": self.line_cut[case, day],
            "gear_gone": ~self.carrying[case, day],
        }
        baseline = self.cases.iloc[case].reset_index(drop=True)
        return baseline.assign(**known)

    def frame(self):
        """One row per case and day in care, ordered by case and day; columns in the package docstring."""
        case, day = self.rows(self.in_care)
        last = day == self.end_day[case]
        return self.history(case, day).assign(
            carrying=self.carrying[case, day],
            with_line=self.with_line[case, day],
            retrieved=np.where(day == self.retrieval_day[case], self.means[case], ""),
            cut_today=day == self.line_day[case],
            ending=np.where(last, np.array([*ENDINGS, ""])[self.ending[case]], ""),
            lost_today=last & self.lost[case],
        )


def person_days(cases, events, horizon):
    """Lay out cases and events day by day up to a horizon.

    cases, events : frames as defined in the package docstring
    horizon       : int, last day looked at, 1 or more
    Returns         PersonDays, cases in the order given
    Raises          ValueError: a column, an ending or a known event is missing, or a day is negative
    """
    events = _checked(cases, events, horizon)
    shape = (len(cases), horizon + 1)
    last = _first(events, LAST_SIGHT, len(cases))
    end_day, ending, lost = _endings(last, horizon)
    attempts = _first(events, RETRIEVALS, len(cases))
    retrieval_day = np.where(attempts.day <= end_day, attempts.day, NEVER)
    passed_day = _first(events, ("gear_passed",), len(cases)).day
    passed_day = np.where(retrieval_day < NEVER, NEVER, passed_day)
    line_day = _first(events, ("line_cut",), len(cases)).day
    day = np.arange(horizon + 1)
    in_care = day <= end_day[:, None]
    carrying = in_care & (day <= retrieval_day[:, None]) & (day < passed_day[:, None])
    line_day = np.where(line_day <= np.minimum(end_day, retrieval_day), line_day, NEVER)
    return PersonDays(
        cases=cases.reset_index(drop=True),
        horizon=horizon,
        end_day=end_day,
        ending=ending,
        lost=lost,
        retrieval_day=retrieval_day,
        means=np.where(retrieval_day < NEVER, attempts.event.str.removeprefix("retrieval_"), ""),
        line_day=line_day,
        in_care=in_care,
        carrying=carrying,
        with_line=carrying & (day <= line_day[:, None]) & _has_line(cases)[:, None],
        line_cut=day >= line_day[:, None],
        **_findings(events, shape),
    )


def _checked(cases, events, horizon):
    """Events of the given cases with the case's position, sorted; refuses what cannot be laid out."""
    for frame, columns in ((cases, ("case", "clinic", "taxon_group")), (events, ("case", "day", "event"))):
        missing = [column for column in columns if column not in frame]
        if missing:
            raise ValueError(f"the frame has no column {', '.join(missing)}; it needs {', '.join(columns)}")
    if horizon < 1:
        raise ValueError(f"the horizon is {horizon} days; give at least 1")
    if cases["case"].duplicated().any():
        raise ValueError(
            f"case {cases['case'][cases['case'].duplicated()].iloc[0]} stands twice in cases; keep one row"
        )
    place = pd.Series(np.arange(len(cases)), index=cases["case"])
    kept = events[events["case"].isin(place.index)]
    _check_events(kept, cases)
    return kept.assign(place=kept["case"].map(place)).sort_values(["place", "day"], kind="stable")


def _check_events(events, cases):
    unknown = sorted(set(events["event"]) - set(EVENTS))
    if unknown:
        raise ValueError(f"event '{unknown[0]}' is not known; use one of {', '.join(EVENTS)}")
    undated = ~(events["day"] >= 0)
    if undated.any():
        raise ValueError(
            f"case {events['case'][undated].iloc[0]} has an event without a day, or before day 0; count whole days "
            "from admission and leave out cases whose events are undated"
        )
    endings = events["case"][events["event"].isin(LAST_SIGHT)].value_counts()
    found = endings.reindex(cases["case"], fill_value=0)
    wrong = found[found != 1]
    if len(wrong):
        raise ValueError(
            f"case {wrong.index[0]} has {wrong.iloc[0]} endings; give one of {', '.join(LAST_SIGHT)} "
            f"({len(wrong)} cases)"
        )


def _first(events, kinds, count):
    """Day and kind of each case's first event among ``kinds``; on one day the kind named first; NEVER if none."""
    chosen = events[events["event"].isin(kinds)]
    chosen = chosen.assign(rank=chosen["event"].map(kinds.index)).sort_values(["place", "day", "rank"])
    chosen = chosen.drop_duplicates("place").set_index("place")[["day", "event"]]
    return chosen.reindex(range(count)).fillna({"day": NEVER, "event": ""}).astype({"day": np.int64})


def _endings(last, horizon):
    seen = (last["day"] <= horizon).to_numpy()
    code = {kind: place for place, kind in enumerate(ENDINGS)}
    ending = np.where(seen, last["event"].map(code).fillna(-1), -1).astype(int)
    return np.minimum(last["day"], horizon).to_numpy(), ending, seen & last["event"].isin(LOSSES).to_numpy()


def _has_line(cases):
    return cases["has_line"].to_numpy(bool) if "has_line" in cases else np.zeros(len(cases), bool)


def _findings(events, shape):
    worse, _ = _latest(events, shape, no="improved", yes="worse")
    moved, film_today = _latest(events, shape, no="unmoved", yes="moved")
    return {
        "worse_days": _spell_days(worse == 1),
        "unmoved_days": _spell_days(moved == 0),
        "position": moved + 1,
        "film_today": film_today,
    }


def _latest(events, shape, no, yes):
    """Latest of two contrary findings on each day: 1 yes, 0 no, -1 neither yet; and whether one was made that day."""
    today = np.full(shape, -1, np.int8)
    for code, kind in enumerate((no, yes)):
        found = events[(events["event"] == kind) & (events["day"] < shape[1])]
        today[found["place"], found["day"]] = code
    made = np.maximum.accumulate(np.where(today >= 0, np.arange(shape[1]), -1), axis=1)
    latest = np.take_along_axis(today, np.maximum(made, 0), axis=1)
    return np.where(made >= 0, latest, -1), today >= 0


def _spell_days(state):
    """Days since the present unbroken run of a bool state (n, days) began, -1 outside a run."""
    day = np.arange(state.shape[1])
    began = state & ~np.pad(state, ((0, 0), (1, 0)))[:, :-1]
    start = np.maximum.accumulate(np.where(began, day, -1), axis=1)
    return np.where(state, day - start, -1)
